// What the routes work with: one for each running server.
#pragma once

#include <string>

#include "server/changes.hpp"
#include "server/devices.hpp"
#include "server/kit_lessons.hpp"
#include "server/once_made.hpp"
#include "server/open_briefs.hpp"
#include "server/rate_limit.hpp"
#include "server/shelf.hpp"

namespace oddgrist::server {

struct Service {
  OpenBriefs briefs;
  Changes changes;
  Devices devices;
  RateLimit solves;
  Shelf shelf;
  OnceMade gyles;  // as each stands now
  KitLessons lessons;
  bool secure = false;  // reached by https, so the cookie may say so
};

}  // namespace oddgrist::server

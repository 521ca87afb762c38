// What a request asks about a brief: {"id": ..., "brief": {...}, "proposal": ..., "learned": ...} in its body.
#pragma once

#include <optional>

#include "server/exchange.hpp"
#include "server/open_briefs.hpp"
#include "server/service.hpp"

namespace oddgrist::server {

// Either what is asked, or the reply that says what is wrong with it.
struct BriefQuestion {
  std::optional<Asked> asked;
  std::size_t proposal = 1;
  Reply refusal;
};

// The body has a brief.
[[nodiscard]] BriefQuestion question_in(Service& service, const Json& body);
// The text of a brief alone. It is read here only to learn which kit it names.
[[nodiscard]] BriefQuestion question_about(Service& service, std::string toml, bool learned);

}  // namespace oddgrist::server

// An entry as a device sends it, for streams whose bodies the store itself understands.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/answer_json.hpp"
#include "server/routes.hpp"
#include "store/log.hpp"

namespace oddgrist::server {

// Only the envelope is read: key, kind, moment, what it mends. `number`: where it stands in the request, from 0.
[[nodiscard]] std::optional<store::Line> line_in(const files::Json& json, std::size_t number, std::string stream,
                                                 files::Problems& problems);

// Written, whole or not at all, and what the device is told: the keys. `wrong`: what a problem is of.
[[nodiscard]] Reply append_reply(Service& service, const std::vector<store::Line>& lines, std::string_view wrong);

}  // namespace oddgrist::server

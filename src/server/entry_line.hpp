// An entry as a device sends it, for streams whose bodies the store itself understands.
#pragma once

#include <optional>
#include <string>

#include "files/answer_json.hpp"
#include "store/log.hpp"

namespace oddgrist::server {

// Only the envelope is read: key, kind, moment, what it mends. `number`: where it stands in the request, from 0.
[[nodiscard]] std::optional<store::Line> line_in(const files::Json& json, std::size_t number, std::string stream,
                                                 files::Problems& problems);

}  // namespace oddgrist::server

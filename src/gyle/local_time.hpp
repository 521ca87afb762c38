// The clock on the brewer's wall: times without a zone, told apart by nothing but themselves.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "gyle/event.hpp"

namespace oddgrist::gyle {

// "2026-11-25T18:30", "2026-11-25 18:30:15" or "2026-11-25". Nothing if it is none; a zone is not taken.
[[nodiscard]] std::optional<Instant> parse_local_time(std::string_view text);
// "2026-11-25T18:30", to the minute.
[[nodiscard]] std::string local_time_text(Instant at);
// "Wed 25 Nov, 18:30"
[[nodiscard]] std::string local_time_words(Instant at);
// Now, by the machine's own zone.
[[nodiscard]] Instant local_now();

}  // namespace oddgrist::gyle

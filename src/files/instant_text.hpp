// Moments and days as ISO 8601 text.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace oddgrist::files {

using Instant = std::chrono::sys_time<std::chrono::milliseconds>;
using Day = std::chrono::year_month_day;

// "2026-11-25T13:18:14.123Z"
std::string instant_text(Instant instant);
// From 1970 to 9999, with Z or an offset such as +01:00, seconds and their fraction (to the millisecond) may be left out.
std::optional<Instant> instant_of(std::string_view text);

// "2026-11-25"
std::string day_text(Day day);
std::optional<Day> day_of(std::string_view text);

}  // namespace oddgrist::files

#include "files/instant_text.hpp"

#include <charconv>

#include <fmt/format.h>

namespace oddgrist::files {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::milliseconds;
using std::chrono::minutes;
using std::chrono::seconds;
using std::chrono::sys_days;

// Takes exactly `digits` digits from the front.
std::optional<int> take_digits(std::string_view& text, std::size_t digits) {
  if (text.size() < digits) return std::nullopt;
  int value = 0;
  for (std::size_t i = 0; i < digits; ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    value = value * 10 + (text[i] - '0');
  }
  text.remove_prefix(digits);
  return value;
}

bool take_letter(std::string_view& text, char letter) {
  if (text.empty() || text.front() != letter) return false;
  text.remove_prefix(1);
  return true;
}

std::optional<Day> take_day(std::string_view& text) {
  const auto year = take_digits(text, 4);
  if (!year || *year < 1970 || !take_letter(text, '-')) return std::nullopt;
  const auto month = take_digits(text, 2);
  if (!month || !take_letter(text, '-')) return std::nullopt;
  const auto day = take_digits(text, 2);
  if (!day) return std::nullopt;
  const Day found{std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                  std::chrono::day(static_cast<unsigned>(*day))};
  if (!found.ok()) return std::nullopt;
  return found;
}

// ".123", any number of digits; those past the millisecond are dropped.
std::optional<milliseconds> take_fraction(std::string_view& text) {
  if (!take_letter(text, '.') && !take_letter(text, ',')) return milliseconds(0);
  int thousandths = 0, count = 0;
  for (; !text.empty() && text.front() >= '0' && text.front() <= '9'; text.remove_prefix(1), ++count) {
    if (count < 3) thousandths = thousandths * 10 + (text.front() - '0');
  }
  if (count == 0) return std::nullopt;
  for (; count < 3; ++count) thousandths *= 10;
  return milliseconds(thousandths);
}

// What the clock there is ahead of UTC.
std::optional<minutes> take_offset(std::string_view& text) {
  if (take_letter(text, 'Z')) return minutes(0);
  const bool behind = !text.empty() && text.front() == '-';
  if (!take_letter(text, '+') && !take_letter(text, '-')) return std::nullopt;
  const auto hour = take_digits(text, 2);
  take_letter(text, ':');
  const auto minute = take_digits(text, 2);
  if (!hour || !minute || *hour > 23 || *minute > 59) return std::nullopt;
  const minutes ahead = hours(*hour) + minutes(*minute);
  return behind ? -ahead : ahead;
}

}  // namespace

std::string instant_text(Instant instant) {
  const auto day = std::chrono::floor<days>(instant);
  const std::chrono::hh_mm_ss time(instant - day);
  return fmt::format("{}T{:02}:{:02}:{:02}.{:03}Z", day_text(Day(day)), time.hours().count(), time.minutes().count(),
                     time.seconds().count(), time.subseconds().count());
}

std::optional<Instant> instant_of(std::string_view text) {
  const auto day = take_day(text);
  if (!day || !take_letter(text, 'T')) return std::nullopt;
  const auto hour = take_digits(text, 2);
  if (!hour || *hour > 23 || !take_letter(text, ':')) return std::nullopt;
  const auto minute = take_digits(text, 2);
  if (!minute || *minute > 59) return std::nullopt;
  milliseconds past_minute(0);
  if (take_letter(text, ':')) {
    const auto second = take_digits(text, 2);
    if (!second || *second > 59) return std::nullopt;
    const auto fraction = take_fraction(text);
    if (!fraction) return std::nullopt;
    past_minute = seconds(*second) + *fraction;
  }
  const auto offset = take_offset(text);
  if (!offset || !text.empty()) return std::nullopt;
  return Instant(sys_days(*day)) + hours(*hour) + minutes(*minute) + past_minute - *offset;
}

std::string day_text(Day day) {
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                     static_cast<unsigned>(day.day()));
}

std::optional<Day> day_of(std::string_view text) {
  const auto day = take_day(text);
  return text.empty() ? day : std::nullopt;
}

}  // namespace oddgrist::files

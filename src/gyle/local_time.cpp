#include "gyle/local_time.hpp"

#include <array>
#include <cctype>
#include <ctime>

#include <fmt/format.h>

namespace oddgrist::gyle {
namespace {

std::optional<int> digits(std::string_view text, std::size_t at, std::size_t count) {
  if (at + count > text.size()) return std::nullopt;
  int value = 0;
  for (std::size_t i = at; i < at + count; ++i) {
    if (std::isdigit(static_cast<unsigned char>(text[i])) == 0) return std::nullopt;
    value = value * 10 + (text[i] - '0');
  }
  return value;
}

struct WallClock {
  std::chrono::year_month_day date;
  unsigned weekday = 0;  // 0: Sunday
  long minute_of_day = 0;
};

WallClock wall_clock(Instant at) {
  const auto minutes = std::chrono::floor<std::chrono::minutes>(at);
  const auto midnight = std::chrono::floor<std::chrono::days>(minutes);
  return {std::chrono::year_month_day{midnight}, std::chrono::weekday{midnight}.c_encoding(),
          (minutes - midnight).count()};
}

}  // namespace

std::optional<Instant> parse_local_time(std::string_view text) {
  const auto year = digits(text, 0, 4), month = digits(text, 5, 2), day = digits(text, 8, 2);
  if (!year || !month || !day || text[4] != '-' || text[7] != '-') return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{*year}, std::chrono::month{static_cast<unsigned>(*month)},
                                         std::chrono::day{static_cast<unsigned>(*day)}};
  if (!date.ok() || *year < 1900) return std::nullopt;
  Instant at = std::chrono::sys_days{date};
  if (text.size() == 10) return at;
  const auto hour = digits(text, 11, 2), minute = digits(text, 14, 2);
  if (!hour || !minute || (text[10] != 'T' && text[10] != ' ') || text[13] != ':') return std::nullopt;
  if (*hour > 23 || *minute > 59) return std::nullopt;
  at += std::chrono::hours(*hour) + std::chrono::minutes(*minute);
  if (text.size() == 16) return at;
  const auto second = digits(text, 17, 2);
  if (!second || *second > 59 || text[16] != ':' || text.size() != 19) return std::nullopt;
  return at + std::chrono::seconds(*second);
}

std::string local_time_text(Instant at) {
  const WallClock clock = wall_clock(at);
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}", static_cast<int>(clock.date.year()),
                     static_cast<unsigned>(clock.date.month()), static_cast<unsigned>(clock.date.day()),
                     clock.minute_of_day / 60, clock.minute_of_day % 60);
}

std::string local_time_words(Instant at) {
  constexpr std::array days = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  constexpr std::array months = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  const WallClock clock = wall_clock(at);
  return fmt::format("{} {} {}, {:02}:{:02}", days[clock.weekday], static_cast<unsigned>(clock.date.day()),
                     months[static_cast<unsigned>(clock.date.month()) - 1], clock.minute_of_day / 60,
                     clock.minute_of_day % 60);
}

Instant local_now() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  if (localtime_r(&now, &local) == nullptr)
    return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
  return Instant(std::chrono::seconds(timegm(&local)));
}

}  // namespace oddgrist::gyle

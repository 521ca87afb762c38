#include "quantity/number.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <optional>

#include <fmt/format.h>

#include "quantity/text.hpp"

namespace oddgrist {
namespace {

struct FractionSign {
  char32_t code;
  double numerator;
  double denominator;
};

constexpr auto fraction_signs = std::to_array<FractionSign>({{U'½', 1, 2},
                                                             {U'⅓', 1, 3},
                                                             {U'⅔', 2, 3},
                                                             {U'¼', 1, 4},
                                                             {U'¾', 3, 4},
                                                             {U'⅕', 1, 5},
                                                             {U'⅖', 2, 5},
                                                             {U'⅗', 3, 5},
                                                             {U'⅘', 4, 5},
                                                             {U'⅙', 1, 6},
                                                             {U'⅚', 5, 6},
                                                             {U'⅛', 1, 8},
                                                             {U'⅜', 3, 8},
                                                             {U'⅝', 5, 8},
                                                             {U'⅞', 7, 8}});

bool is_digit(std::string_view text, std::size_t at) { return at < text.size() && text[at] >= '0' && text[at] <= '9'; }

char at_or_nul(std::string_view text, std::size_t at) { return at < text.size() ? text[at] : '\0'; }

std::size_t skip_digits(std::string_view text, std::size_t at) {
  while (is_digit(text, at)) ++at;
  return at;
}

std::optional<FractionSign> fraction_sign_at(std::string_view text, std::size_t at) {
  if (at >= text.size()) return std::nullopt;
  const text::Character character = text::character_at(text, at);
  for (const FractionSign& sign : fraction_signs) {
    if (character.valid && sign.code == character.code) return sign;
  }
  return std::nullopt;
}

// Bytes of the mark between the two halves of a written fraction: "/" or the fraction slash.
std::size_t slash_size(std::string_view text, std::size_t at) {
  if (at >= text.size()) return 0;
  const text::Character character = text::character_at(text, at);
  return character.code == U'/' || character.code == U'\u2044' ? character.size : 0;
}

ParseError error_at(std::string_view text, std::size_t at, std::string message, std::string hint = {}) {
  return {std::move(message), text::column_of(text, at), std::move(hint)};
}

enum class Size { held, too_small, too_large };

// Whether a double can hold these digits, and their value where it can.
std::pair<Size, double> size_of(std::string_view digits) {
  double value = 0.0;
  const auto result = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (result.ec == std::errc() && std::isfinite(value)) return {Size::held, value};
  // The library says "out of range" at both ends: a negative exponent tells which, for digits before the point are few.
  const bool tiny = digits.find("e-") != std::string_view::npos || digits.find("E-") != std::string_view::npos ||
                    digits.substr(0, digits.find('.')).find_first_not_of("-0") == std::string_view::npos;
  return {tiny ? Size::too_small : Size::too_large, 0.0};
}

class Scanner {
 public:
  Scanner(std::string_view text, std::size_t at, NumberStyle style)
      : text_(text), at_(text::skip_spaces(text, at)), mark_(style == NumberStyle::point ? '.' : ',') {}

  Parsed<ScannedNumber> scan() {
    number_.begin = at_;
    const bool negative = take_sign();
    const bool starts_with_mark = at_or_nul(text_, at_) == mark_ && is_digit(text_, at_ + 1);
    if (!begins_number(text_, at_) && !starts_with_mark) {
      return error_at(text_, number_.begin, text::shown(text_) + " does not begin with a number");
    }
    const std::optional<ParseError> error = is_fraction() ? take_fraction() : take_decimal();
    if (error) return *error;
    if (auto wrong_mark = refuse_other_marks()) return *wrong_mark;
    number_.end = at_;
    if (negative) number_.value = -number_.value;
    return number_;
  }

 private:
  bool take_sign() {
    number_.plain = true;
    if (at_ >= text_.size()) return false;
    const text::Character character = text::character_at(text_, at_);
    const bool minus = character.code == U'-' || character.code == U'\u2212';
    if (!minus && character.code != U'+') return false;
    number_.plain = false;
    at_ = text::skip_spaces(text_, at_ + character.size);
    return minus;
  }

  // "½", "1½", "1 ½", "1/2", "1 1/2"
  bool is_fraction() const {
    const std::size_t after = skip_digits(text_, at_);
    const std::size_t next = text::skip_spaces(text_, after);
    if (fraction_sign_at(text_, next) || slash_size(text_, after) > 0) return true;
    const std::size_t after_second = skip_digits(text_, next);
    return next > after && after_second > next && slash_size(text_, after_second) > 0;
  }

  std::optional<ParseError> take_fraction() {
    number_.plain = false;
    std::size_t after = skip_digits(text_, at_);
    if (after > at_ && slash_size(text_, after) == 0) {
      if (auto error = take_digits(after, number_.value)) return error;
      at_ = text::skip_spaces(text_, at_);
    }
    if (const auto sign = fraction_sign_at(text_, at_)) {
      number_.value += sign->numerator / sign->denominator;
      at_ += text::character_at(text_, at_).size;
      return std::nullopt;
    }
    double numerator = 0.0;
    double denominator = 0.0;
    if (auto error = take_digits(skip_digits(text_, at_), numerator)) return error;
    at_ += slash_size(text_, at_);
    after = skip_digits(text_, at_);
    if (after == at_) return error_at(text_, at_, "a number must follow the fraction stroke");
    if (auto error = take_digits(after, denominator)) return error;
    if (denominator == 0.0) return error_at(text_, number_.begin, text::shown(text_) + " divides by zero");
    number_.value += numerator / denominator;
    if (slash_size(text_, at_) > 0) return error_at(text_, at_, "a fraction has one stroke only");
    return std::nullopt;
  }

  std::optional<ParseError> take_digits(std::size_t after, double& value) {
    const auto [size, read] = size_of(text_.substr(at_, after - at_));
    if (size != Size::held) return absurd(size);
    value = read;
    at_ = after;
    return std::nullopt;
  }

  std::optional<ParseError> take_decimal() {
    const std::size_t begin = at_;
    at_ = skip_digits(text_, at_);
    if (at_or_nul(text_, at_) == mark_ && is_digit(text_, at_ + 1)) {
      const std::size_t after = skip_digits(text_, at_ + 1);
      number_.written_decimals = static_cast<int>(after - at_ - 1);
      at_ = after;
    }
    if (at_or_nul(text_, at_) == 'e' || at_or_nul(text_, at_) == 'E') {
      const char sign = at_or_nul(text_, at_ + 1);
      const std::size_t digits_at = at_ + (sign == '-' || sign == '+' ? 2 : 1);
      if (is_digit(text_, digits_at)) {
        number_.plain = false;
        at_ = skip_digits(text_, digits_at);
      }
    }
    std::string digits(text_.substr(begin, at_ - begin));
    if (const auto mark_at = digits.find(mark_); mark_at != std::string::npos) digits[mark_at] = '.';
    if (const auto exponent_sign = digits.find('+'); exponent_sign != std::string::npos) digits.erase(exponent_sign, 1);
    const auto [size, value] = size_of(digits);
    if (size != Size::held) return absurd(size);
    number_.value = value;
    return std::nullopt;
  }

  ParseError absurd(Size size) const {
    return error_at(text_, number_.begin,
                    fmt::format("{} is a number too {} to mean anything", text::shown(text_),
                                size == Size::too_small ? "small" : "large"));
  }

  // After the number: a second mark, the other mark, or further digits after a space.
  std::optional<ParseError> refuse_other_marks() const {
    const char next = at_or_nul(text_, at_);
    const std::size_t after_space = text::skip_spaces(text_, at_);
    if (after_space > at_ && is_digit(text_, after_space)) {
      return error_at(text_, at_, text::shown(text_) + " has a space inside its number",
                      "thousands take no separator, as in 1000; a fraction is written 1 1/2");
    }
    if (next != '.' && next != ',') return std::nullopt;
    if (next == mark_ && number_.written_decimals > 0) {
      return error_at(text_, at_, text::shown(text_) + " has two decimal marks",
                      "thousands take no separator, as in 1000");
    }
    if (next == mark_ && is_digit(text_, at_ + 1)) {
      return error_at(text_, at_, text::shown(text_) + " mixes a fraction with decimals", "write 1/2 or 0.5");
    }
    if (next == mark_) return error_at(text_, at_, fmt::format("a digit must follow the decimal {}", mark_name(mark_)));
    return error_at(
        text_, at_, fmt::format("{} has a {} in its number", text::shown(text_), mark_name(next)),
        fmt::format("decimals are written here with a {}, and thousands take no separator", mark_name(mark_)));
  }

  static std::string_view mark_name(char mark) { return mark == '.' ? "point" : "comma"; }

  std::string_view text_;
  std::size_t at_;
  char mark_;
  ScannedNumber number_;
};

}  // namespace

double number_of_digits(std::string_view digits) {
  double value = 0.0;
  const char* const end = digits.data() + digits.size();
  const auto result = std::from_chars(digits.data(), end, value);
  if (result.ptr != end || result.ec == std::errc::invalid_argument) return std::numeric_limits<double>::quiet_NaN();
  if (result.ec == std::errc()) return value;
  const double sign = digits.starts_with('-') ? -1.0 : 1.0;
  return size_of(digits).first == Size::too_small ? sign * 0.0 : sign * std::numeric_limits<double>::infinity();
}

double rounded_to_digits(double value, int digits) {
  if (value == 0.0 || !std::isfinite(value)) return value + 0.0;  // no "-0"
  return number_of_digits(fmt::format("{:.{}g}", value, digits));
}

bool begins_number(std::string_view text, std::size_t at) {
  return is_digit(text, at) || fraction_sign_at(text, at).has_value();
}

Parsed<ScannedNumber> scan_number(std::string_view text, std::size_t at, NumberStyle style) {
  return Scanner(text, at, style).scan();
}

}  // namespace oddgrist

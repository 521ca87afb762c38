// The number in front of a unit: "9.5", "1/2", "½", "1½", "1 1/2", "-18", "1e3". No thousands marks; the decimal mark
// is an argument.
#pragma once

#include <cassert>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

namespace oddgrist {

enum class NumberStyle { point, comma };

struct ParseError {
  std::string message;     // what is wrong
  std::size_t offset = 0;  // characters before the place in the text, for a caret
  std::string hint;        // what would be accepted; may be empty

  [[nodiscard]] std::string text() const { return hint.empty() ? message : message + ": " + hint; }
};

// A value or the reason why there is none.
template <class T>
class [[nodiscard]] Parsed {
 public:
  Parsed(T value) : held_(std::move(value)) {}
  Parsed(ParseError error) : held_(std::move(error)) {}
  [[nodiscard]] bool ok() const { return held_.index() == 0; }
  explicit operator bool() const { return ok(); }
  // Only when ok().
  [[nodiscard]] const T& value() const {
    assert(ok());
    return *std::get_if<0>(&held_);
  }
  // Only when not ok().
  [[nodiscard]] const ParseError& error() const {
    assert(!ok());
    return *std::get_if<1>(&held_);
  }

 private:
  std::variant<T, ParseError> held_;
};

struct ScannedNumber {
  double value = 0.0;
  std::size_t begin = 0;  // bytes in the text
  std::size_t end = 0;
  int written_decimals = 0;  // digits after the decimal mark
  bool plain = false;        // digits and a decimal mark only: no sign, fraction or exponent
};

// Reads the number that begins at this byte, after spaces.
Parsed<ScannedNumber> scan_number(std::string_view text, std::size_t at, NumberStyle style);

// What plain digits with a point and perhaps an exponent stand for, as this program prints them. Never fails: what is too small for a double
// is 0, what is too large is infinite, and what is no number is NaN.
double number_of_digits(std::string_view digits);

// To so many significant digits, for what goes into a file that people read.
double rounded_to_digits(double value, int digits);

// Whether a number may begin here without a sign: a digit, or a fraction sign such as ½.
bool begins_number(std::string_view text, std::size_t at);

}  // namespace oddgrist

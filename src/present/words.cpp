#include "present/words.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

#include <fmt/format.h>

namespace oddgrist::present {
namespace {

bool continues_utf8(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

// Bytes that the first `count` columns of a text take.
std::size_t bytes_of_columns(std::string_view text, std::size_t count) {
  std::size_t at = 0;
  for (std::size_t column = 0; at < text.size() && column < count; ++column) {
    ++at;
    while (at < text.size() && continues_utf8(text[at])) ++at;
  }
  return at;
}

// "13.4", "(3.54": a number the next word belongs to.
bool is_number(std::string_view word) {
  return !word.empty() && word.find_first_not_of("(0123456789.") == std::string_view::npos && word.back() != '.';
}

// The next word of the text, taken off it; a number brings the word after it along.
std::string take_word(std::string_view& text) {
  std::string word;
  while (!text.empty()) {
    const std::size_t space = std::min(text.find(' '), text.size());
    const std::string_view token = text.substr(0, space);
    text.remove_prefix(std::min(space + 1, text.size()));
    if (token.empty()) continue;
    if (!word.empty()) word += ' ';
    word += token;
    if (!is_number(token)) break;
  }
  return word;
}

// A quantity that is a number at all.
template <class Kind>
bool known(Quantity<Kind> quantity) {
  return std::isfinite(quantity.in(Unit<Kind>{}));
}

}  // namespace

std::string number(double value, int decimals) {
  std::string text = fixed(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "?";
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') text.erase(0, 1);  // no "-0.0"
  return text;
}

std::string Units::mass(Mass mass) const { return known(mass) ? both(mass, first_) : "?"; }
std::string Units::volume(Volume volume) const { return known(volume) ? both(volume, first_) : "?"; }
std::string Units::temperature(Temperature temperature) const {
  return known(temperature) ? both(temperature, first_) : "?";
}
std::string Units::gravity(Gravity gravity) const { return known(gravity) ? both(gravity) : "?"; }

std::string Units::colour(Colour colour) const {
  if (!known(colour)) return "?";
  return in_order(print(colour, ebc, 0), print(colour, srm, 0));
}

std::string Units::dose(Concentration dose) const {
  if (!known(dose)) return "?";
  const double ounces_per_gallon = (dose.in(gram_per_litre)*gram).in(ounce)*us_gallon.scale;
  return in_order(print(dose, gram_per_litre, 1), fixed(ounces_per_gallon, 2) + " oz/US gal");
}

std::string Units::in_order(const std::string& metric, const std::string& us) const {
  return us_first() ? us + " (" + metric + ")" : metric + " (" + us + ")";
}

std::size_t columns(std::string_view text) {
  std::size_t count = 0;
  for (const char c : text) count += continues_utf8(c) ? 0 : 1;
  return count;
}

std::vector<std::string> wrapped(std::string_view raw, std::size_t width) {
  std::string plain(raw);
  std::replace_if(
      plain.begin(), plain.end(), [](char c) { return std::iscntrl(static_cast<unsigned char>(c)) != 0; }, ' ');
  std::string_view text = plain;
  std::vector<std::string> lines;
  std::string line;
  while (!text.empty()) {
    std::string word = take_word(text);
    if (word.empty()) break;
    if (!line.empty() && columns(line) + 1 + columns(word) > width) {
      lines.push_back(line);
      line.clear();
    }
    while (columns(word) > width) {
      const std::size_t cut = bytes_of_columns(word, width);
      lines.push_back(word.substr(0, cut));
      word.erase(0, cut);
    }
    if (!line.empty()) line += ' ';
    line += word;
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

std::string padded(std::string_view text, std::size_t width) {
  const std::size_t taken = columns(text);
  return std::string(text) + std::string(taken < width ? width - taken : 0, ' ');
}

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

}  // namespace oddgrist::present

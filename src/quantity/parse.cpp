#include "quantity/parse.hpp"

#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "quantity/gravity.hpp"
#include "quantity/text.hpp"

namespace oddgrist {
namespace {

using text::shown;

// "9.5 L, 9.5 US gal or 9.5 imp gal" from "L|US gal|imp gal"; without a number only the symbols.
std::string choices_with(std::string_view number, std::string_view symbols) {
  std::vector<std::string> parts;
  any_part(symbols, [&](std::string_view symbol) {
    parts.push_back(number.empty() ? std::string(symbol) : fmt::format("{} {}", number, symbol));
    return false;
  });
  std::string out;
  for (std::size_t index = 0; index < parts.size(); ++index) {
    if (index > 0) out += index + 1 == parts.size() ? " or " : ", ";
    out += parts[index];
  }
  return out;
}

std::string examples_for(std::optional<KindId> wanted, std::string_view number) {
  if (wanted == KindId::gravity) return "write for example 1.048, 1.048 SG or 11.9 °P";
  const std::string_view symbols = wanted ? kind_row(*wanted).examples : "kg|L|°C";
  return "write for example " + choices_with(number.empty() ? "1" : number, symbols);
}

std::optional<ParseError> refuse_characters(std::string_view text) {
  constexpr std::size_t longest = 200;
  if (text.size() > longest) return ParseError{shown(text) + " is too long to be a quantity", 0, {}};
  for (std::size_t at = 0; at < text.size();) {
    const text::Character character = text::character_at(text, at);
    if (text::is_unwelcome(character)) {
      return ParseError{
          shown(text) + " holds a character that does not belong in a quantity", text::column_of(text, at), {}};
    }
    at += character.size;
  }
  return std::nullopt;
}

// One space between words, none after a degree sign or around a stroke, no abbreviation points: "fl. oz." is "fl oz".
std::string plain_spelling(std::string_view text) {
  std::string out;
  text = text::trimmed(text);
  for (std::size_t at = 0; at < text.size();) {
    const text::Character character = text::character_at(text, at);
    if (text::space_size(text, at) > 0) {
      const std::size_t next = text::skip_spaces(text, at);
      const bool joined = out.ends_with("°") || out.ends_with('/') || text[next] == '/';
      if (!joined) out += ' ';
      at = next;
      continue;
    }
    if (character.code == U'º') {
      out += "°";
    } else if (character.code != U'.') {
      out += text.substr(at, character.size);
    }
    at += character.size;
  }
  return out;
}

const UnitRow* find_unit(std::string_view plain, std::optional<KindId> kind) {
  for (const bool any_case : {false, true}) {
    for (const UnitRow& row : unit_rows()) {
      if ((!kind || row.kind == *kind) && row.accepts(plain, any_case)) return &row;
    }
  }
  return nullptr;
}

const AmbiguousSpelling* find_ambiguous(std::string_view plain, std::optional<KindId> kind) {
  std::string lowered(plain);
  for (char& c : lowered) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  for (const AmbiguousSpelling& shared : ambiguous_spellings()) {
    const auto same = [&](std::string_view known) { return known == lowered; };
    if ((!kind || shared.kind == *kind) && any_part(shared.spellings, same)) return &shared;
  }
  return nullptr;
}

std::string symbols_of(KindId kind) {
  std::string out;
  for (const UnitRow& row : unit_rows()) {
    if (row.kind == kind) out += (out.empty() ? "" : ", ") + std::string(row.symbol);
  }
  return out;
}

ParseError wrong_kind(std::string_view unit, KindId wanted, KindId found, std::string_view number) {
  return {fmt::format("{} is wanted here, but {} is {}", kind_row(wanted).noun, unit, kind_row(found).noun), 0,
          examples_for(wanted, number)};
}

// Where the unit that begins at this byte ends: at the end, unless only its beginning is a unit and a next number
// follows ("2 lb 3 oz").
std::size_t unit_end(std::string_view text, std::size_t at) {
  const std::string rest = plain_spelling(text.substr(at));
  if (find_unit(rest, std::nullopt) || find_ambiguous(rest, std::nullopt)) return text.size();
  for (std::size_t end = at; end < text.size(); end += text::character_at(text, end).size) {
    const char before = end > at ? text[end - 1] : ' ';
    if (begins_number(text, end) && before != '.' && before != ',') return end;  // "1 lb.5 oz" is not 1 lb and 5 oz
  }
  return text.size();
}

bool written_like_gravity(const ScannedNumber& number) {
  return number.plain && number.written_decimals >= 3 && number.value >= lowest_specific_gravity &&
         number.value <= highest_specific_gravity;
}

ParseError moved(ParseError error, std::size_t columns) {
  error.offset += columns;
  return error;
}

// The kind's own limits. A point scale's lower end is met by rounding ("-459.67 °F"), so a hair below it still counts
// as it.
std::optional<ParseError> refuse_size(std::string_view text, double base, const UnitRow& unit) {
  const KindRow& kind = kind_row(unit.kind);
  const double hair = 1e-12;
  if (std::isnan(base)) return ParseError{shown(text) + " is not a number", 0, {}};
  if (base > kind.highest_base * (1.0 + hair))
    return ParseError{fmt::format("{} {}", shown(text), kind.too_high), 0, {}};
  if (base < kind.lowest_base - hair * std::abs(kind.lowest_base)) {
    return ParseError{fmt::format("{} is refused: {}", shown(text), kind.too_low), 0, {}};
  }
  return std::nullopt;
}

class Reader {
 public:
  Reader(std::string_view text, std::optional<KindId> wanted, NumberStyle style)
      : text_(text), wanted_(wanted), style_(style) {}

  Parsed<Measured> read() {
    if (auto error = refuse_characters(text_)) return *error;
    if (text::trimmed(text_).empty()) return ParseError{"nothing is written here", 0, examples_for(wanted_, {})};
    while (text::skip_spaces(text_, at_) < text_.size()) {
      if (auto error = read_part()) return *error;
    }
    if (auto error = refuse_size(text_, measured_.base, *measured_.unit)) return *error;
    measured_.base += 0.0;  // -0 becomes 0
    return measured_;
  }

 private:
  std::optional<ParseError> read_part() {
    const Parsed<ScannedNumber> scanned = scan_number(text_, at_, style_);
    if (!scanned) {
      ParseError error = scanned.error();
      if (error.hint.empty()) error.hint = examples_for(wanted_, {});
      return error;
    }
    const ScannedNumber& number = scanned.value();
    const std::string_view written = text_.substr(number.begin, number.end - number.begin);
    const std::size_t unit_begin = text::skip_spaces(text_, number.end);
    if (unit_begin == text_.size()) return read_bare(number, written);
    at_ = unit_end(text_, unit_begin);
    const auto unit = parse_unit(text_.substr(unit_begin, at_ - unit_begin), wanted_, written);
    if (!unit) return moved(unit.error(), text::column_of(text_, unit_begin));
    if (measured_.unit != nullptr) {
      if (auto error = refuse_second(number, *unit.value())) return error;
    }
    add(number.value, written, *unit.value());
    measured_.written_decimals = number.written_decimals;
    return std::nullopt;
  }

  // A number at the end with no unit: a specific gravity, or an error.
  std::optional<ParseError> read_bare(const ScannedNumber& number, std::string_view written) {
    const bool gravity_fits = !wanted_ || wanted_ == KindId::gravity;
    if (!gravity_fits || measured_.unit != nullptr || !written_like_gravity(number)) {
      return ParseError{shown(written) + " has no unit", text::column_of(text_, number.end),
                        examples_for(wanted_, written)};
    }
    at_ = text_.size();
    measured_ = {number.value, &unit_row(KindId::gravity, "SG"), number.written_decimals, std::string(written)};
    return std::nullopt;
  }

  // "2 lb 10 oz": the second unit is of the same kind and smaller.
  std::optional<ParseError> refuse_second(const ScannedNumber& number, const UnitRow& unit) const {
    const std::size_t column = text::column_of(text_, number.begin);
    if (!kind_row(unit.kind).compound) return ParseError{shown(text_) + " holds more than one quantity", column, {}};
    if (unit.scale.value() >= last_scale_) {
      return ParseError{shown(text_) + " does not go from the larger unit to the smaller", column,
                        "write for example 2 lb 10 oz"};
    }
    return std::nullopt;
  }

  void add(double value, std::string_view written, const UnitRow& unit) {
    if (measured_.unit == nullptr) {
      measured_.unit = &unit;
      wanted_ = unit.kind;
    } else {
      measured_.written += ' ';
    }
    measured_.base += unit.to_base(value);
    measured_.written += fmt::format("{} {}", written, unit.symbol);
    last_scale_ = unit.scale.value();
  }

  std::string_view text_;
  std::optional<KindId> wanted_;
  NumberStyle style_;
  std::size_t at_ = 0;
  double last_scale_ = 0.0;
  Measured measured_;
};

struct Separator {
  std::size_t begin;
  std::size_t end;
};

// The mark between the ends of a range: the word "to" between spaces, a dash, or a hyphen that is not a sign.
std::optional<Separator> find_separator(std::string_view text) {
  for (std::size_t at = 1; at + 2 < text.size(); ++at) {
    const std::string_view word = text.substr(at, 2);
    if ((word == "to" || word == "TO" || word == "To") && text::space_size(text, at + 2) > 0 && text[at - 1] == ' ')
      return {{at, at + 2}};
  }
  const auto behind = [&](std::size_t at) { return text::trimmed(text.substr(0, at)); };
  for (std::size_t at = 0; at < text.size();) {
    const text::Character character = text::character_at(text, at);
    const bool dash = character.code == U'–' || character.code == U'—';
    const bool hyphen = character.code == U'-' || character.code == U'\u2212';
    const bool exponent = at >= 2 && (text[at - 1] == 'e' || text[at - 1] == 'E') && begins_number(text, at - 2) &&
                          begins_number(text, at + 1);
    if ((dash || hyphen) && !behind(at).empty() && !exponent) return {{at, at + character.size}};
    at += character.size;
  }
  return std::nullopt;
}

// The first end of a range, which may leave its unit to the second.
Parsed<Measured> read_low(std::string_view text, const Measured& high, KindId wanted, NumberStyle style) {
  const Parsed<ScannedNumber> scanned = scan_number(text, 0, style);
  if (!scanned) return scanned.error();
  const ScannedNumber& number = scanned.value();
  if (text::skip_spaces(text, number.end) < text.size()) return parse_measured(text, wanted, style);
  if (written_like_gravity(number) && wanted == KindId::gravity) {
    if (high.unit->symbol == "SG") return parse_measured(text, wanted, style);
    return ParseError{
        fmt::format("{} may be a specific gravity or in {}", shown(text::trimmed(text)), high.unit->symbol), 0,
        fmt::format("write its unit, as in {} {}", text::trimmed(text), high.unit->symbol)};
  }
  const double base = high.unit->to_base(number.value);
  if (auto error = refuse_size(text, base, *high.unit)) return *error;
  return Measured{base + 0.0, high.unit, number.written_decimals,
                  fmt::format("{} {}", text::trimmed(text), high.unit->symbol)};
}

}  // namespace

Parsed<const UnitRow*> parse_unit(std::string_view text, std::optional<KindId> wanted, std::string_view number) {
  if (auto error = refuse_characters(text)) return *error;
  const std::string plain = plain_spelling(text);
  const std::string quoted = shown(text::trimmed(text));
  if (const UnitRow* row = find_unit(plain, wanted)) return row;
  if (const AmbiguousSpelling* shared = find_ambiguous(plain, wanted)) {
    return ParseError{quoted + " alone may be one of several measures", 0,
                      "write " + choices_with(number, shared->choices)};
  }
  if (wanted) {
    const UnitRow* other = find_unit(plain, std::nullopt);
    if (other != nullptr) return wrong_kind(other->symbol, *wanted, other->kind, number);
    if (const AmbiguousSpelling* shared = find_ambiguous(plain, std::nullopt)) {
      return wrong_kind(text::trimmed(text), *wanted, shared->kind, number);
    }
    return ParseError{quoted + " is no unit known here", 0,
                      fmt::format("units of {}: {}", bare_noun(*wanted), symbols_of(*wanted))};
  }
  return ParseError{quoted + " is no unit known here", 0, examples_for(wanted, number)};
}

Parsed<Measured> parse_measured(std::string_view text, std::optional<KindId> wanted, NumberStyle style) {
  return Reader(text, wanted, style).read();
}

Parsed<MeasuredRange> parse_measured_range(std::string_view text, KindId wanted, NumberStyle style) {
  if (auto error = refuse_characters(text)) return *error;
  const std::optional<Separator> separator = find_separator(text);
  if (!separator) {
    return ParseError{shown(text) + " is not a range", 0,
                      "write two ends, as in " + choices_with("2 to 3", kind_row(wanted).examples)};
  }
  const Parsed<Measured> high = parse_measured(text.substr(separator->end), wanted, style);
  if (!high) return moved(high.error(), text::column_of(text, separator->end));
  const Parsed<Measured> low = read_low(text.substr(0, separator->begin), high.value(), wanted, style);
  if (!low) return low.error();
  if (low.value().base > high.value().base)
    return ParseError{shown(text) + " runs backwards", 0, "write the smaller end first"};
  return MeasuredRange{low.value(), high.value()};
}

}  // namespace oddgrist

#include "cli/convert.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "quantity/parse.hpp"
#include "quantity/print.hpp"

namespace oddgrist::cli {
namespace {

// Four significant digits, without zeros at the end of a decimal part: "9.464 L", "70 °C".
std::string in_four_digits(double base, const UnitRow& unit) {
  const double value = unit.from_base(base);
  if (unit.kind == KindId::gravity) return print_base(base, unit, unit.decimals);
  const int before_point = value == 0.0 ? 1 : static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
  std::string number = fmt::format("{:.{}f}", value, std::clamp(std::max(4, unit.digits) - before_point, 0, 12));
  if (number.find('.') != std::string::npos) {
    number.erase(number.find_last_not_of('0') + 1);
    if (number.back() == '.') number.pop_back();
  }
  return fmt::format("{} {}", number == "-0" ? "0" : number, unit.symbol);
}

bool is_readable(double value) { return value == 0.0 || (std::abs(value) >= 0.1 && std::abs(value) < 1e5); }

// The largest unit of a family that gives at least 1, or the smallest; null if the kind has none in that family.
const UnitRow* best_of(UnitFamily family, KindId kind, double base) {
  const UnitRow* smallest = nullptr;
  for (const UnitRow& row : unit_rows()) {
    if (row.kind != kind || row.family != family) continue;
    if (std::abs(row.from_base(base)) >= 1.0) return &row;
    smallest = &row;
  }
  return smallest;
}

std::vector<const UnitRow*> first_line_units(const Measured& measured) {
  const UnitRow& unit = *measured.unit;
  std::vector<const UnitRow*> out;
  for (const UnitRow& row : unit_rows()) {
    const bool other = row.kind == unit.kind && &row != &unit && row.family == UnitFamily::scale_of_its_own;
    if (other && (unit.kind == KindId::temperature || is_readable(row.from_base(measured.base)))) out.push_back(&row);
  }
  for (const UnitFamily family : {UnitFamily::metric, UnitFamily::us, UnitFamily::imperial}) {
    const UnitRow* best = best_of(family, unit.kind, measured.base);
    if (best != nullptr && family != unit.family) out.push_back(best);
  }
  return out;
}

std::string all_that_fit(const Measured& measured) {
  const std::vector<const UnitRow*> first = first_line_units(measured);
  std::string line = measured.written;
  for (const UnitRow* row : first) line += " = " + in_four_digits(measured.base, *row);
  std::string rest;
  for (const UnitRow& row : unit_rows()) {
    const bool said = &row == measured.unit || std::find(first.begin(), first.end(), &row) != first.end();
    if (row.kind != measured.unit->kind || said || !is_readable(row.from_base(measured.base))) continue;
    rest += (rest.empty() ? "\nalso " : ", ") + in_four_digits(measured.base, row);
  }
  if (first.empty() && rest.empty())
    return fmt::format("{}: no other unit of {} fits", line, bare_noun(measured.unit->kind));
  return line + rest;
}

}  // namespace

ConvertResult convert(std::string_view text, std::string_view wanted_unit) {
  const Parsed<Measured> measured = parse_measured(text, std::nullopt);
  if (!measured) return {false, measured.error().text()};
  if (wanted_unit.empty()) return {true, all_that_fit(measured.value())};
  const Parsed<const UnitRow*> unit = parse_unit(wanted_unit, std::nullopt);
  const KindId kind = measured.value().unit->kind;
  const Parsed<const UnitRow*> unit_of_kind = parse_unit(wanted_unit, kind);
  if (unit_of_kind) {
    return {true, fmt::format("{} = {}", measured.value().written,
                              in_four_digits(measured.value().base, *unit_of_kind.value()))};
  }
  if (unit && unit.value()->kind != kind) {
    return {false,
            fmt::format("{} is {}, and {} is a unit of {}: one does not become the other", measured.value().written,
                        kind_row(kind).noun, unit.value()->symbol, bare_noun(unit.value()->kind))};
  }
  return {false, unit_of_kind.error().text()};
}

}  // namespace oddgrist::cli

// The one table of units: one row a unit. Parser, printer, the suffix of a field in JSON, and the documents all read
// these rows.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

#include "quantity/quantity.hpp"

namespace oddgrist {

enum class KindId {
  mass,
  volume,
  temperature,
  temperature_rise,
  duration,
  pressure,
  gravity,
  colour,
  bitterness,
  carbonation,
  concentration,
  fraction,
  energy,
  power,
  flow,
  volume_per_mass,
  length
};

template <class Kind>
inline constexpr KindId kind_id = [] {
  static_assert(sizeof(Kind) == 0, "this kind has no row in the table of kinds");
  return KindId::mass;
}();
template <>
inline constexpr KindId kind_id<MassKind> = KindId::mass;
template <>
inline constexpr KindId kind_id<VolumeKind> = KindId::volume;
template <>
inline constexpr KindId kind_id<TemperatureKind> = KindId::temperature;
template <>
inline constexpr KindId kind_id<TemperatureRiseKind> = KindId::temperature_rise;
template <>
inline constexpr KindId kind_id<DurationKind> = KindId::duration;
template <>
inline constexpr KindId kind_id<PressureKind> = KindId::pressure;
template <>
inline constexpr KindId kind_id<GravityKind> = KindId::gravity;
template <>
inline constexpr KindId kind_id<ColourKind> = KindId::colour;
template <>
inline constexpr KindId kind_id<BitternessKind> = KindId::bitterness;
template <>
inline constexpr KindId kind_id<CarbonationKind> = KindId::carbonation;
template <>
inline constexpr KindId kind_id<ConcentrationKind> = KindId::concentration;
template <>
inline constexpr KindId kind_id<FractionKind> = KindId::fraction;
template <>
inline constexpr KindId kind_id<EnergyKind> = KindId::energy;
template <>
inline constexpr KindId kind_id<PowerKind> = KindId::power;
template <>
inline constexpr KindId kind_id<FlowKind> = KindId::flow;
template <>
inline constexpr KindId kind_id<VolumePerMassKind> = KindId::volume_per_mass;
template <>
inline constexpr KindId kind_id<LengthKind> = KindId::length;

// What may be said of a whole kind, in its base unit.
struct KindRow {
  KindId id;
  std::string_view noun;      // "a mass"
  std::string_view examples;  // symbols offered when a unit is missing, separated by |
  double lowest_base;         // refused below
  double highest_base;        // refused above
  std::string_view too_low;   // why it is refused below
  std::string_view too_high;  // why it is refused above
  bool compound;              // "2 lb 10 oz" is one quantity
};

struct ExactRatio {
  std::int64_t numerator = 1;
  std::int64_t denominator = 1;
  // Correctly rounded: both parts of every row are below 2^53.
  [[nodiscard]] constexpr double value() const {
    return static_cast<double>(numerator) / static_cast<double>(denominator);
  }
};

// Which other units are worth a word beside this one. `seldom` units are read and written like all others, but rarely
// offered.
enum class UnitFamily { metric, us, imperial, seldom, scale_of_its_own };
enum class UnitCurve { straight, plato };

struct UnitRow {
  KindId kind;
  UnitFamily family;
  std::string_view symbol;       // as shown; also accepted
  std::string_view json_suffix;  // of a field that holds a bare number: "amount_kg"
  ExactRatio scale;              // straight: value_in_base = value * scale + offset
  ExactRatio offset;
  int digits;                  // significant digits when shown,
  int decimals;                // but never more than these after the point
  std::string_view spellings;  // also accepted, separated by |; more than one letter: upper and lower case alike
  std::string_view source;     // of the ratio
  UnitCurve curve = UnitCurve::straight;

  [[nodiscard]] double to_base(double value) const;
  [[nodiscard]] double from_base(double base) const;
  [[nodiscard]] bool accepts(std::string_view plain_spelling, bool any_case) const;
};

// A spelling that two measures share: refused, with the choices.
struct AmbiguousSpelling {
  KindId kind;
  std::string_view spellings;
  std::string_view choices;  // symbols, separated by |
};

std::span<const UnitRow> unit_rows();
std::span<const AmbiguousSpelling> ambiguous_spellings();
std::span<const KindRow> kind_rows();
const KindRow& kind_row(KindId kind);
std::string_view bare_noun(KindId kind);  // "mass" of "a mass"

// The row with exactly this symbol; the program stops if there is none, as only a programmer writes this symbol.
const UnitRow& unit_row(KindId kind, std::string_view symbol);

namespace detail {
const UnitRow& unit_row_like(KindId kind, double scale, double offset);
}

// The row of a unit known to the compiler: unit_row(ounce). The first such row, where two units have the same size.
template <class Kind>
const UnitRow& unit_row(Unit<Kind> unit) {
  return detail::unit_row_like(kind_id<Kind>, unit.scale, unit.offset);
}

// Calls visit(part) for each part of a list separated by |, until it returns true; says whether one did.
template <class Visit>
bool any_part(std::string_view list, Visit visit) {
  while (!list.empty()) {
    const auto bar_at = list.find('|');
    if (visit(list.substr(0, bar_at))) return true;
    if (bar_at == std::string_view::npos) return false;
    list.remove_prefix(bar_at + 1);
  }
  return false;
}

}  // namespace oddgrist

// Quantity to text, rounded as the unit's row says. Printing then parsing gives the same value to the printed digits.
#pragma once

#include <string>

#include "quantity/units.hpp"

namespace oddgrist {

enum class UnitSystem { si, us };  // which one comes first

// With this many digits after the point (0 to 17). A specific gravity with at least three needs no symbol: "1.069".
std::string print_base(double base, const UnitRow& unit, int decimals);

// Digits after the point that the row asks for at this size.
int decimals_shown(double value, const UnitRow& unit);

template <class Kind>
std::string print(Quantity<Kind> quantity, const UnitRow& unit, int decimals) {
  return print_base(quantity.in(Unit<Kind>{}), unit, decimals);
}

template <class Kind>
std::string print(Quantity<Kind> quantity, const UnitRow& unit) {
  const double base = quantity.in(Unit<Kind>{});
  return print_base(base, unit, decimals_shown(unit.from_base(base), unit));
}

template <class Kind>
std::string print(Quantity<Kind> quantity, Unit<Kind> unit, int decimals) {
  return print(quantity, unit_row(unit), decimals);
}

template <class Kind>
std::string print(Quantity<Kind> quantity, Unit<Kind> unit) {
  return print(quantity, unit_row(unit));
}

// In both systems: "9.5 L (2.51 US gal)", "1.20 kg (2 lb 10.3 oz)", "45.0 g (1.59 oz)", "70.0 °C (158 °F)", "2.76 bar
// (40.0 psi)".
std::string both(Mass mass, UnitSystem first = UnitSystem::si);
std::string both(Volume volume, UnitSystem first = UnitSystem::si);
std::string both(Temperature temperature, UnitSystem first = UnitSystem::si);
std::string both(Pressure pressure, UnitSystem first = UnitSystem::si);

// "35.0 EBC (17.8 SRM)"; us: the other way round.
std::string both(Colour colour, UnitSystem first = UnitSystem::si);

// "1.069 (16.8 °P)". Neither scale belongs to a system of units: specific gravity always comes first.
std::string both(Gravity gravity);

}  // namespace oddgrist

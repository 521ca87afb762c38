#include "quantity/print.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include <fmt/format.h>

#include "quantity/gravity.hpp"

namespace oddgrist {
namespace {

// "-0.0" is "0.0".
std::string fixed(double value, int decimals) {
  std::string out = fmt::format("{:.{}f}", value, decimals);
  if (out.front() == '-' && out.find_first_of("123456789") == std::string::npos) out.erase(0, 1);
  return out;
}

std::string in_order(const std::string& si, const std::string& us, UnitSystem first) {
  return first == UnitSystem::si ? fmt::format("{} ({})", si, us) : fmt::format("{} ({})", us, si);
}

std::string metric_mass(Mass mass) {
  if (mass >= 1.0 * kilogram) return print(mass, kilogram);
  if (mass == 0.0 * kilogram || mass >= 0.1 * gram) return print(mass, gram);
  return print(mass, milligram);
}

// Pounds and ounces to a tenth of an ounce; the tenths are counted whole, so that 15.96 oz goes over into the next
// pound.
std::string pounds_and_ounces(Mass mass) {
  if (mass < 1.0 * pound) return print(mass, ounce);
  const double tenths = std::round(mass.in(ounce)*10.0);
  const double pounds = std::floor(tenths / 160.0);
  return fmt::format("{:.0f} lb {:.1f} oz", pounds, (tenths - pounds * 160.0) / 10.0);
}

}  // namespace

std::string print_base(double base, const UnitRow& unit, int decimals) {
  assert(decimals >= 0 && decimals <= 17);
  const std::string number = fixed(unit.from_base(base), decimals);
  const bool stands_alone = unit.kind == KindId::gravity && unit.symbol == "SG" && decimals >= 3 &&
                            base >= lowest_specific_gravity && base <= highest_specific_gravity;
  return stands_alone ? number : fmt::format("{} {}", number, unit.symbol);
}

int decimals_shown(double value, const UnitRow& unit) {
  if (value == 0.0 || !std::isfinite(value)) return 0;
  const int before_point = static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
  return std::clamp(unit.digits - before_point, 0, unit.decimals);
}

std::string both(Mass mass, UnitSystem first) { return in_order(metric_mass(mass), pounds_and_ounces(mass), first); }

std::string both(Volume volume, UnitSystem first) {
  const bool small = volume < 1.0 * litre;
  return in_order(small ? print(volume, millilitre) : print(volume, litre),
                  small ? print(volume, us_fluid_ounce) : print(volume, us_gallon), first);
}

std::string both(Temperature temperature, UnitSystem first) {
  return in_order(print(temperature, celsius), print(temperature, fahrenheit), first);
}

std::string both(Pressure pressure, UnitSystem first) {
  return in_order(print(pressure, bar), print(pressure, psi), first);
}

std::string both(Colour colour, UnitSystem first) { return in_order(print(colour, ebc), print(colour, srm), first); }

std::string both(Gravity gravity) {
  return fmt::format("{} ({})", print(gravity, specific_gravity), print(gravity, unit_row(KindId::gravity, "°P")));
}

}  // namespace oddgrist

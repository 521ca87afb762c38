// Bitterness from hops boiled in wort. Masses kg, alpha as a fraction (0.05 is 5 %), minutes, litres of finished wort.
#pragma once

#include <cmath>

#include "science/range.hpp"

namespace oddgrist::science {

inline constexpr Range utilisation_tinseth_range_specific_gravity{1.030, 1.130};
inline constexpr Range utilisation_tinseth_range_minutes{0.0, 120.0};

// Share of the alpha acids that ends as bitterness in the beer; whole cones, a kettle of tens of litres, a rolling
// boil. `specific_gravity` is the mean of the wort while it boils. The author gives no error; laboratories differ
// from it by 20 % and more. Outside the range it stays smooth: nought at 0 minutes, negative below (a caller's
// mistake).
// Source: G. Tinseth, Glenn's Hop Utilization Numbers, 1997.
template <class Scalar>
Scalar utilisation_tinseth(const Scalar& specific_gravity, const Scalar& minutes) {
  using std::exp;
  static const double log_base = std::log(0.000125);
  const Scalar bigness = exp(Scalar((specific_gravity - 1.0) * log_base)) * 1.65;
  const Scalar boil_time = (exp(Scalar(minutes * -0.04)) * -1.0 + 1.0) / 4.15;
  return bigness * boil_time;
}

// Bitterness, IBU, of one addition. Same source; linear in hop and alpha. A volume of 0 gives no finite number.
template <class Scalar>
Scalar bitterness_tinseth_ibu(const Scalar& hop_kg, const Scalar& alpha_mass_fraction, const Scalar& minutes,
                              const Scalar& specific_gravity, const Scalar& volume_l) {
  const Scalar alpha_mg = hop_kg * alpha_mass_fraction * 1e6;
  const Scalar dissolved_mg = alpha_mg * utilisation_tinseth(specific_gravity, minutes);
  return dissolved_mg / volume_l;
}

}  // namespace oddgrist::science

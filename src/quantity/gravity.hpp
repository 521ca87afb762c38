// Gravity scales: specific gravity 20/20 and degrees Plato (grams of extract in 100 g of wort). One formula, inverted
// numerically, so that going there and back loses nothing.
#pragma once

#include <cmath>
#include <type_traits>

#include "quantity/quantity.hpp"

namespace oddgrist {

namespace science {

// The plain value of a scalar, whether it is a double or carries derivatives (anything with a value() member).
template <class Scalar>
double plain_value(const Scalar& x) {
  if constexpr (std::is_arithmetic_v<Scalar>) {
    return static_cast<double>(x);
  } else {
    return plain_value(x.value());
  }
}

// The cubic itself, without the correction at 1; its slope is positive everywhere, so it has exactly one inverse. P =
// 135.997 S^3 - 630.272 S^2 + 1111.14 S - 616.868: fit to ASBC Methods of Analysis, Tables Related to Determinations on
// Wort, Beer and Brewing Sugars and Syrups (coefficients from memory).
template <class Scalar>
Scalar plato_cubic_asbc(const Scalar& specific_gravity) {
  Scalar sum = specific_gravity * 135.997 + Scalar(-630.272);
  sum = Scalar(sum * specific_gravity) + Scalar(1111.14);
  sum = Scalar(sum * specific_gravity) + Scalar(-616.868);
  return sum;
}

inline double plato_cubic_slope_asbc(double specific_gravity) {
  return (3.0 * 135.997 * specific_gravity - 2.0 * 630.272) * specific_gravity + 1111.14;
}

inline constexpr double plato_cubic_at_one_asbc =
    -0.003;  // 135.997 - 630.272 + 1111.14 - 616.868: the fit misses water by this

// Degrees Plato of a wort of the given specific gravity 20/20. Valid for 1.000 to 1.084 (the table, 0 to 20 degrees
// Plato, within about 0.01); used up to 1.200, where it lies 0.005 to 0.023 off other fits at 1.100, and more beyond.
// Water is exactly 0: between 1 and the zero of the fit (1.0000117) the value is 0, and below 1 the fit is moved up by
// 0.003, so that the apparent extract of a dry beer goes on below zero without a jump. Outside 0.980 to 1.200 it
// extrapolates. Source: see plato_cubic_asbc.
template <class Scalar>
Scalar plato_from_specific_gravity_asbc(const Scalar& specific_gravity) {
  const Scalar cubic = plato_cubic_asbc(specific_gravity);
  const double value = plain_value(cubic);
  if (plain_value(specific_gravity) < 1.0) return Scalar(cubic - Scalar(plato_cubic_at_one_asbc));
  if (value < 0.0)
    return Scalar(cubic - Scalar(value));  // value 0, slope kept, so that a solver does not stall at water
  return cubic;
}

// Specific gravity 20/20 of a wort of the given degrees Plato: the inverse of plato_from_specific_gravity_asbc.
// Newton's method on plain doubles from 1 (the cubic is concave there, so it approaches from below), then one step in
// Scalar, which carries the first derivative exactly; a second derivative is not carried. Exactly 1 at 0. Valid range
// as above; NaN gives NaN.
template <class Scalar>
Scalar specific_gravity_from_plato_asbc(const Scalar& plato) {
  const double shift = plain_value(plato) > 0.0 ? 0.0 : plato_cubic_at_one_asbc;
  const double wanted = plain_value(plato) + shift;
  double root = 1.0;
  for (int step = 0; step < 60; ++step) {
    const double change = (wanted - plato_cubic_asbc(root)) / plato_cubic_slope_asbc(root);
    root += change;
    if (!(std::abs(change) > 1e-15)) break;
  }
  const Scalar miss = plato + Scalar(shift - plato_cubic_asbc(root));
  return Scalar(miss * (1.0 / plato_cubic_slope_asbc(root)) + Scalar(root));
}

}  // namespace science

inline Gravity gravity_from_plato(double plato) {
  return science::specific_gravity_from_plato_asbc(plato) * specific_gravity;
}

inline double plato_of(Gravity gravity) {
  return science::plato_from_specific_gravity_asbc(gravity.in(specific_gravity));
}

// The scale is only read and written within these specific gravities.
inline constexpr double lowest_specific_gravity = 0.980;
inline constexpr double highest_specific_gravity = 1.200;

}  // namespace oddgrist

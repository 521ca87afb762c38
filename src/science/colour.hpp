// Colour of malt and of beer. Lovibond = degrees Lovibond of the laboratory wort; SRM and EBC = absorbance at 430 nm.
#pragma once

#include <cmath>

#include "science/range.hpp"

namespace oddgrist::science {

// EBC over SRM for beer: 25 and 12.7 times the same absorbance (EBC Analytica 9.6; ASBC Beer-10A). Not for lists from
// before about 1990, which were measured at 530 nm.
inline constexpr double ebc_per_srm = 25.0 / 12.7;

template <class Scalar>
Scalar ebc_from_srm(const Scalar& srm) {
  return srm * ebc_per_srm;
}

template <class Scalar>
Scalar srm_from_ebc(const Scalar& ebc) {
  return ebc / ebc_per_srm;
}

// Malt colour on the SRM scale from degrees Lovibond. Below 0.561 L the answer is negative. From memory; as printed in
// maltsters' conversion notes.
template <class Scalar>
Scalar srm_from_malt_lovibond(const Scalar& lovibond) {
  return lovibond * 1.3546 - 0.76;
}

template <class Scalar>
Scalar malt_lovibond_from_srm(const Scalar& srm) {
  return (srm + 0.76) / 1.3546;
}

template <class Scalar>
Scalar malt_ebc_from_lovibond(const Scalar& lovibond) {
  return ebc_from_srm(srm_from_malt_lovibond(lovibond));
}

// Degrees Lovibond from the EBC colour on a maltster's sheet.
template <class Scalar>
Scalar lovibond_from_malt_ebc(const Scalar& ebc) {
  return malt_lovibond_from_srm(srm_from_ebc(ebc));
}

// (lb L / US gal) per (kg L / litre): the US gallon in litres over the pound in kg, both exact.
inline constexpr double malt_colour_units_per_kg_lovibond_per_l = 3.785411784 / 0.45359237;

// Malt colour units: pounds times Lovibond per US gallon, from a sum of kg times Lovibond and litres of beer.
template <class Scalar>
Scalar malt_colour_units(const Scalar& colour_load_kg_lovibond, const Scalar& volume_l) {
  const Scalar per_litre = colour_load_kg_lovibond / volume_l;
  return per_litre * malt_colour_units_per_kg_lovibond_per_l;
}

// Morey states it to about 50 units; above it the curve is an extrapolation. Error about 20 %.
inline constexpr Range colour_morey_range_mcu{0.0, 50.0};

// Beer colour, SRM: 1.4922 MCU^0.6859. The power has an infinite slope at 0, so below 0.01 units a parabola of our
// own with the same value and slope at 0.01 leads to 0, and its tangent goes on below 0: smooth for a solver, and at
// most 0.063 SRM.
// Source: D. Morey, Approximating SRM Beer Color, 1995 (from memory).
template <class Scalar>
Scalar colour_morey_srm(const Scalar& malt_colour_units) {
  using std::exp;
  using std::log;
  constexpr double factor = 1.4922;
  constexpr double power = 0.6859;
  constexpr double joint = 0.01;
  if (malt_colour_units >= joint) return exp(Scalar(log(malt_colour_units) * power)) * factor;
  static const double at_joint = factor * std::pow(joint, power);
  const Scalar x = malt_colour_units / joint;
  const Scalar tangent = x * ((2.0 - power) * at_joint);
  if (malt_colour_units < 0.0) return tangent;
  const Scalar bend = x * x * ((1.0 - power) * at_joint);
  return tangent - bend;
}

}  // namespace oddgrist::science

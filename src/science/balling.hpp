// Alcohol and attenuation from gravities; where fermented extract goes. Extract in degrees Plato (g per 100 g),
// alcohol and attenuation as fractions (0.05 is 5 %).
#pragma once

#include "quantity/gravity.hpp"
#include "science/alcoholometry.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

// Balling's relations were checked on 532 brews of 9.4..18.0 P (Cutaia, Reid and Speers, J. Inst. Brew. 115 (2009)
// 318-327). They hold roughly from 5 to 25 P; above 40 P the divisor of the alcohol formula has no meaning.
inline constexpr Range balling_range_original_extract_plato{0.0, 40.0};

// Real extract, Plato, of a beer from its original and its apparent extract. Error about 0.1 P.
// Source: C. J. N. Balling, Die Gaehrungschemie, 1845-47; the constants as in ASBC Methods of Analysis, Beer-6.
template <class Scalar>
Scalar real_extract_balling_plato(const Scalar& original_extract_plato, const Scalar& apparent_extract_plato) {
  return Scalar(original_extract_plato * 0.1808) + Scalar(apparent_extract_plato * 0.8192);
}

// Alcohol by mass, as a fraction. Error about 3 % of the value: the British excise table lies 2..3 % below it.
// Source: C. J. N. Balling, 1845-47 (2.0665 g extract gives 1 g ethanol, 0.9565 g carbon dioxide, 0.11 g yeast).
template <class Scalar>
Scalar alcohol_mass_fraction_balling(const Scalar& original_extract_plato, const Scalar& real_extract_plato) {
  const Scalar fermented = original_extract_plato - real_extract_plato;
  const Scalar divisor = original_extract_plato * -0.010665 + 2.0665;
  return fermented / divisor * 0.01;
}

// The same by mass, from specific gravities 20/20.
template <class Scalar>
Scalar alcohol_mass_fraction_balling_from_gravities(const Scalar& original_gravity, const Scalar& final_gravity) {
  const Scalar original = plato_from_specific_gravity_asbc(original_gravity);
  const Scalar apparent = plato_from_specific_gravity_asbc(final_gravity);
  return alcohol_mass_fraction_balling(original, real_extract_balling_plato(original, apparent));
}

// Alcohol by volume at 20 C, as a fraction, from specific gravities 20/20: by mass, times the density of the beer
// over that of ethanol (OIML R 22). Error about 3 % of the value (0.15 % vol. in a beer of 5 %).
template <class Scalar>
Scalar alcohol_volume_fraction_balling(const Scalar& original_gravity, const Scalar& final_gravity) {
  const Scalar by_mass = alcohol_mass_fraction_balling_from_gravities(original_gravity, final_gravity);
  return alcohol_by_volume_of_liquid(by_mass, Scalar(final_gravity * water_density_oiml_20c_kg_per_m3));
}

// Apparent degree of fermentation, a fraction. Not a number for an original extract of 0.
template <class Scalar>
Scalar apparent_attenuation(const Scalar& original_extract_plato, const Scalar& apparent_extract_plato) {
  const Scalar gone = original_extract_plato - apparent_extract_plato;
  return gone / original_extract_plato;
}

// Real degree of fermentation, a fraction of the extract. The last factor puts back the mass that left as gas and
// yeast.
// Source: ASBC Methods of Analysis, Beer-6.
template <class Scalar>
Scalar real_attenuation_asbc(const Scalar& original_extract_plato, const Scalar& real_extract_plato) {
  const Scalar gone = original_extract_plato - real_extract_plato;
  const Scalar share = gone / original_extract_plato;
  const Scalar mass_left = real_extract_plato * -0.005161 + 1.0;
  return share / mass_left;
}

// Extract that must ferment for 1 kg of ethanol, and what else comes of it (kg). Source: Balling, as above.
inline constexpr double balling_extract_per_ethanol = 2.0665;
inline constexpr double balling_carbon_dioxide_per_ethanol = 0.9565;
inline constexpr double balling_yeast_per_ethanol = 0.11;

template <class Scalar>
struct BallingSplit {
  Scalar ethanol_kg;
  Scalar carbon_dioxide_kg;
  Scalar yeast_kg;  // dry matter
};

// What comes of fermented extract; the three parts add up to the extract exactly. Linear, no limit of range: a negative
// extract gives negative parts.
template <class Scalar>
BallingSplit<Scalar> fermentation_split_balling(const Scalar& extract_consumed_kg) {
  const Scalar ethanol_kg = extract_consumed_kg / balling_extract_per_ethanol;
  const Scalar carbon_dioxide_kg = ethanol_kg * balling_carbon_dioxide_per_ethanol;
  const Scalar yeast_kg = ethanol_kg * balling_yeast_per_ethanol;
  return {ethanol_kg, carbon_dioxide_kg, yeast_kg};
}

}  // namespace oddgrist::science

// What a refractometer shows in wort and in beer, where the alcohol bends the light too.
#pragma once

#include "quantity/gravity.hpp"
#include "science/balling.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

// Degrees Brix shown over degrees Plato of an all-malt wort: maltose and dextrin bend the light a little more than
// sucrose. 1.02..1.06 by instrument and wort (common practice, no source); learn it from one wort read both ways.
inline constexpr double refractometer_wort_factor = 1.04;
inline constexpr Range refractometer_wort_factor_range{1.0, 1.06};

// Degrees Brix for one per cent of ethanol by mass. Refractive indices at 20 C, 589 nm, from memory: ethanol in water
// 1.3330 at 0 %, 1.3395 at 10 % by mass (CRC Handbook of Chemistry and Physics, concentrative properties); sucrose
// 1.3330 and 1.3478 (ICUMSA SPS-3). 0.44 = 0.0065 / 0.0148.
inline constexpr double refraction_brix_per_alcohol_mass_percent = 0.44;
// Beer of 0..12 % alcohol by mass; original extract 2..25 P.
inline constexpr Range refraction_original_extract_range_plato{2.0, 25.0};

// Brix on the sucrose scale (no wort factor) of a beer, by adding what extract and alcohol each do to the light
// (Tabarie's way, with refraction for density). Error about 0.3 Bx.
template <class Scalar>
Scalar refraction_of_beer_brix(const Scalar& alcohol_mass_percent, const Scalar& real_extract_plato) {
  return Scalar(alcohol_mass_percent * refraction_brix_per_alcohol_mass_percent) + real_extract_plato;
}

// The same from the extract at pitching and the apparent extract now, Plato (Balling's relations). Without fermentation it
// is the original extract itself.
template <class Scalar>
Scalar refraction_of_fermented_brix(const Scalar& original_extract_plato, const Scalar& apparent_extract_plato) {
  const Scalar real = real_extract_balling_plato(original_extract_plato, apparent_extract_plato);
  const Scalar alcohol_percent = alcohol_mass_fraction_balling(original_extract_plato, real) * 100.0;
  return refraction_of_beer_brix(alcohol_percent, real);
}

// The inverse in the apparent extract: Plato a hydrometer would show, from the extract at pitching and Brix on the sucrose
// scale now. Error of the whole way about 0.002 in specific gravity (own estimate, from how far the published
// regressions lie apart: Novotny's of 2017 within 0.001 of this, Bonham's of 2001 within 0.002 up to 14 P and 0.0025
// lower at 18 P; both from memory). Outside 2..25 P original the relation goes on as a straight line and means little.
template <class Scalar>
Scalar apparent_extract_from_refraction_plato(const Scalar& original_extract_plato, const Scalar& brix) {
  const Scalar divisor = original_extract_plato * -0.010665 + 2.0665;
  const Scalar weight = Scalar(refraction_brix_per_alcohol_mass_percent) / divisor;
  const Scalar from_start = original_extract_plato * weight;
  const Scalar real = Scalar(brix - from_start) / Scalar(Scalar(1.0) - weight);
  return Scalar(real - Scalar(original_extract_plato * 0.1808)) / 0.8192;
}

}  // namespace oddgrist::science

// Densities of water, sucrose solution, wort and beer, and what a hydrometer shows in them.
// Throughout: kg/m3 (the same number as g/L), degrees C, mass fractions 0..1, specific gravity 20/20.
#pragma once

#include "quantity/gravity.hpp"
#include "science/alcoholometry.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

inline constexpr Range water_density_kell_range_c{0.0, 150.0};
inline constexpr Range sucrose_solution_density_bettin_range_c{0.0, 80.0};
inline constexpr Range sucrose_solution_density_bettin_range_mass_fraction{0.0, 0.85};

// Density of air-free water at one atmosphere. Source error below 0.02 kg/m3 up to 100 C. Range 0..150 C (above 100
// C: at one atmosphere only as a metastable liquid). Outside it the polynomial is returned as it is: still smooth to
// about -10 C, meaningless above 150 C.
// Source: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105; temperatures on IPTS-68, 0.005 K from ITS-90 at 20 C.
template <class Scalar>
Scalar water_density_kell_kg_per_m3(const Scalar& temperature_c) {
  const Scalar& t = temperature_c;
  const Scalar numerator =
      ((((-280.54253e-12 * t + 105.56302e-9) * t - 46.170461e-6) * t - 7.9870401e-3) * t + 16.945176) * t + 999.83952;
  const Scalar denominator = 16.879850e-3 * t + 1.0;
  return numerator / denominator;
}

namespace detail {

// The Bettin polynomial inside its own range of temperature; the water term is Kell's.
template <class Scalar>
Scalar sucrose_solution_density_to_80_c(const Scalar& mass_fraction, const Scalar& temperature_c) {
  const Scalar& w = mass_fraction;
  const Scalar x = (temperature_c - 20.0) * 0.01;
  const Scalar row_1 = (((((-17.2890 * w + 13.4853) * w - 3.9643) * w + 40.9299) * w + 135.3705) * w + 385.1761) * w;
  const Scalar row_2 = ((((17.5254 * w + 5.1126) * w + 1.1597) * w - 7.1720) * w - 46.2720) * w;
  const Scalar row_3 = (((-35.4791 * w + 12.3630) * w + 7.2491) * w + 59.7712) * w;
  const Scalar row_4 = ((27.6301 * w - 21.6977) * w - 47.2207) * w;
  const Scalar row_5 = (12.3081 * w + 18.3184) * w;
  const Scalar to_4 = row_4 + Scalar(x * row_5);
  const Scalar to_3 = row_3 + Scalar(x * to_4);
  const Scalar to_2 = row_2 + Scalar(x * to_3);
  const Scalar to_1 = row_1 + Scalar(x * to_2);
  return water_density_kell_kg_per_m3(temperature_c) + to_1;
}

}  // namespace detail

// Density of a sucrose solution; stands for wort of the same extract. Range 0..80 C, 0..0.85 (stated error about 0.1
// kg/m3). Plato's table of 1900 agrees within that up to 40 %; at 50, 60 and 70 % it lies 0.11, 0.19 and 0.35 kg/m3
// lower (table from memory). Above 80 C the polynomial does not reach: there, as an extension of our own and not part
// of the source, the solution is taken to expand from 80 C as water does; the slope has a small step at 80 C.
// Source: H. Bettin, F. Emmerich, F. Spieweck, H. Toth, Zuckerindustrie 123 (1998); ICUMSA Specification SPS-4.
template <class Scalar>
Scalar sucrose_solution_density_bettin_kg_per_m3(const Scalar& mass_fraction, const Scalar& temperature_c) {
  constexpr double upper_c = sucrose_solution_density_bettin_range_c.high;
  if (temperature_c <= upper_c) return detail::sucrose_solution_density_to_80_c(mass_fraction, temperature_c);
  const Scalar at_80 = detail::sucrose_solution_density_to_80_c(mass_fraction, Scalar(upper_c));
  const Scalar expansion = water_density_kell_kg_per_m3(temperature_c) / water_density_kell_kg_per_m3(upper_c);
  return at_80 * expansion;
}

// Specific gravity of a degassed beer: that of its alcohol in water plus that of its extract in water, less one
// (Tabarie's rule). Compared with Balling's equations it lies 0.0004..0.0005 low for beers of 1.040..1.090. Range:
// alcohol 0..0.15, extract 0..0.25 by mass; outside, the two parts are returned as their own formulas give them.
// Source: Tabarie's rule as in ASBC Methods of Analysis and EBC Analytica; parts: OIML R 22 and the ASBC extract table.
template <class Scalar>
Scalar specific_gravity_tabarie(const Scalar& alcohol_mass_fraction, const Scalar& real_extract_mass_fraction) {
  const Scalar alcohol_part =
      ethanol_water_density_oiml_kg_per_m3(alcohol_mass_fraction, Scalar(20.0)) / water_density_oiml_20c_kg_per_m3;
  const Scalar extract_part = specific_gravity_from_plato_asbc(Scalar(real_extract_mass_fraction * 100.0));
  return alcohol_part + extract_part - 1.0;
}

// Density of wort or degassed beer: at 20 C Tabarie's gravity times the density of water; at other temperatures
// scaled by the expansion of the sucrose solution with the same extract. Range: that of the parts. Ethanol expands
// more than this says: against OIML R 22 (no extract) the density is 0.03 % too high at 4 % alcohol by mass and 40 C,
// 0.08 % at 8 %.
template <class Scalar>
Scalar beer_density_kg_per_m3(const Scalar& alcohol_mass_fraction, const Scalar& extract_mass_fraction,
                              const Scalar& temperature_c) {
  const Scalar at_20 = specific_gravity_tabarie(alcohol_mass_fraction, extract_mass_fraction);
  const Scalar here = sucrose_solution_density_bettin_kg_per_m3(extract_mass_fraction, temperature_c);
  const Scalar cold = sucrose_solution_density_bettin_kg_per_m3(extract_mass_fraction, Scalar(20.0));
  const Scalar expansion = here / cold;
  return at_20 * expansion * water_density_kell_kg_per_m3(20.0);
}

// Cubic expansion of the soda-lime glass of a hydrometer, per K (the conventional value of ISO 649).
inline constexpr double hydrometer_glass_expansion_per_k = 25e-6;
// Above 40 C evaporation and warm layers in the jar outrun the correction.
inline constexpr Range hydrometer_range_c{0.0, 40.0};

// What a hydrometer that reads 1.000 in water of its calibration temperature shows in a sucrose wort of another one:
// the float displaces its own mass, and the glass has grown with the temperature (float condition of ISO 649 / ISO
// 387).
template <class Scalar>
Scalar hydrometer_reading(const Scalar& extract_mass_fraction, const Scalar& temperature_c,
                          double calibration_c = 20.0) {
  const Scalar liquid = sucrose_solution_density_bettin_kg_per_m3(extract_mass_fraction, temperature_c);
  const Scalar glass = (temperature_c - calibration_c) * hydrometer_glass_expansion_per_k + 1.0;
  return liquid * glass / water_density_kell_kg_per_m3(calibration_c);
}

// Specific gravity 20/20 from a hydrometer's reading at another temperature; the inverse of hydrometer_reading, with
// the extract scale of ASBC. The liquid's expansion depends a little on the answer, so it is found by repeated
// substitution; each round shrinks the error about fifty times. Range: 0..40 C, readings 0.99..1.15.
template <class Scalar>
Scalar specific_gravity_from_hydrometer(const Scalar& reading, const Scalar& temperature_c,
                                        double calibration_c = 20.0) {
  const Scalar glass = (temperature_c - calibration_c) * hydrometer_glass_expansion_per_k + 1.0;
  const Scalar liquid = reading / glass * water_density_kell_kg_per_m3(calibration_c);
  Scalar gravity = reading;
  for (int round = 0; round < 8; ++round) {
    const Scalar extract = plato_from_specific_gravity_asbc(gravity) * 0.01;
    const Scalar here = sucrose_solution_density_bettin_kg_per_m3(extract, temperature_c);
    const Scalar cold = sucrose_solution_density_bettin_kg_per_m3(extract, Scalar(20.0));
    const Scalar shrinking = cold / here;
    gravity = liquid * shrinking / water_density_kell_kg_per_m3(20.0);
  }
  return gravity;
}

}  // namespace oddgrist::science

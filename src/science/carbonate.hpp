// Carbonic acid in water: equilibrium constants, activity, alkalinity, and the acid it takes to move the pH.
// Throughout: degrees C, mol/L and equivalents/L, pH on the activity scale (what an electrode shows), logarithms to
// base 10.
#pragma once

#include <cmath>
#include <optional>

#include "quantity/gravity.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

inline constexpr Range carbonate_range_c{0.0, 90.0};
inline constexpr Range carbonate_range_ph{2.0, 12.5};
inline constexpr Range davies_range_ionic_strength{0.0, 0.5};  // mol/L

namespace detail {
template <class Scalar>
Scalar log10_of(const Scalar& x) {
  using std::log;
  return log(x) * 0.43429448190325182765;
}
template <class Scalar>
Scalar ten_to(const Scalar& x) {
  using std::exp;
  return exp(x * 2.30258509299404568402);
}
// a + b T + c/T + d log10 T + e/T^2, the form Plummer & Busenberg and Nordstrom fit log K in; T in kelvin.
template <class Scalar>
Scalar log_k_of_temperature(const Scalar& temperature_c, double a, double b, double c, double d, double e) {
  const Scalar kelvin = temperature_c + 273.15;
  return Scalar(a + b * kelvin + c / kelvin + d * log10_of(kelvin) + e / (kelvin * kelvin));
}
}  // namespace detail

// pK of CO2(aq) + H2O = H+ + HCO3-, at zero ionic strength. 0..90 C; 6.352 at 25 C, uncertain by 0.005 near 25 C and by
// 0.02 at 90 C. Outside the range it returns the fit as it stands: smooth, unsupported. Source, for all five below: L.
// N. Plummer & E. Busenberg, "The solubilities of calcite, aragonite and vaterite in CO2-H2O solutions between 0 and 90
// C, and an evaluation of the aqueous model for the system CaCO3-CO2-H2O", Geochim. Cosmochim. Acta 46 (1982)
// 1011-1040.
template <class Scalar>
Scalar carbonate_pk1_plummer_busenberg(const Scalar& temperature_c) {
  return -detail::log_k_of_temperature(temperature_c, -356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0);
}

// pK of HCO3- = H+ + CO3--. Range and source as above.
template <class Scalar>
Scalar carbonate_pk2_plummer_busenberg(const Scalar& temperature_c) {
  return -detail::log_k_of_temperature(temperature_c, -107.8871, -0.03252849, 5151.79, 38.92561, -563713.9);
}

// pK of CO2(gas) = CO2(aq), mol/(L atm). Range and source as above.
template <class Scalar>
Scalar carbonate_pkh_plummer_busenberg(const Scalar& temperature_c) {
  return -detail::log_k_of_temperature(temperature_c, 108.3865, 0.01985076, -6919.53, -40.45154, 669365.0);
}

// pK of calcite = Ca++ + CO3--, +-0.02 at 25 C. Range and source as above.
template <class Scalar>
Scalar calcite_pk_plummer_busenberg(const Scalar& temperature_c) {
  return -detail::log_k_of_temperature(temperature_c, -171.9065, -0.077993, 2839.319, 71.595, 0.0);
}

// pK of aragonite, which a kettle scales with above about 40 C, +-0.02 at 25 C. Range and source as above.
template <class Scalar>
Scalar aragonite_pk_plummer_busenberg(const Scalar& temperature_c) {
  return -detail::log_k_of_temperature(temperature_c, -171.9773, -0.077993, 2903.293, 71.595, 0.0);
}

// pK of water. 0..100 C, within 0.015 of the electrochemical values up to 60 C. Source: D. K. Nordstrom et al.,
// "Revised chemical equilibrium data for major water-mineral reactions and their limitations", ACS Symposium Series 416
// (1990), chapter 31.
template <class Scalar>
Scalar water_pkw_nordstrom(const Scalar& temperature_c) {
  return -detail::log_k_of_temperature(temperature_c, -283.971, -0.05069842, 13323.0, 102.24447, -1119669.0);
}

// pK of water, 0..60 C, within 0.003 of Harned & Owen's table there. Source: H. S. Harned & W. J. Hamer, J. Am. Chem.
// Soc. 55 (1933) 2194, as quoted in W. Stumm & J. J. Morgan, Aquatic Chemistry.
template <class Scalar>
Scalar water_pkw_harned_hamer(const Scalar& temperature_c) {
  const Scalar kelvin = temperature_c + 273.15;
  return Scalar(4470.99 / kelvin - 6.0875 + 0.01706 * kelvin);
}

// Relative permittivity of water, 0..100 C, +-0.05.
// Source: C. G. Malmberg & A. A. Maryott, J. Res. Natl. Bur. Stand. 56 (1956) 1-8.
template <class Scalar>
Scalar water_permittivity_malmberg_maryott(const Scalar& temperature_c) {
  const Scalar& t = temperature_c;
  return Scalar(((-1.410e-6 * t + 9.398e-4) * t - 0.40008) * t + 87.740);
}

// log10 of the activity coefficient of an ion of this charge. Ionic strength in mol/L up to 0.5, error about 2 % below
// 0.1. Not a number for a negative ionic strength. A = 1.82e6 (permittivity T)^-1.5 (Stumm & Morgan), 0.510 at 25 C.
// Source: C. W. Davies, Ion Association (1962), equation with 0.3.
template <class Scalar>
Scalar log_activity_coefficient_davies(int charge, const Scalar& ionic_strength_mol_per_l,
                                       const Scalar& temperature_c) {
  using std::sqrt;
  const Scalar product = water_permittivity_malmberg_maryott(temperature_c) * (temperature_c + 273.15);
  const Scalar a = 1.82e6 / (product * sqrt(product));
  // sqrt has no derivative at zero, where the whole term vanishes.
  if (ionic_strength_mol_per_l == 0.0) return Scalar(0.0 * a);
  const Scalar root = sqrt(ionic_strength_mol_per_l);
  return Scalar(-a * double(charge * charge) * (root / (1.0 + root) - 0.3 * ionic_strength_mol_per_l));
}

// Ionic strength, mol/L, of a natural water from its dissolved solids. Common practice; from memory: Langelier 1936,
// 2.5e-5 mol/L a mg/L.
template <class Scalar>
Scalar ionic_strength_langelier_mol_per_l(const Scalar& dissolved_solids_mg_per_l) {
  return Scalar(2.5e-5 * dissolved_solids_mg_per_l);
}

// What the relations below need of one water at one temperature. Mixed constants: H+ as activity, the others as
// concentrations.
template <class Scalar>
struct CarbonateConstants {
  Scalar k1;       // [HCO3-] aH / [CO2]
  Scalar k2;       // [CO3--] aH / [HCO3-]
  Scalar kw;       // [OH-] aH
  Scalar kh;       // [CO2] / pCO2, mol/(L atm)
  Scalar h_per_a;  // [H+] / aH
};

// Nothing outside 0..90 C or above an ionic strength of 0.5 mol/L (or for a value that is not a number).
template <class Scalar>
std::optional<CarbonateConstants<Scalar>> carbonate_constants(const Scalar& temperature_c,
                                                              const Scalar& ionic_strength_mol_per_l) {
  if (!carbonate_range_c.holds(plain_value(temperature_c))) return std::nullopt;
  if (!davies_range_ionic_strength.holds(plain_value(ionic_strength_mol_per_l))) return std::nullopt;
  const Scalar log_one = log_activity_coefficient_davies(1, ionic_strength_mol_per_l, temperature_c);
  const Scalar log_two = Scalar(4.0 * log_one);
  CarbonateConstants<Scalar> constants;
  constants.k1 = detail::ten_to(Scalar(-carbonate_pk1_plummer_busenberg(temperature_c) - log_one));
  constants.k2 = detail::ten_to(Scalar(log_one - log_two - carbonate_pk2_plummer_busenberg(temperature_c)));
  constants.kw = detail::ten_to(Scalar(-water_pkw_nordstrom(temperature_c) - log_one));
  constants.kh = detail::ten_to(Scalar(-carbonate_pkh_plummer_busenberg(temperature_c)));
  constants.h_per_a = detail::ten_to(Scalar(-log_one));
  return constants;
}

// Equivalents carried by one mole of total carbonate at this pH: 0 (all CO2) to 2 (all carbonate). Any finite pH.
template <class Scalar>
Scalar carbonate_charge(const Scalar& ph, const CarbonateConstants<Scalar>& constants) {
  const Scalar h = detail::ten_to(Scalar(-ph));
  const Scalar single = constants.k1 * h;
  const Scalar pair = constants.k1 * constants.k2;
  return Scalar((single + 2.0 * pair) / (h * h + single + pair));
}

// Share of total carbonate that is HCO3-.
template <class Scalar>
Scalar bicarbonate_fraction(const Scalar& ph, const CarbonateConstants<Scalar>& constants) {
  const Scalar h = detail::ten_to(Scalar(-ph));
  const Scalar single = constants.k1 * h;
  return Scalar(single / (h * h + single + constants.k1 * constants.k2));
}

// Hydroxide less hydrogen ions, Eq/L.
template <class Scalar>
Scalar hydroxide_excess_eq_per_l(const Scalar& ph, const CarbonateConstants<Scalar>& constants) {
  const Scalar h = detail::ten_to(Scalar(-ph));
  return Scalar(constants.kw / h - h * constants.h_per_a);
}

// Alkalinity, Eq/L, of a water with this much total carbonate (mol/L) at this pH. Carbonate and water only: no borate,
// silicate, phosphate.
template <class Scalar>
Scalar carbonate_alkalinity_eq_per_l(const Scalar& total_carbonate_mol_per_l, const Scalar& ph,
                                     const CarbonateConstants<Scalar>& constants) {
  return Scalar(total_carbonate_mol_per_l * carbonate_charge(ph, constants) + hydroxide_excess_eq_per_l(ph, constants));
}

// The reverse: total carbonate, mol/L. Nothing when the pH is outside 2..12.5 or the pair is impossible (it would need
// less than none, as an alkalinity of 0.1 mEq/L at pH 11 does).
template <class Scalar>
std::optional<Scalar> carbonate_total_mol_per_l(const Scalar& alkalinity_eq_per_l, const Scalar& ph,
                                                const CarbonateConstants<Scalar>& constants) {
  if (!carbonate_range_ph.holds(plain_value(ph))) return std::nullopt;
  const Scalar total =
      (alkalinity_eq_per_l - hydroxide_excess_eq_per_l(ph, constants)) / carbonate_charge(ph, constants);
  if (!(plain_value(total) >= 0.0)) return std::nullopt;
  return total;
}

// Acid, Eq/L, that brings the water from one pH to another in a closed vessel, no CO2 lost. Negative: base is needed.
template <class Scalar>
Scalar carbonate_acid_demand_closed_eq_per_l(const Scalar& total_carbonate_mol_per_l, const Scalar& from_ph,
                                             const Scalar& to_ph, const CarbonateConstants<Scalar>& constants) {
  return Scalar(carbonate_alkalinity_eq_per_l(total_carbonate_mol_per_l, from_ph, constants) -
                carbonate_alkalinity_eq_per_l(total_carbonate_mol_per_l, to_ph, constants));
}

// Acid, Eq/L, when CO2 leaves until it stands at this pressure (0.00042 atm: open air) over the water, as in a long
// stir or a boil.
template <class Scalar>
Scalar carbonate_acid_demand_open_eq_per_l(const Scalar& alkalinity_eq_per_l, const Scalar& to_ph,
                                           const Scalar& carbon_dioxide_atm,
                                           const CarbonateConstants<Scalar>& constants) {
  const Scalar h = detail::ten_to(Scalar(-to_ph));
  const Scalar dissolved = constants.kh * carbon_dioxide_atm;
  const Scalar carbonate = Scalar(dissolved * constants.k1 / h * (1.0 + 2.0 * constants.k2 / h));
  return Scalar(alkalinity_eq_per_l - carbonate - hydroxide_excess_eq_per_l(to_ph, constants));
}

// log10 of how far calcite is over-dissolved: above 0 chalk may fall out, below 0 chalk may dissolve. Concentrations in
// mol/L, no ion pairs. Check carbonate_range_c first; not a number for concentrations below zero.
template <class Scalar>
Scalar calcite_saturation_index(const Scalar& calcium_mol_per_l, const Scalar& total_carbonate_mol_per_l,
                                const Scalar& ph, const Scalar& temperature_c, const Scalar& ionic_strength_mol_per_l,
                                const CarbonateConstants<Scalar>& constants) {
  const Scalar carbonate =
      total_carbonate_mol_per_l * bicarbonate_fraction(ph, constants) * constants.k2 / detail::ten_to(Scalar(-ph));
  const Scalar log_two = log_activity_coefficient_davies(2, ionic_strength_mol_per_l, temperature_c);
  return Scalar(detail::log10_of(calcium_mol_per_l) + detail::log10_of(carbonate) + 2.0 * log_two +
                calcite_pk_plummer_busenberg(temperature_c));
}

}  // namespace oddgrist::science

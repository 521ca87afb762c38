// Brewing water: ions, units of hardness and alkalinity, salts, blending, residual alkalinity.
// Throughout: mg/L for ions, mEq/L for alkalinity and hardness.
#pragma once

#include <array>
#include <limits>
#include <optional>

#include "science/range.hpp"
#include "science/water_chemistry.hpp"

namespace oddgrist::science {

// What one water holds. Alkalinity stands for bicarbonate, carbonate and hydroxide together, as a laboratory titrates
// it.
template <class Scalar>
struct WaterIons {
  Scalar calcium_mg_per_l{0.0};
  Scalar magnesium_mg_per_l{0.0};
  Scalar sodium_mg_per_l{0.0};
  Scalar potassium_mg_per_l{0.0};
  Scalar chloride_mg_per_l{0.0};
  Scalar sulphate_mg_per_l{0.0};
  Scalar nitrate_mg_per_l{0.0};
  Scalar alkalinity_meq_per_l{0.0};
};

// mg of an ion in one milliequivalent: molar mass over charge.
inline constexpr double calcium_mg_per_meq = molar_mass_g_per_mol({.ca = 1}) / 2.0;
inline constexpr double magnesium_mg_per_meq = molar_mass_g_per_mol({.mg = 1}) / 2.0;
inline constexpr double sodium_mg_per_meq = molar_mass_g_per_mol({.na = 1});
inline constexpr double potassium_mg_per_meq = molar_mass_g_per_mol({.k = 1});
inline constexpr double chloride_mg_per_meq = molar_mass_g_per_mol({.cl = 1});
inline constexpr double sulphate_mg_per_meq = molar_mass_g_per_mol({.o = 4, .s = 1}) / 2.0;
inline constexpr double nitrate_mg_per_meq = molar_mass_g_per_mol({.n = 1, .o = 3});
inline constexpr double bicarbonate_mg_per_meq = molar_mass_g_per_mol(bicarbonate_formula);
inline constexpr double calcium_carbonate_mg_per_meq = molar_mass_g_per_mol(calcium_carbonate_formula) / 2.0;

// ---- Units. Hardness and alkalinity share them; the last one is for alkalinity only.

enum class HardnessUnit {
  milliequivalent_per_l,
  millimole_per_l,  // of calcium and magnesium, or of calcium carbonate
  calcium_carbonate_mg_per_l,
  german_degree,        // 10 mg/L CaO (DIN 38409-6)
  french_degree,        // 10 mg/L CaCO3
  english_degree,       // one grain CaCO3 in an imperial gallon
  us_grain_per_gallon,  // one grain CaCO3 in a US gallon
  bicarbonate_mg_per_l,
};

// mEq/L in one of the unit; exact but for the atomic weights. The grain is 64.79891 mg, the gallons 4.54609 and
// 3.785411784 L, by definition.
constexpr double meq_per_l_per_unit(HardnessUnit unit) {
  constexpr double grain_mg = 64.79891;
  switch (unit) {
    case HardnessUnit::milliequivalent_per_l: return 1.0;
    case HardnessUnit::millimole_per_l: return 2.0;
    case HardnessUnit::calcium_carbonate_mg_per_l: return 1.0 / calcium_carbonate_mg_per_meq;
    case HardnessUnit::german_degree: return 20.0 / molar_mass_g_per_mol(calcium_oxide_formula);
    case HardnessUnit::french_degree: return 10.0 / calcium_carbonate_mg_per_meq;
    case HardnessUnit::english_degree: return grain_mg / 4.54609 / calcium_carbonate_mg_per_meq;
    case HardnessUnit::us_grain_per_gallon: return grain_mg / 3.785411784 / calcium_carbonate_mg_per_meq;
    case HardnessUnit::bicarbonate_mg_per_l: return 1.0 / bicarbonate_mg_per_meq;
  }
  return std::numeric_limits<double>::quiet_NaN();
}

template <class Scalar>
Scalar hardness_converted(const Scalar& value, HardnessUnit from, HardnessUnit to) {
  return Scalar(value * (meq_per_l_per_unit(from) / meq_per_l_per_unit(to)));
}

template <class Scalar>
Scalar water_hardness_meq_per_l(const WaterIons<Scalar>& water) {
  return Scalar(water.calcium_mg_per_l / calcium_mg_per_meq + water.magnesium_mg_per_l / magnesium_mg_per_meq);
}

// ---- Mixing. Every ion and the alkalinity mix by volume; the pH does not.

template <class Scalar>
WaterIons<Scalar> water_scaled(const WaterIons<Scalar>& water, const Scalar& factor) {
  WaterIons<Scalar> scaled;
  scaled.calcium_mg_per_l = water.calcium_mg_per_l * factor;
  scaled.magnesium_mg_per_l = water.magnesium_mg_per_l * factor;
  scaled.sodium_mg_per_l = water.sodium_mg_per_l * factor;
  scaled.potassium_mg_per_l = water.potassium_mg_per_l * factor;
  scaled.chloride_mg_per_l = water.chloride_mg_per_l * factor;
  scaled.sulphate_mg_per_l = water.sulphate_mg_per_l * factor;
  scaled.nitrate_mg_per_l = water.nitrate_mg_per_l * factor;
  scaled.alkalinity_meq_per_l = water.alkalinity_meq_per_l * factor;
  return scaled;
}

template <class Scalar>
WaterIons<Scalar> water_sum(const WaterIons<Scalar>& a, const WaterIons<Scalar>& b) {
  WaterIons<Scalar> sum;
  sum.calcium_mg_per_l = a.calcium_mg_per_l + b.calcium_mg_per_l;
  sum.magnesium_mg_per_l = a.magnesium_mg_per_l + b.magnesium_mg_per_l;
  sum.sodium_mg_per_l = a.sodium_mg_per_l + b.sodium_mg_per_l;
  sum.potassium_mg_per_l = a.potassium_mg_per_l + b.potassium_mg_per_l;
  sum.chloride_mg_per_l = a.chloride_mg_per_l + b.chloride_mg_per_l;
  sum.sulphate_mg_per_l = a.sulphate_mg_per_l + b.sulphate_mg_per_l;
  sum.nitrate_mg_per_l = a.nitrate_mg_per_l + b.nitrate_mg_per_l;
  sum.alkalinity_meq_per_l = a.alkalinity_meq_per_l + b.alkalinity_meq_per_l;
  return sum;
}

// Two waters together. Not a number when both volumes are 0. Distilled water is WaterIons<Scalar>{}.
template <class Scalar>
WaterIons<Scalar> water_blend(const WaterIons<Scalar>& a, const Scalar& volume_a_l, const WaterIons<Scalar>& b,
                              const Scalar& volume_b_l) {
  const Scalar total_l = volume_a_l + volume_b_l;
  return water_sum(water_scaled(a, Scalar(volume_a_l / total_l)), water_scaled(b, Scalar(volume_b_l / total_l)));
}

// Share of distilled water, 0..1, that brings an ion from one concentration down to another. Nothing when that is not a
// dilution.
inline std::optional<double> distilled_share(double from_mg_per_l, double to_mg_per_l) {
  if (!(from_mg_per_l > 0.0) || !(to_mg_per_l >= 0.0) || to_mg_per_l > from_mg_per_l) return std::nullopt;
  return 1.0 - to_mg_per_l / from_mg_per_l;
}

// ---- Salts

enum class WaterSalt {
  gypsum,
  calcium_chloride_dihydrate,
  calcium_chloride_anhydrous,
  epsom_salt,
  magnesium_chloride_hexahydrate,
  table_salt,
  potassium_chloride,
  baking_soda,
  slaked_lime,
  chalk,
};
inline constexpr std::size_t water_salt_count = 10;

struct SaltTraits {
  Formula formula;
  int sulphate = 0;           // ions in a formula unit; the metals and chlorine are in the formula
  int alkalinity = 0;         // protons a formula unit takes up
  double solubility_g_per_l;  // of the salt as weighed, in pure water at 20..25 C
};

// Calcium chloride draws water: an opened packet lies anywhere between anhydrous and wetter than dihydrate. Chalk's
// figure is for water without CO2 (0.013 g/L); with the CO2 of air about 0.05 g/L dissolves. Lime dissolves less when
// hot. Solubilities: CRC Handbook of Chemistry and Physics, "Aqueous solubility of inorganic compounds"; gypsum 2.4 g/L
// (from memory).
constexpr SaltTraits salt_traits(WaterSalt salt) {
  switch (salt) {
    case WaterSalt::gypsum: return {{.h = 4, .o = 6, .s = 1, .ca = 1}, 1, 0, 2.4};
    case WaterSalt::calcium_chloride_dihydrate: return {{.h = 4, .o = 2, .cl = 2, .ca = 1}, 0, 0, 970.0};
    case WaterSalt::calcium_chloride_anhydrous: return {{.cl = 2, .ca = 1}, 0, 0, 740.0};
    case WaterSalt::epsom_salt: return {{.h = 14, .o = 11, .mg = 1, .s = 1}, 1, 0, 710.0};
    case WaterSalt::magnesium_chloride_hexahydrate: return {{.h = 12, .o = 6, .mg = 1, .cl = 2}, 0, 0, 1500.0};
    case WaterSalt::table_salt: return {{.na = 1, .cl = 1}, 0, 0, 359.0};
    case WaterSalt::potassium_chloride: return {{.cl = 1, .k = 1}, 0, 0, 342.0};
    case WaterSalt::baking_soda: return {{.h = 1, .c = 1, .o = 3, .na = 1}, 0, 1, 96.0};
    case WaterSalt::slaked_lime: return {{.h = 2, .o = 2, .ca = 1}, 0, 2, 1.7};
    case WaterSalt::chalk: return {{.c = 1, .o = 3, .ca = 1}, 0, 2, 0.013};
  }
  return {{}, 0, 0, 0.0};
}

constexpr double salt_molar_mass_g_per_mol(WaterSalt salt) { return molar_mass_g_per_mol(salt_traits(salt).formula); }

// What a dose of salt adds to a volume of water if all of it dissolves; computed from the formula. Not a number for 0
// litres.
template <class Scalar>
WaterIons<Scalar> salt_ions(WaterSalt salt, const Scalar& mass_g, const Scalar& volume_l) {
  const SaltTraits traits = salt_traits(salt);
  const Scalar mmol_per_l = mass_g / volume_l * (1000.0 / molar_mass_g_per_mol(traits.formula));
  WaterIons<Scalar> added;
  added.calcium_mg_per_l = mmol_per_l * (2.0 * calcium_mg_per_meq * traits.formula.ca);
  added.magnesium_mg_per_l = mmol_per_l * (2.0 * magnesium_mg_per_meq * traits.formula.mg);
  added.sodium_mg_per_l = mmol_per_l * (sodium_mg_per_meq * traits.formula.na);
  added.potassium_mg_per_l = mmol_per_l * (potassium_mg_per_meq * traits.formula.k);
  added.chloride_mg_per_l = mmol_per_l * (chloride_mg_per_meq * traits.formula.cl);
  added.sulphate_mg_per_l = mmol_per_l * (2.0 * sulphate_mg_per_meq * traits.sulphate);
  added.alkalinity_meq_per_l = mmol_per_l * double(traits.alkalinity);
  return added;
}

// Whether the dose can dissolve in pure water at all. False for a volume of 0.
inline bool salt_dissolves(WaterSalt salt, double mass_g, double volume_l) {
  return volume_l > 0.0 && mass_g <= salt_traits(salt).solubility_g_per_l * volume_l;
}

// ---- Residual alkalinity and chlorine

// mEq/L. P. Kolbach, "Der Einfluss des Brauwassers auf das pH von Wuerze und Bier", Monatsschrift fuer Brauerei 6
// (1953): each mEq of calcium sets free 1/3.5, of magnesium 1/7 mEq of acid from malt phosphate. Stated for cast-out
// wort of 12 P; in a mash the divisors depend on thickness. Linear, any values.
template <class Scalar>
Scalar residual_alkalinity_kolbach_meq_per_l(const WaterIons<Scalar>& water) {
  return Scalar(water.alkalinity_meq_per_l - water.calcium_mg_per_l / (3.5 * calcium_mg_per_meq) -
                water.magnesium_mg_per_l / (7.0 * magnesium_mg_per_meq));
}

// mg of metabisulphite per mg of chlorine, free or bound in chloramine, both as Cl2: S2O5-- + 2 HOCl + H2O = 2 HSO4- +
// 2 H+ + 2 Cl-.
inline constexpr double sodium_metabisulphite_mg_per_mg_chlorine =
    molar_mass_g_per_mol({.o = 5, .na = 2, .s = 2}) / (2.0 * molar_mass_g_per_mol({.cl = 2}));
inline constexpr double potassium_metabisulphite_mg_per_mg_chlorine =
    molar_mass_g_per_mol({.o = 5, .s = 2, .k = 2}) / (2.0 * molar_mass_g_per_mol({.cl = 2}));

}  // namespace oddgrist::science

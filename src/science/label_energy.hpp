// Energy and salt of a food from its nutrition label; used to ask whether a label agrees with itself. Amounts in grams.
#pragma once

#include "science/range.hpp"

namespace oddgrist::science {

// Grams of what carries energy, in any one portion. EU style: carbohydrate leaves fibre out and takes polyols in; of
// those, `polyols` and `erythritol` are said apart here, so `carbohydrate` is what remains. Never negative.
template <class Scalar>
struct EnergyCarriers {
  Scalar carbohydrate{0.0};  // without polyols, erythritol and fibre
  Scalar polyols{0.0};       // without erythritol
  Scalar erythritol{0.0};
  Scalar protein{0.0};
  Scalar fat{0.0};
  Scalar salatrim{0.0};
  Scalar alcohol{0.0};
  Scalar organic_acids{0.0};
  Scalar fibre{0.0};
};

// Energy per gram, one set a column of the regulation.
struct EnergyFactors {
  double carbohydrate, polyols, erythritol, protein, fat, salatrim, alcohol, organic_acids, fibre;
};

// Source: Regulation (EU) No 1169/2011, Annex XIV.
inline constexpr EnergyFactors energy_factors_eu_kj{17.0, 10.0, 0.0, 17.0, 37.0, 25.0, 29.0, 13.0, 8.0};
inline constexpr EnergyFactors energy_factors_eu_kcal{4.0, 2.4, 0.0, 4.0, 9.0, 6.0, 7.0, 3.0, 2.0};

template <class Scalar>
Scalar label_energy(const EnergyCarriers<Scalar>& grams, const EnergyFactors& per_gram) {
  Scalar energy = grams.carbohydrate * per_gram.carbohydrate;
  energy += Scalar(grams.polyols * per_gram.polyols);
  energy += Scalar(grams.erythritol * per_gram.erythritol);
  energy += Scalar(grams.protein * per_gram.protein);
  energy += Scalar(grams.fat * per_gram.fat);
  energy += Scalar(grams.salatrim * per_gram.salatrim);
  energy += Scalar(grams.alcohol * per_gram.alcohol);
  energy += Scalar(grams.organic_acids * per_gram.organic_acids);
  energy += Scalar(grams.fibre * per_gram.fibre);
  return energy;
}

// Energy, kJ, by the EU factors.
template <class Scalar>
Scalar label_energy_eu_kj(const EnergyCarriers<Scalar>& grams) {
  return label_energy(grams, energy_factors_eu_kj);
}

// Energy, kcal, by the EU factors. The regulation rounds both sets, so kJ over kcal is not exactly 4.184.
template <class Scalar>
Scalar label_energy_eu_kcal(const EnergyCarriers<Scalar>& grams) {
  return label_energy(grams, energy_factors_eu_kcal);
}

// Energy, kcal, by the general US factors 4, 4, 9; total carbohydrate there includes fibre and polyols.
// Source: 21 CFR 101.9(c)(1)(i)(B).
template <class Scalar>
Scalar label_energy_us_kcal(const Scalar& total_carbohydrate_g, const Scalar& protein_g, const Scalar& fat_g) {
  const Scalar lean = total_carbohydrate_g + protein_g;
  return Scalar(lean * 4.0) + Scalar(fat_g * 9.0);
}

// kcal per gram of a polyol. Source: 21 CFR 101.9(c)(1)(i)(F) (figures seen in secondary text).
inline constexpr double isomalt_kcal_per_g = 2.0;
inline constexpr double lactitol_kcal_per_g = 2.0;
inline constexpr double maltitol_kcal_per_g = 2.1;
inline constexpr double mannitol_kcal_per_g = 1.6;
inline constexpr double sorbitol_kcal_per_g = 2.6;
inline constexpr double xylitol_kcal_per_g = 2.4;
inline constexpr double hydrogenated_starch_hydrolysate_kcal_per_g = 3.0;

// The finer US sum: carbohydrate less what is not digested and less polyols at 4, soluble fibre at 2, polyols at
// their own.
// Source: 21 CFR 101.9(c)(1)(i)(C) and (F).
template <class Scalar>
Scalar label_energy_us_fine_kcal(const Scalar& total_carbohydrate_g, const Scalar& soluble_fibre_g,
                                 const Scalar& insoluble_fibre_g, const Scalar& polyols_g, double polyol_kcal_per_g,
                                 const Scalar& protein_g, const Scalar& fat_g) {
  const Scalar fibre = soluble_fibre_g + insoluble_fibre_g;
  const Scalar left_out = fibre + polyols_g;
  const Scalar digested = total_carbohydrate_g - left_out;
  const Scalar general = label_energy_us_kcal(digested, protein_g, fat_g);
  const Scalar slow = Scalar(soluble_fibre_g * 2.0) + Scalar(polyols_g * polyol_kcal_per_g);
  return general + slow;
}

// Salt on a European label is all sodium times 2.5, wherever the sodium comes from. Source: (EU) 1169/2011, Annex I
// (11).
template <class Scalar>
Scalar label_salt_from_sodium(const Scalar& sodium) {
  return sodium * 2.5;
}

template <class Scalar>
Scalar label_sodium_from_salt(const Scalar& salt) {
  return salt / 2.5;
}

}  // namespace oddgrist::science

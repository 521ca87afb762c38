// Energy and the nutrition facts of a beer; alcohol counted in units.
#pragma once

#include "science/alcoholometry.hpp"
#include "science/label_energy.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

// Energy of 100 g of beer, kcal: 6.9 for each per cent of alcohol by mass, 4.0 for each of real extract less the ash.
// ASBC Methods of Analysis, Beer-33 (from memory). Error about 2 %. An ash content above the extract counts as no
// extract.
inline constexpr double beer_ash_mass_percent = 0.10;

template <class Scalar>
Scalar beer_energy_kcal_per_100_g_asbc(const Scalar& alcohol_mass_percent, const Scalar& real_extract_mass_percent,
                                       double ash_mass_percent = beer_ash_mass_percent) {
  const Scalar of_alcohol = alcohol_mass_percent * 6.9;
  const Scalar organic = real_extract_mass_percent - ash_mass_percent;
  if (organic <= 0.0) return of_alcohol;
  const Scalar of_extract = organic * 4.0;
  return of_alcohol + of_extract;
}

// Facts for 100 mL of beer. Carbohydrate is the real extract less protein and ash; `sugars` is what is given.
template <class Scalar>
struct BeerFacts {
  Scalar energy_kj{0.0};
  Scalar energy_kcal{0.0};
  Scalar carbohydrate_g{0.0};
  Scalar sugars_g{0.0};
  Scalar protein_g{0.0};
  Scalar fat_g{0.0};
  Scalar alcohol_g{0.0};
  Scalar salt_g{0.0};
};

// What is in 100 g of beer, grams.
template <class Scalar>
struct BeerContents {
  Scalar alcohol_g{0.0};
  Scalar real_extract_g{0.0};
  Scalar sugars_g{0.0};   // part of the extract
  Scalar protein_g{0.0};  // part of the extract
  Scalar ash_g{0.0};      // part of the extract
  Scalar fat_g{0.0};
  Scalar sodium_g{0.0};  // part of the ash
};

// Energy by the factors of Regulation (EU) 1169/2011. Density kg/m3 at 20 C (or kg per 1000 L: the same).
template <class Scalar>
BeerFacts<Scalar> beer_facts_per_100_ml(const BeerContents<Scalar>& per_100_g, const Scalar& density_kg_per_m3) {
  const Scalar to_100_ml = density_kg_per_m3 / 1000.0;
  const Scalar without_protein = per_100_g.real_extract_g - per_100_g.protein_g;
  const Scalar carbohydrate = without_protein - per_100_g.ash_g;
  BeerFacts<Scalar> facts;
  if (carbohydrate > 0.0) facts.carbohydrate_g = carbohydrate * to_100_ml;
  facts.sugars_g = per_100_g.sugars_g * to_100_ml;
  facts.protein_g = per_100_g.protein_g * to_100_ml;
  facts.fat_g = per_100_g.fat_g * to_100_ml;
  facts.alcohol_g = per_100_g.alcohol_g * to_100_ml;
  const Scalar sodium_g = per_100_g.sodium_g * to_100_ml;
  facts.salt_g = label_salt_from_sodium(sodium_g);
  EnergyCarriers<Scalar> carriers;
  carriers.carbohydrate = facts.carbohydrate_g;
  carriers.protein = facts.protein_g;
  carriers.fat = facts.fat_g;
  carriers.alcohol = facts.alcohol_g;
  facts.energy_kj = label_energy_eu_kj(carriers);
  facts.energy_kcal = label_energy_eu_kcal(carriers);
  return facts;
}

// Units of alcohol in a serving. United Kingdom: 10 mL of pure ethanol (Department of Health, Sensible Drinking, 1995).
// Strength as a fraction.
template <class Scalar>
Scalar alcohol_units_uk(const Scalar& volume_l, const Scalar& alcohol_volume_fraction) {
  const Scalar ethanol_l = volume_l * alcohol_volume_fraction;
  return ethanol_l / 0.010;
}

// Standard drinks of the United States: 14 g of ethanol (National Institute on Alcohol Abuse and Alcoholism; 0.6 US fl
// oz).
template <class Scalar>
Scalar standard_drinks_us(const Scalar& volume_l, const Scalar& alcohol_volume_fraction) {
  const Scalar ethanol_l = volume_l * alcohol_volume_fraction;
  return ethanol_l * (ethanol_density_oiml_20c_kg_per_m3 / 14.0);
}

}  // namespace oddgrist::science

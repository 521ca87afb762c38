// Steeping a food in spirit or water, and dosing what comes of it: liquor, strength, sugar, fat; a tasting trial and
// its scale-up.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <random>
#include <vector>

#include "science/alcoholometry.hpp"
#include "science/carbonation.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

// What goes into the side vessel, at 20 C. Shares are 0..1.
template <class Scalar>
struct Steep {
  Scalar liquor_l{1.0};
  double liquor_alcohol_volume_fraction = 0.40;  // 0: water; chosen, never a slope
  Scalar food_kg{0.1};
  Scalar food_water_share{0.05};
  Scalar food_sugar_share{0.0};  // what can dissolve
  Scalar food_fat_share{0.0};
  Scalar dissolved_share{0.9};    // of the sugar, once steeped; 0.8..1.0 for a paste stirred in (estimate)
  Scalar fat_afloat_share{0.3};   // of the fat, comes away from the solids; 0.1..0.6 (estimate)
  Scalar fat_skimmed_share{0.8};  // of the fat afloat, lifted off cold; 0.6..0.95 (estimate)
  Scalar held_kg_per_kg{1.0};     // liquor the strained solids keep, for each kg of dry solids
};

template <class Scalar>
struct SteepedLiquor {
  Scalar mass_kg{0.0};
  Scalar volume_l{0.0};
  Scalar ethanol_kg{0.0};
  Scalar water_kg{0.0};
  Scalar sugar_kg{0.0};
  Scalar fat_kg{0.0};
  Scalar alcohol_volume_fraction{0.0};
  Scalar recovered_share{0.0};  // of the liquid that was in the vessel
};

// Apparent volume of a sugar in solution, L/kg: 0.62 for sucrose in dilute solution (from memory; sucrose tables give
// 0.61..0.63).
inline constexpr double dissolved_sugar_l_per_kg = 0.62;

// Volume of ethanol, water and sugar together at 20 C: masses add, ethanol and water contract by OIML R 22, sugar adds
// its apparent volume.
template <class Scalar>
Scalar sweet_liquor_volume_l(const Scalar& ethanol_kg, const Scalar& water_kg, const Scalar& sugar_kg) {
  const Scalar thin_kg = ethanol_kg + water_kg;
  const Scalar sugar_l = sugar_kg * dissolved_sugar_l_per_kg;
  if (!(thin_kg > 0.0)) return sugar_l;
  const Scalar mass_fraction = ethanol_kg / thin_kg;
  const Scalar thin_kg_per_l = ethanol_water_density_oiml_kg_per_m3(mass_fraction, Scalar(20.0)) / 1000.0;
  const Scalar thin_l = thin_kg / thin_kg_per_l;
  return thin_l + sugar_l;
}

// The strained and skimmed liquor. Mass balance: every kilogram is in the liquor, held by the solids or skimmed off.
// Fat is counted by mass and takes no volume here. If the solids hold more than there is, nothing is recovered.
template <class Scalar>
SteepedLiquor<Scalar> strain(const Steep<Scalar>& steep) {
  const double by_mass = mass_fraction_from_alcohol_by_volume(steep.liquor_alcohol_volume_fraction);
  const double liquor_kg_per_l = ethanol_water_density_oiml_kg_per_m3(by_mass, 20.0) / 1000.0;
  const Scalar liquor_kg = steep.liquor_l * liquor_kg_per_l;
  const Scalar ethanol_kg = liquor_kg * by_mass;
  const Scalar food_water_kg = steep.food_kg * steep.food_water_share;
  const Scalar liquor_water_kg = liquor_kg - ethanol_kg;
  const Scalar water_kg = liquor_water_kg + food_water_kg;
  const Scalar food_sugar_kg = steep.food_kg * steep.food_sugar_share;
  const Scalar sugar_kg = food_sugar_kg * steep.dissolved_share;
  const Scalar fat_kg = steep.food_kg * steep.food_fat_share;
  const Scalar fat_afloat_kg = fat_kg * steep.fat_afloat_share;
  const Scalar left_of_food_kg = steep.food_kg - food_water_kg - sugar_kg;
  Scalar solids_kg = left_of_food_kg - fat_afloat_kg;
  if (solids_kg < 0.0) solids_kg = Scalar(0.0);  // shares that add up to more than the food
  const Scalar held_kg = solids_kg * steep.held_kg_per_kg;
  const Scalar thin_kg = ethanol_kg + water_kg;
  const Scalar liquid_kg = thin_kg + sugar_kg;

  SteepedLiquor<Scalar> out;
  if (!(liquid_kg > 0.0)) return out;
  const Scalar held_share = held_kg / liquid_kg;
  if (held_share >= 1.0) return out;
  out.recovered_share = 1.0 - held_share;
  out.ethanol_kg = ethanol_kg * out.recovered_share;
  out.water_kg = water_kg * out.recovered_share;
  out.sugar_kg = sugar_kg * out.recovered_share;
  const Scalar fat_kept_share = 1.0 - steep.fat_skimmed_share;
  out.fat_kg = fat_afloat_kg * fat_kept_share;
  const Scalar thin_out_kg = out.ethanol_kg + out.water_kg;
  const Scalar rich_out_kg = out.sugar_kg + out.fat_kg;
  out.mass_kg = thin_out_kg + rich_out_kg;
  out.volume_l = sweet_liquor_volume_l(out.ethanol_kg, out.water_kg, out.sugar_kg);
  const Scalar liquor_density_kg_per_m3 = (thin_out_kg + out.sugar_kg) / out.volume_l * 1000.0;
  const Scalar ethanol_share = out.ethanol_kg / (thin_out_kg + out.sugar_kg);
  out.alcohol_volume_fraction = alcohol_by_volume_of_liquid(ethanol_share, liquor_density_kg_per_m3);
  return out;
}

// What a dose of liquor does to a beer whose strength and volume are known. The dose is a share of the recovered
// liquor, 0..1.
template <class Scalar>
struct DoseEffect {
  Scalar volume_l{0.0};
  Scalar alcohol_volume_fraction{0.0};
  Scalar gravity_rise{0.0};   // in specific gravity, before any of the sugar ferments
  Scalar later_volumes{0.0};  // carbon dioxide if all its sugar ferments in the closed vessel
  Scalar fat_mg_per_l{0.0};
};

// Beer of strength and specific gravity, plus dose: volumes of ethanol are kept, masses add; the beer's own contraction
// with the dose is neglected (below 0.1 % for doses up to 5 % of the beer).
template <class Scalar>
DoseEffect<Scalar> dose_effect(const Scalar& beer_l, const Scalar& beer_alcohol_volume_fraction,
                               const Scalar& beer_specific_gravity, const SteepedLiquor<Scalar>& liquor,
                               const Scalar& share) {
  DoseEffect<Scalar> effect;
  if (!(beer_l > 0.0)) return effect;
  const Scalar dose_l = liquor.volume_l * share;
  const Scalar dose_kg = liquor.mass_kg * share;
  effect.volume_l = beer_l + dose_l;
  const Scalar beer_ethanol_l = beer_l * beer_alcohol_volume_fraction;
  const Scalar dose_ethanol_l = dose_l * liquor.alcohol_volume_fraction;
  const Scalar ethanol_l = beer_ethanol_l + dose_ethanol_l;
  effect.alcohol_volume_fraction = ethanol_l / effect.volume_l;
  constexpr double water_kg_per_l = water_density_oiml_20c_kg_per_m3 / 1000.0;
  const Scalar beer_kg_per_l = beer_specific_gravity * water_kg_per_l;
  const Scalar beer_kg = beer_l * beer_kg_per_l;
  const Scalar mixed_kg = beer_kg + dose_kg;
  const Scalar mixed_kg_per_l = mixed_kg / effect.volume_l;
  const Scalar mixed_gravity = mixed_kg_per_l / water_kg_per_l;
  effect.gravity_rise = mixed_gravity - beer_specific_gravity;
  const Scalar sugar_g = liquor.sugar_kg * share * 1000.0;
  const Scalar sugar_g_per_l = sugar_g / effect.volume_l;
  effect.later_volumes = volumes_from_fermentable(sugar_g_per_l);
  const Scalar fat_mg = liquor.fat_kg * share * 1e6;
  effect.fat_mg_per_l = fat_mg / effect.volume_l;
  return effect;
}

// ---- Tasting trial

// The dose for a batch from the dose liked in a glass, by mass against mass of beer: the unit of the glass dose, times
// the ratio.
template <class Scalar>
Scalar scaled_dose(const Scalar& glass_dose, const Scalar& glass_beer_kg, const Scalar& batch_beer_kg) {
  if (!(glass_beer_kg > 0.0)) return Scalar(0.0);
  const Scalar ratio = batch_beer_kg / glass_beer_kg;
  return glass_dose * ratio;
}

// Doses from low to high in equal ratios (a just noticed change is a share of what is there: Weber's law). Empty unless
// 0 < low <= high and steps >= 1.
inline std::vector<double> dose_ladder(double low, double high, int steps) {
  std::vector<double> doses;
  if (!(low > 0.0) || !(high >= low) || !std::isfinite(high) || steps < 1) return doses;
  const double ratio = steps > 1 ? std::pow(high / low, 1.0 / (steps - 1)) : 1.0;
  for (int i = 0; i < steps; ++i) doses.push_back(low * std::pow(ratio, i));
  return doses;
}

// The order in which glasses 0..count-1 are poured so that the taster does not know them. Same number, same order, on
// every machine: the generator is fixed by the C++ standard, the shuffle (Fisher and Yates) is written out because the
// standard's is not.
inline std::vector<int> blind_order(int count, std::uint64_t number) {
  std::vector<int> order(static_cast<std::size_t>(std::max(count, 0)));
  std::iota(order.begin(), order.end(), 0);
  std::mt19937_64 generator(number);
  for (std::size_t left = order.size(); left > 1; --left) {
    const std::uint64_t fair_limit = std::mt19937_64::max() - std::mt19937_64::max() % left;
    std::uint64_t drawn = generator();
    while (drawn >= fair_limit) drawn = generator();
    std::swap(order[left - 1], order[static_cast<std::size_t>(drawn % left)]);
  }
  return order;
}

}  // namespace oddgrist::science

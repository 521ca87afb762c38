#include "compose/first_guess.hpp"

#include <algorithm>

namespace oddgrist::compose {
namespace {

constexpr double usual_sparged_mash_l_per_kg = 3.0;

}  // namespace

Design first_guess(const Brief& brief, const Unknowns& unknowns) {
  double volume_l = 10.0, gravity_points = 50.0;
  for (const Wish& wish : brief.wishes) {
    const double middle = 0.5 * (wish.low + wish.high);
    if (wish.measure == Measure::volume) volume_l = middle;
    if (wish.measure == Measure::original_gravity) gravity_points = 1000.0 * (middle - 1.0);
    if (wish.measure == Measure::alcohol) gravity_points = middle * 7.7;
  }
  Design guess;
  guess.amount_kg.assign(unknowns.variables.size(), 0.0);
  guess.rest_temperature_c = 0.5 * (brief.rest_low.in(celsius) + brief.rest_high.in(celsius));
  int base = -1;
  double best_power = -1.0, grist_kg = 0.0;
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    const Supply& supply = *unknowns.supplies[s];
    const int first = unknowns.variables_of_supply[s].front();
    if (supply.must) {
      const Must& must = *supply.must;
      guess.amount_kg[first] = must.sense == Must::Sense::at_most ? 0.0 : must.low.in(kilogram);
    }
    const bool mashed = unknowns.ports[unknowns.variables[first].port].where == Port::Where::grist;
    if (mashed) grist_kg += guess.amount_kg[first];
    const double power = supply.ingredient.malt ? supply.ingredient.malt->diastatic_power_wk : 0.0;
    if (mashed && power > best_power) best_power = power, base = first;
  }
  if (base >= 0) {
    const double wanted = volume_l * gravity_points / 270.0;  // about 270 L.deg/kg from a kilogram of grist in a kettle
    guess.amount_kg[base] += std::max(0.0, wanted - grist_kg);
    grist_kg = std::max(grist_kg, wanted);
  }
  const double all_l = volume_l + brief.kit.kettle_loss.in(litre) +
                       brief.kit.boil_off.in(litre_per_hour)*brief.kit.boil.in(hour) +
                       grist_kg * brief.kit.held_by_grain.in(litre_per_kilogram);
  // Where there is a sparge, what the mash does not need: slopes at a sparge of nothing say nothing of what a sparge does.
  double sparge_l = 0.0;
  if (brief.kit.mash_method == process::MashMethod::sparged) {
    const double kept_l = brief.kit.sparge.in(litre);
    sparge_l =
        kept_l > 0.0 ? std::min(kept_l, 0.6 * all_l) : std::max(0.0, all_l - usual_sparged_mash_l_per_kg * grist_kg);
  }
  const auto sparge = std::find_if(unknowns.variables.begin(), unknowns.variables.end(), [&](const Variable& each) {
    return each.supply < 0 && unknowns.ports[each.port].where == Port::Where::sparge_liquor;
  });
  guess.amount_kg[0] = all_l;
  if (sparge != unknowns.variables.end() && sparge_l > 0.0) {
    guess.amount_kg[sparge - unknowns.variables.begin()] = sparge_l;
    guess.amount_kg[0] = all_l - sparge_l;
  }
  return guess;
}

}  // namespace oddgrist::compose

#include "compose/first_guess.hpp"

#include <algorithm>

#include "compose/practice_demands.hpp"
#include "science/volumes.hpp"

namespace oddgrist::compose {
namespace {

constexpr double usual_sparged_mash_l_per_kg = 3.0;
constexpr double usual_filling = 0.9;  // cold, of the kettle

}  // namespace

Design first_guess(const Brief& brief, const Unknowns& unknowns) {
  const Intent intent = intent_of(brief);
  const double volume_l = intent.volume_l, gravity_points = 1000.0 * (intent.gravity_sg - 1.0);
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
  guess.amount_kg[0] = all_l;
  const auto give = [&](Port::Where where, double litres) {
    for (std::size_t v = 1; v < unknowns.variables.size() && litres > 0.0; ++v) {
      if (unknowns.variables[v].supply >= 0 || unknowns.ports[unknowns.variables[v].port].where != where) continue;
      guess.amount_kg[v] = litres;
      guess.amount_kg[0] -= litres;
      return;
    }
  };
  give(Port::Where::sparge_liquor, sparge_l);
  // What the kettle has no room for.
  const double kettle_l = brief.kit.kettle.in(litre)*usual_filling - grist_kg * science::grain_displacement_l_per_kg;
  give(Port::Where::fermenter_water, std::min(all_l - kettle_l, 0.9 * guess.amount_kg[0]));
  return guess;
}

}  // namespace oddgrist::compose

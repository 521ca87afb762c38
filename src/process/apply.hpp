// What each step does to a mixture. apply(step, before) is pure: the Moment it returns holds the mixture after the step, and
// before + added - sum(removed) + reacted = after holds for every component; sum(reacted) = 0 kg.
#pragma once

#include <utility>

#include "process/forecast.hpp"
#include "science/attenuation.hpp"
#include "science/balling.hpp"
#include "science/bitterness.hpp"
#include "science/carbonation.hpp"
#include "science/density.hpp"
#include "science/fermentation_kinetics.hpp"
#include "science/infusion.hpp"
#include "science/volumes.hpp"

namespace oddgrist::process {

namespace detail {

inline constexpr double kg_co2_per_litre_volume = science::carbon_dioxide_g_per_l_per_volume / 1000.0;

inline bool is_insoluble(Component component) {
  return component == Component::starch || component == Component::solids || component == Component::fat ||
         component == Component::yeast;
}

// The clear-liquid share of a mixture: everything dissolved, times a fraction.
template <class Scalar>
Mixture<Scalar> liquid_share(const Mixture<Scalar>& mixture, const Scalar& fraction) {
  Mixture<Scalar> share;
  for (std::size_t i = 0; i < component_count; ++i) {
    if (!is_insoluble(static_cast<Component>(i))) share.mass_kg[i] = mixture.mass_kg[i] * fraction;
  }
  share.alkalinity_eq = mixture.alkalinity_eq * fraction;
  share.colour_load_kg_lovibond = mixture.colour_load_kg_lovibond * fraction;
  share.temperature_c = mixture.temperature_c;
  return share;
}

template <class Scalar>
void take_from(Mixture<Scalar>& from, const Mixture<Scalar>& part) {
  for (std::size_t i = 0; i < component_count; ++i) from.mass_kg[i] -= part.mass_kg[i];
  from.alkalinity_eq -= part.alkalinity_eq;
  from.colour_load_kg_lovibond -= part.colour_load_kg_lovibond;
  from.buffering_eq_per_ph -= part.buffering_eq_per_ph;
  from.buffering_ph_eq -= part.buffering_ph_eq;
}

template <class Scalar>
void move_out(Moment<Scalar>& moment, std::string where, Mixture<Scalar> part) {
  take_from(moment.after, part);
  moment.removed.push_back({std::move(where), std::move(part)});
}

template <class Scalar>
void move_in(Moment<Scalar>& moment, const Mixture<Scalar>& part) {
  add_to(moment.added, part);
  add_to(moment.after, part);
}

// A share between 0 and 0.95: nothing can lose more than it has; forecast() reports the plan as impossible when this binds.
template <class Scalar>
Scalar lost_share(const Scalar& held, const Scalar& volume) {
  if (!(volume > 0.0)) return Scalar(0.0);
  Scalar share = held / volume;
  if (share > 0.95) share = Scalar(0.95);
  return share;
}

// Ferments the sugars of `fresh`, each to the share the yeast can take, by Balling's mass balance. Carbon dioxide stays in `after`.
template <class Scalar>
void ferment_sugars(Moment<Scalar>& moment, const Mixture<Scalar>& fresh, const larder::YeastTraits& yeast) {
  const std::array<std::pair<Component, double>, 6> uptake = {{{Component::glucose, 1.0},
                                                               {Component::fructose, 1.0},
                                                               {Component::sucrose, 1.0},
                                                               {Component::maltose, yeast.maltose_uptake},
                                                               {Component::maltotriose, yeast.maltotriose_uptake},
                                                               {Component::dextrin, yeast.dextrin_uptake}}};
  Scalar consumed(0.0);
  for (const auto& [sugar, share] : uptake) {
    const Scalar eaten = fresh[sugar] * share;
    moment.after[sugar] -= eaten;
    moment.reacted[sugar] -= eaten;
    consumed += eaten;
  }
  const auto split = science::fermentation_split_balling(consumed);
  const std::array<std::pair<Component, Scalar>, 3> made = {{{Component::ethanol, split.ethanol_kg},
                                                             {Component::carbon_dioxide, split.carbon_dioxide_kg},
                                                             {Component::yeast, split.yeast_kg}}};
  for (const auto& [component, mass] : made) {
    moment.after[component] += mass;
    moment.reacted[component] += mass;
  }
}

// Carbon dioxide above what still beer holds at this temperature leaves as gas.
template <class Scalar>
void vent(Moment<Scalar>& moment, double temperature_c) {
  const Scalar volume = liquid_volume_l(moment.after, 20.0);
  const Scalar held = volume * (science::carbonation_residual_volumes(temperature_c) * kg_co2_per_litre_volume);
  const Scalar surplus = moment.after[Component::carbon_dioxide] - held;
  if (!(surplus > 0.0)) return;
  Mixture<Scalar> gas;
  gas[Component::carbon_dioxide] = surplus;
  move_out(moment, "gas", gas);
}

template <class Scalar>
void isomerise(Moment<Scalar>& moment, const Scalar& alpha_kg, const Scalar& utilisation) {
  const Scalar turned = alpha_kg * utilisation;
  moment.after[Component::alpha_acid] -= turned;
  moment.after[Component::iso_alpha_acid] += turned;
  moment.reacted[Component::alpha_acid] -= turned;
  moment.reacted[Component::iso_alpha_acid] += turned;
}

template <class Scalar>
Moment<Scalar> begin(std::string name, const Mixture<Scalar>& before) {
  Moment<Scalar> moment;
  moment.step = std::move(name);
  moment.after = before;
  return moment;
}

// What of the contents of a side vessel gets through the cloth, by science::strain(): of the liquid, of what can dissolve, of the fat.
template <class Scalar>
struct StrainedShares {
  Scalar liquid{0.0}, dissolved{0.0}, fat{0.0};
};

template <class Scalar>
StrainedShares<Scalar> strained_shares_of(const Steeping& how, science::Steep<Scalar> steep) {
  steep.liquor_alcohol_volume_fraction = how.liquor_alcohol_volume_fraction;
  steep.dissolved_share = Scalar(how.dissolved_share.usual);
  steep.fat_afloat_share = Scalar(how.fat_afloat_share.usual);
  steep.fat_skimmed_share = Scalar(how.fat_skimmed_share.usual);
  steep.held_kg_per_kg = Scalar(how.held_kg_per_kg.usual);
  steep.liquor_l = steep.food_kg * how.liquor_l_per_kg_food;
  const auto strained = science::strain(steep);
  StrainedShares<Scalar> share;
  share.liquid = strained.recovered_share;
  share.dissolved = strained.recovered_share * how.dissolved_share.usual;
  if (share.liquid > 0.0) share.fat = Scalar(how.fat_afloat_share.usual * (1.0 - how.fat_skimmed_share.usual));
  return share;
}

template <class Scalar>
StrainedShares<Scalar> strained_shares(const Steeping& how, const Mixture<Scalar>& food) {
  const Scalar food_kg = total_mass_kg(food);
  // Without food nobody steeps; the shares of an ordinary food then say which way a first gram would go, and hang on nothing.
  if (!(food_kg > 0.0)) {
    const auto ordinary = strained_shares_of(how, science::Steep<double>{});
    return {Scalar(ordinary.liquid), Scalar(ordinary.dissolved), Scalar(ordinary.fat)};
  }
  science::Steep<Scalar> steep;
  steep.food_kg = food_kg;
  steep.food_water_share = (food[Component::water] + food[Component::ethanol]) / food_kg;
  steep.food_sugar_share = extract_kg(food) / food_kg;
  steep.food_fat_share = food[Component::fat] / food_kg;
  return strained_shares_of(how, steep);
}

}  // namespace detail

template <class Scalar>
Moment<Scalar> apply(const HeatLiquor<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("heat liquor", before);
  detail::move_in(moment, step.liquor);
  return moment;
}

template <class Scalar>
Moment<Scalar> apply(const MashIn<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("mash in", before);
  detail::move_in(moment, step.grist);
  moment.after.temperature_c = step.rest_temperature_c;
  return moment;
}

// Starch takes up water and becomes sugars and dextrin; how much of it ferments follows the rest temperature.
template <class Scalar>
Moment<Scalar> apply(const Rest<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("rest", before);
  moment.after.temperature_c = step.temperature_c;
  const science::SugarSplit split;
  const double hydration = split.glucose * science::glucose_per_starch + split.maltose * science::maltose_per_starch +
                           split.maltotriose * science::maltotriose_per_starch;
  const Scalar share = science::starch_fermentable_share(step.temperature_c);  // of the extract made from starch
  const Scalar converted = before[Component::starch] * step.conversion;
  const Scalar fermentable_starch = converted * share / (share + (1.0 - share) * hydration);
  const Scalar sugars = fermentable_starch * hydration;
  const auto turn = [&](Component component, const Scalar& mass) {
    moment.after[component] += mass;
    moment.reacted[component] += mass;
  };
  turn(Component::starch, Scalar(-converted));
  turn(Component::glucose, Scalar(sugars * (split.glucose * science::glucose_per_starch / hydration)));
  turn(Component::maltose, Scalar(sugars * (split.maltose * science::maltose_per_starch / hydration)));
  turn(Component::maltotriose, Scalar(sugars * (split.maltotriose * science::maltotriose_per_starch / hydration)));
  turn(Component::dextrin, Scalar(converted - fermentable_starch));
  turn(Component::water, Scalar(fermentable_starch - sugars));
  return moment;
}

// The grain keeps its undissolved part and the wort it holds; a sparge mixes fully with what is held and drains once more.
template <class Scalar>
Moment<Scalar> apply(const Drain<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("drain", before);
  const double hot_c = 65.0;
  const Scalar held_l = step.grist_kg * step.held_l_per_kg;
  const Scalar first = detail::lost_share(held_l, liquid_volume_l(before, hot_c));
  Mixture<Scalar> spent = detail::liquid_share(before, first);
  const Scalar sparge_kg = total_mass_kg(step.sparge_liquor);
  if (sparge_kg > 0.0) {
    detail::move_in(moment, step.sparge_liquor);
    Mixture<Scalar> bed = spent;
    add_to(bed, step.sparge_liquor);
    spent = detail::liquid_share(bed, detail::lost_share(held_l, liquid_volume_l(bed, hot_c)));
  }
  for (Component component : {Component::starch, Component::solids, Component::yeast})
    spent[component] = before[component];
  spent.buffering_eq_per_ph = before.buffering_eq_per_ph;
  spent.buffering_ph_eq = before.buffering_ph_eq;
  spent[Component::fat] = before[Component::fat] * 0.998;  // wort carries 5 to 15 mg/L (from memory)
  detail::move_out(moment, "spent grain", spent);
  return moment;
}

template <class Scalar>
Moment<Scalar> apply(const TopUp<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("top up", before);
  detail::move_in(moment, step.water);
  return moment;
}

// Bitterness by the empirical utilisation, at the mean gravity of the boil. Losses to trub and yeast are inside that formula.
template <class Scalar>
Moment<Scalar> apply(const Boil<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("boil", before);
  moment.after.temperature_c = Scalar(step.course.boiling_c());
  Mixture<Scalar> start = before;
  for (const auto& pour : step.pours) {
    detail::move_in(moment, pour.mixture);
    if (pour.minutes_before_end >= step.minutes) add_to(start, pour.mixture);
  }
  Mixture<Scalar> vapour;
  Scalar evaporated(science::boil_off_kg(step.boil_off_l_per_h, step.minutes));
  const Scalar most = moment.after[Component::water] * 0.95;
  if (evaporated > most) evaporated = most;
  vapour[Component::water] = evaporated;
  detail::move_out(moment, "vapour", vapour);
  const Scalar gravity = 0.5 * (apparent_gravity_sg(start) + apparent_gravity_sg(moment.after));
  const double pace = step.course.equivalent_minutes_a_boil_minute();
  const auto boil_hops = [&](const Scalar& alpha_kg, double minutes) {
    detail::isomerise(moment, alpha_kg,
                      science::utilisation_tinseth(gravity, Scalar(minutes * pace)));  // also from 0: slopes
  };
  boil_hops(before[Component::alpha_acid], step.minutes);
  for (const auto& pour : step.pours) boil_hops(pour.mixture[Component::alpha_acid], pour.minutes_before_end);
  return moment;
}

template <class Scalar>
Moment<Scalar> apply(const Stand<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("stand", before);
  detail::move_in(moment, step.addition);
  const Scalar gravity = apparent_gravity_sg(moment.after);
  detail::isomerise(moment, step.addition[Component::alpha_acid],
                    science::utilisation_tinseth(gravity, Scalar(step.course.equivalent_minutes_after_boil())));
  return moment;
}

template <class Scalar>
Moment<Scalar> apply(const Chill<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("chill", before);
  moment.after.temperature_c = Scalar(step.to_c);
  return moment;
}

template <class Scalar>
Moment<Scalar> apply(const Transfer<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("transfer", before);
  const Scalar undissolved = before[Component::solids] + before[Component::starch];
  const Scalar lost_l = step.kettle_loss_l + step.held_l_per_kg_trub * undissolved;
  Mixture<Scalar> trub = detail::liquid_share(before, detail::lost_share(lost_l, liquid_volume_l(before, 20.0)));
  for (Component component : {Component::starch, Component::solids, Component::yeast})
    trub[component] = before[component];
  trub[Component::fat] = before[Component::fat] * step.fat_left_share;
  detail::move_out(moment, "trub", trub);
  return moment;
}

template <class Scalar>
Moment<Scalar> apply(const Pitch<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("pitch", before);
  detail::move_in(moment, step.yeast);
  detail::move_in(moment, step.addition);
  return moment;
}

template <class Scalar>
Moment<Scalar> apply(const Attenuate<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("ferment", before);
  moment.after.temperature_c = Scalar(step.how.temperature_c);
  detail::ferment_sugars(moment, before, step.how.yeast);
  detail::vent(moment, step.how.temperature_c);
  return moment;
}

// Food steeped in a side vessel, chilled, skimmed and strained; only the clear liquor reaches the beer.
template <class Scalar>
Moment<Scalar> apply(const Dose<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("dose", before);
  const Steeping& how = step.steeping;
  const auto share = detail::strained_shares(how, step.food);
  const Scalar liquor_l = total_mass_kg(step.food) * how.liquor_l_per_kg_food;
  const double alcohol = science::mass_fraction_from_alcohol_by_volume(how.liquor_alcohol_volume_fraction);
  const double kg_per_l = science::ethanol_water_density_oiml_kg_per_m3(alcohol, 20.0) / 1000.0;
  Mixture<Scalar> vessel = step.food;
  vessel[Component::water] += liquor_l * (kg_per_l * (1.0 - alcohol));
  vessel[Component::ethanol] += liquor_l * (kg_per_l * alcohol);
  detail::move_in(moment, vessel);
  Mixture<Scalar> fat;
  fat[Component::fat] = vessel[Component::fat] * (how.fat_afloat_share.usual * how.fat_skimmed_share.usual);
  detail::move_out(moment, "skimmed fat", fat);
  Mixture<Scalar> sludge = detail::liquid_share(vessel, Scalar(1.0 - share.dissolved));
  for (Component thin : {Component::water, Component::ethanol}) sludge[thin] = vessel[thin] * (1.0 - share.liquid);
  for (Component component : {Component::starch, Component::solids, Component::yeast})
    sludge[component] = vessel[component];
  sludge[Component::fat] = vessel[Component::fat] * (1.0 - share.fat) - fat[Component::fat];
  detail::move_out(moment, "strained sludge", sludge);
  return moment;
}

// Only what the dose brought ferments now: what the yeast left of the wort's own sugars it leaves again.
template <class Scalar>
Moment<Scalar> apply(const Referment<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("referment", before);
  moment.after.temperature_c = Scalar(step.how.temperature_c);
  detail::ferment_sugars(moment, apply(step.dose, Mixture<Scalar>{}).after, step.how.yeast);
  detail::vent(moment, step.how.temperature_c);
  return moment;
}

template <class Scalar>
Moment<Scalar> apply(const Rack<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("rack", before);
  const Scalar share = detail::lost_share(Scalar(step.fermenter_loss_l), liquid_volume_l(before, 20.0));
  Mixture<Scalar> lees = detail::liquid_share(before, share);
  for (Component component : {Component::starch, Component::solids, Component::yeast})
    lees[component] = before[component];
  lees[Component::fat] = before[Component::fat] * step.fat_left_share;
  detail::move_out(moment, "lees", lees);
  return moment;
}

// Table sugar brings the still beer to its carbonation. It ferments in the closed bottle by stoichiometry less a little yeast, and
// the gas stays: counting less gas than the sugar can give would be the dangerous side.
template <class Scalar>
Moment<Scalar> apply(const Fill<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("fill", before);
  const Scalar volume = liquid_volume_l(before, 20.0);
  Scalar missing_kg =
      volume * (step.carbonation_volumes * detail::kg_co2_per_litre_volume) - before[Component::carbon_dioxide];
  if (missing_kg < 0.0) missing_kg = Scalar(0.0);
  constexpr double hexose_per_sucrose = 2.0 * science::glucose_g_per_mol / science::sucrose_g_per_mol;
  const double gas_per_sucrose = science::ferment_hexose(hexose_per_sucrose).carbon_dioxide;
  Mixture<Scalar> priming;
  priming[Component::sucrose] = missing_kg / gas_per_sucrose;
  detail::move_in(moment, priming);
  const Scalar sugar = priming[Component::sucrose];
  const auto products = science::ferment_hexose(Scalar(sugar * hexose_per_sucrose));
  const auto turn = [&](Component component, const Scalar& mass) {
    moment.after[component] += mass;
    moment.reacted[component] += mass;
  };
  turn(Component::sucrose, Scalar(-sugar));
  turn(Component::water, Scalar(sugar * (1.0 - hexose_per_sucrose)));
  turn(Component::ethanol, products.ethanol);
  turn(Component::carbon_dioxide, products.carbon_dioxide);
  turn(Component::yeast, products.yeast);
  return moment;
}

// Clear liquid gone over the rim or onto the floor; husk and leaf stay.
template <class Scalar>
Moment<Scalar> apply(const Spill<Scalar>& step, const Mixture<Scalar>& before) {
  auto moment = detail::begin("spill", before);
  const Scalar share = detail::lost_share(Scalar(step.lost_l), liquid_volume_l(before, 20.0));
  detail::move_out(moment, "spilled", detail::liquid_share(before, share));
  return moment;
}

}  // namespace oddgrist::process

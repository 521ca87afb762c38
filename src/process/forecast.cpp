#include "process/forecast.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

#include "process/apply.hpp"
#include "science/heat.hpp"
#include "science/hop_kinetics.hpp"

namespace oddgrist::process {
namespace {

constexpr double near_boiling_c = 98.0;  // where a brewer reads the kettle's marks before and after the boil

// Reads off what a brewer would measure, step by step.
template <class Scalar>
struct Readings {
  Forecast<Scalar>& out;
  Mixture<Scalar> liquor{};

  void impossible_if(bool condition, const char* sentence) {
    if (condition) out.impossible.emplace_back(sentence);
  }

  void before(const MashIn<Scalar>& step, const Mixture<Scalar>& hot) {
    const Scalar grist_kg = total_mass_kg(step.grist);
    const Scalar hot_kg = total_mass_kg(hot);
    if (!(grist_kg > 0.0) || !(hot_kg > 0.0)) return;
    out.strike_temperature_c = science::strike_temperature_c(grist_kg, Scalar(step.room_c), hot_kg, Scalar(step.kettle_heat_kj_per_k),
                                                             Scalar(step.room_c), step.rest_temperature_c);
  }
  void before(const Drain<Scalar>& step, const Mixture<Scalar>& mixture) {
    out.mash_volume_hot_l = vessel_volume_l(mixture, 65.0);
    out.mash_ph = mash_ph_20c(mixture);
    add_to(liquor, step.sparge_liquor);
    out.liquor_l += liquid_volume_l(step.sparge_liquor, 20.0);
    const Scalar held = step.grist_kg * step.held_l_per_kg;
    impossible_if(held > 0.9 * liquid_volume_l(mixture, 65.0), "the grain would drink nearly all of the liquor");
  }
  void before(const Boil<Scalar>& step, const Mixture<Scalar>& mixture) {
    out.pre_boil_volume_l = liquid_volume_l(mixture, 20.0);
    out.pre_boil_volume_hot_l = vessel_volume_l(mixture, near_boiling_c);
    out.pre_boil_gravity_sg = apparent_gravity_sg(mixture);
    impossible_if(step.boil_off_l_per_h * step.minutes / 60.0 > 0.9 * out.pre_boil_volume_l, "the kettle would boil dry");
  }
  template <class Other>
  void before(const Other&, const Mixture<Scalar>&) {}

  void after(const HeatLiquor<Scalar>&, const Moment<Scalar>& moment) {
    out.mash_liquor_l = liquid_volume_l(moment.after, 20.0);
    add_to(liquor, moment.after);
    out.liquor_l += out.mash_liquor_l;
  }
  void after(const TopUp<Scalar>& step, const Moment<Scalar>&) {
    out.liquor_l += liquid_volume_l(step.water, 20.0);
    add_to(liquor, step.water);
    if (!(out.liquor_l > 0.0)) return;
    for (std::size_t i = 0; i < liquor_ions.size(); ++i) out.liquor_ions_mg_per_l[i] = liquor[liquor_ions[i]] * 1e6 / out.liquor_l;
    out.liquor_alkalinity_meq_per_l = liquor.alkalinity_eq * 1e3 / out.liquor_l;
  }
  void after(const Stand<Scalar>&, const Moment<Scalar>& moment) {
    out.post_boil_volume_l = liquid_volume_l(moment.after, 20.0);
    out.post_boil_volume_hot_l = vessel_volume_l(moment.after, near_boiling_c);
    out.post_boil_gravity_sg = apparent_gravity_sg(moment.after);
  }
  void after(const Transfer<Scalar>& step, const Moment<Scalar>&) {
    impossible_if(step.kettle_loss_l > 0.9 * out.post_boil_volume_l, "the kettle would keep nearly all of the wort");
  }
  void after(const Pitch<Scalar>&, const Moment<Scalar>& moment) {
    out.fermenter_volume_l = liquid_volume_l(moment.after, 20.0);
    out.original_gravity_sg = apparent_gravity_sg(moment.after);
  }
  void after(const Rack<Scalar>& step, const Moment<Scalar>& moment) {
    out.final_gravity_sg = apparent_gravity_sg(moment.after);
    impossible_if(step.fermenter_loss_l > 0.9 * out.fermenter_volume_l, "the fermenter would keep nearly all of the beer");
  }
  void after(const Fill<Scalar>&, const Moment<Scalar>& moment) {
    out.packaged_volume_l = liquid_volume_l(moment.after, 20.0);
    out.abv_percent = alcohol_by_volume_percent(moment.after);
    out.bitterness_ibu = bitterness_ibu(moment.after);
    out.colour_ebc = colour_ebc(moment.after);
    out.priming_sucrose_g = moment.added[Component::sucrose] * 1000.0;
    if (out.packaged_volume_l > 0.0) out.fat_mg_per_l = moment.after[Component::fat] * 1e6 / out.packaged_volume_l;
  }
  template <class Other>
  void after(const Other&, const Moment<Scalar>&) {}
};

// Minutes at the boil that would isomerise as much as the way from flame-out to cold, with cooling water at 15 C.
double stand_equivalent_minutes(const Kit& kit, double cold_c) {
  constexpr double cooling_water_c = 15.0;
  const double boiling_c = kit.boiling_point.in(celsius);
  const double minutes = kit.flame_out_to_cold.in(minute);
  if (!(minutes > 0.0)) return 0.0;
  const double left_k = std::max(1.0, cold_c - cooling_water_c);
  const double coefficient = std::log((boiling_c - cooling_water_c) / left_k) / minutes;
  return science::hop_equivalent_boil_minutes<double>(
      minutes, [&](double at) { return science::newton_cooling_c(boiling_c, cooling_water_c, coefficient, at); });
}

}  // namespace

template <class Scalar>
Forecast<Scalar> forecast(const Plan<Scalar>& plan, Trace trace) {
  Forecast<Scalar> out;
  Readings<Scalar> readings{out};
  Mixture<Scalar> mixture;
  for (const auto& any_step : plan.steps) {
    std::visit(
        [&](const auto& step) {
          readings.before(step, mixture);
          Moment<Scalar> moment = apply(step, mixture);
          readings.after(step, moment);
          mixture = moment.after;
          if (trace == Trace::on) out.trace.push_back(std::move(moment));
        },
        any_step);
  }
  return out;
}

template <class Scalar>
Plan<Scalar> make_plan(const Kit& kit, const Charge<Scalar>& charge, const Ferment& ferment, double carbonation_volumes) {
  const double boil_minutes = kit.boil.in(minute);
  const double held = kit.held_by_grain.in(litre_per_kilogram);
  // Fat shares are estimates without a source: most of it rides on trub and yeast (order of magnitude from lipid balances, from memory).
  constexpr double fat_left_in_trub = 0.90, fat_left_in_lees = 0.70;
  const double stand_minutes = stand_equivalent_minutes(kit, ferment.temperature_c);
  Plan<Scalar> plan;
  plan.steps = {
      HeatLiquor<Scalar>{charge.mash_liquor},
      MashIn<Scalar>{charge.grist, charge.rest_temperature_c, kit.kettle_heat_kj_per_k, kit.room.in(celsius)},
      Rest<Scalar>{charge.rest_temperature_c, kit.rest.in(minute), kit.conversion.in(ratio)},
      Drain<Scalar>{total_mass_kg(charge.grist), held, charge.sparge_liquor},
      TopUp<Scalar>{charge.top_up},
      Boil<Scalar>{boil_minutes, kit.boil_off.in(litre_per_hour), kit.boiling_point.in(celsius), charge.kettle},
      Stand<Scalar>{charge.flame_out, stand_minutes},
      Chill<Scalar>{ferment.temperature_c},
      Transfer<Scalar>{kit.kettle_loss.in(litre), kit.held_by_hops.in(litre_per_kilogram), fat_left_in_trub},
      Pitch<Scalar>{charge.yeast, charge.fermenter},
      Attenuate<Scalar>{ferment},
      Dose<Scalar>{charge.infused_food, Steeping{}},
      Attenuate<Scalar>{ferment},
      Rack<Scalar>{kit.fermenter_loss.in(litre), fat_left_in_lees},
      Fill<Scalar>{carbonation_volumes, ferment.temperature_c},
  };
  return plan;
}

#define ODDGRIST_INSTANTIATE(Scalar)                                   \
  template Forecast<Scalar> forecast(const Plan<Scalar>&, Trace);      \
  template Plan<Scalar> make_plan(const Kit&, const Charge<Scalar>&, const Ferment&, double);
ODDGRIST_INSTANTIATE(double)
ODDGRIST_INSTANTIATE(Active)
#undef ODDGRIST_INSTANTIATE

}  // namespace oddgrist::process

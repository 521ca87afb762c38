#include "process/forecast.hpp"

#include <array>
#include <limits>
#include <variant>

#include "process/apply.hpp"
#include "science/heat.hpp"

namespace oddgrist::process {
namespace {

constexpr double near_boiling_c = 98.0;  // where a brewer reads the kettle's marks before and after the boil

// Reads off what a brewer would measure, step by step.
template <class Scalar>
struct Readings {
  Forecast<Scalar>& out;
  Mixture<Scalar> liquor{};
  Scalar kinetic_iso_kg{0.0}, empirical_iso_kg{0.0};  // both bitterness models lose the same share of wort on the way

  void impossible_if(bool condition, const char* sentence) {
    if (condition) out.impossible.emplace_back(sentence);
  }

  void before(const MashIn<Scalar>& step, const Mixture<Scalar>& hot) {
    const Scalar grist_kg = total_mass_kg(step.grist);
    const Scalar hot_kg = total_mass_kg(hot);
    out.grist_kg = grist_kg;
    if (!(grist_kg > 0.0) || !(hot_kg > 0.0)) return;
    const Scalar kettle_heat(step.kettle_heat_kj_per_k), room_c(step.room_c);
    out.strike_temperature_c =
        step.heated_in_kettle
            ? science::strike_temperature_in_kettle_c(grist_kg, room_c, hot_kg, kettle_heat, step.rest_temperature_c)
            : science::strike_temperature_c(grist_kg, room_c, hot_kg, kettle_heat, room_c, step.rest_temperature_c);
  }
  void before(const Drain<Scalar>& step, const Mixture<Scalar>& mixture) {
    out.mash_volume_hot_l = vessel_volume_l(mixture, 65.0);
    out.mash_ph = mash_ph_20c(mixture);
    add_to(liquor, step.sparge_liquor);
    out.liquor_l += liquid_volume_l(step.sparge_liquor, 20.0);
    const Scalar held = step.grist_kg * step.held_l_per_kg;
    impossible_if(held > 0.9 * liquid_volume_l(mixture, 65.0), "the grain would drink nearly all of the liquor");
  }
  void before(const Boil<Scalar>& step, const Mixture<Scalar>&) {
    impossible_if(step.boil_off_l_per_h * step.minutes / 60.0 > 0.9 * out.pre_boil_volume_l,
                  "the kettle would boil dry");
  }
  template <class Other>
  void before(const Other&, const Mixture<Scalar>&) {}

  void after(const HeatLiquor<Scalar>&, const Moment<Scalar>& moment) {
    out.mash_liquor_l = liquid_volume_l(moment.after, 20.0);
    add_to(liquor, moment.after);
    out.liquor_l += out.mash_liquor_l;
  }
  void after(const TopUp<Scalar>& step, const Moment<Scalar>& moment) {
    out.pre_boil_volume_l = liquid_volume_l(moment.after, 20.0);
    out.pre_boil_volume_hot_l = vessel_volume_l(moment.after, near_boiling_c);
    out.pre_boil_gravity_sg = apparent_gravity_sg(moment.after);
    out.liquor_l += liquid_volume_l(step.water, 20.0);
    add_to(liquor, step.water);
    if (!(out.liquor_l > 0.0)) return;
    for (std::size_t i = 0; i < liquor_ions.size(); ++i)
      out.liquor_ions_mg_per_l[i] = liquor[liquor_ions[i]] * 1e6 / out.liquor_l;
    out.liquor_alkalinity_meq_per_l = liquor.alkalinity_eq * 1e3 / out.liquor_l;
  }
  void after(const Boil<Scalar>& step, const Moment<Scalar>& moment) {
    for (const auto& pour : step.pours) {
      kinetic_iso_kg +=
          pour.mixture[Component::alpha_acid] * (iso_survival * step.course.iso_yield(pour.minutes_before_end));
    }
    empirical_iso_kg += moment.reacted[Component::iso_alpha_acid];
  }
  void after(const Stand<Scalar>& step, const Moment<Scalar>& moment) {
    kinetic_iso_kg += step.addition[Component::alpha_acid] * (iso_survival * step.course.iso_yield(0.0));
    empirical_iso_kg += moment.reacted[Component::iso_alpha_acid];
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
    impossible_if(step.fermenter_loss_l > 0.9 * out.fermenter_volume_l,
                  "the fermenter would keep nearly all of the beer");
  }
  void after(const Fill<Scalar>&, const Moment<Scalar>& moment) {
    out.packaged_volume_l = liquid_volume_l(moment.after, 20.0);
    out.abv_percent = alcohol_by_volume_percent(moment.after);
    out.bitterness_ibu = bitterness_ibu(moment.after);
    if (empirical_iso_kg > 0.0) out.bitterness_kinetic_ibu = out.bitterness_ibu * kinetic_iso_kg / empirical_iso_kg;
    out.colour_ebc = colour_ebc(moment.after);
    out.priming_sucrose_g = moment.added[Component::sucrose] * 1000.0;
    if (out.packaged_volume_l > 0.0) out.fat_mg_per_l = moment.after[Component::fat] * 1e6 / out.packaged_volume_l;
  }
  template <class Other>
  void after(const Other&, const Moment<Scalar>&) {}
};

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
Plan<Scalar> make_plan(const Kit& kit, const Charge<Scalar>& charge, const Ferment& ferment,
                       double carbonation_volumes) {
  return make_plan(kit, charge, ferment, carbonation_volumes, hop_course_of(kit, ferment.temperature_c));
}

// Its integrals cost as much as the rest of a forecast, and thousands of plans in a row are of one kit: the last one is kept.
HopCourse hop_course_of(const Kit& kit, double chilled_to_c) {
  const std::array<double, 5> now = {kit.boiling_point.in(celsius), kit.hot_stand.in(minute),
                                     kit.hot_stand_at.in(celsius), kit.flame_out_to_cold.in(minute), chilled_to_c};
  thread_local std::array<double, 5> before = {std::numeric_limits<double>::quiet_NaN()};  // unlike any
  thread_local HopCourse course;
  if (now != before) {
    course = HopCourse(now[0], now[1], now[2], now[3], now[4]);
    before = now;
  }
  return course;
}

template <class Scalar>
Plan<Scalar> make_plan(const Kit& kit, const Charge<Scalar>& charge, const Ferment& ferment, double carbonation_volumes,
                       const HopCourse& course) {
  const double boil_minutes = kit.boil.in(minute);
  const double held = kit.held_by_grain.in(litre_per_kilogram);
  // Fat shares are estimates without a source: most of it rides on trub and yeast (order of magnitude from lipid balances, from memory).
  constexpr double fat_left_in_trub = 0.90, fat_left_in_lees = 0.70;
  Plan<Scalar> plan;
  plan.steps = {
      HeatLiquor<Scalar>{charge.mash_liquor},
      MashIn<Scalar>{charge.grist, charge.rest_temperature_c, kit.kettle_heat_kj_per_k, kit.room.in(celsius),
                     kit.mash_method == MashMethod::full_volume_bag},
      Rest<Scalar>{charge.rest_temperature_c, kit.rest.in(minute), kit.conversion.in(ratio)},
      Drain<Scalar>{total_mass_kg(charge.grist), held, charge.sparge_liquor},
      TopUp<Scalar>{charge.top_up},
      Boil<Scalar>{boil_minutes, kit.boil_off.in(litre_per_hour), course, charge.kettle},
      Stand<Scalar>{charge.flame_out, course},
      Chill<Scalar>{ferment.temperature_c},
      Transfer<Scalar>{kit.kettle_loss.in(litre), kit.held_by_hops.in(litre_per_kilogram), fat_left_in_trub},
      Pitch<Scalar>{charge.yeast, charge.fermenter},
      Attenuate<Scalar>{ferment},
      Dose<Scalar>{charge.infused_food, charge.steeping},
      Referment<Scalar>{ferment, {charge.infused_food, charge.steeping}},
      Rack<Scalar>{kit.fermenter_loss.in(litre), fat_left_in_lees},
      Fill<Scalar>{carbonation_volumes, ferment.temperature_c},
  };
  return plan;
}

#define ODDGRIST_INSTANTIATE(Scalar)                                                          \
  template Forecast<Scalar> forecast(const Plan<Scalar>&, Trace);                             \
  template Plan<Scalar> make_plan(const Kit&, const Charge<Scalar>&, const Ferment&, double); \
  template Plan<Scalar> make_plan(const Kit&, const Charge<Scalar>&, const Ferment&, double, const HopCourse&);
ODDGRIST_INSTANTIATE(double)
ODDGRIST_INSTANTIATE(Active)
#undef ODDGRIST_INSTANTIATE

}  // namespace oddgrist::process

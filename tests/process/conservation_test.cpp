// What a step takes in, turns over and lets go adds up, component by component, for any plan a kit could be given.
#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "process/forecast.hpp"

namespace oddgrist::process {
namespace {

double unit() { return *rc::gen::inRange(0, 1000001) / 1e6; }
double between(double low, double high) { return low + (high - low) * unit(); }

Mixture<double> any_mixture(double most_kg) {
  Mixture<double> mixture;
  for (double& mass : mixture.mass_kg) mass = *rc::gen::inRange(0, 3) == 0 ? 0.0 : between(0.0, most_kg);
  mixture.colour_load_kg_lovibond = between(0.0, 50.0 * most_kg);
  mixture.alkalinity_eq = between(-0.05, 0.05);
  return mixture;
}

struct AnyDay {
  Kit kit;
  Charge<double> charge;
  Ferment ferment;
  double carbonation = 2.4;
};

AnyDay any_day() {
  AnyDay day;
  day.kit.boil_off = between(0.5, 4.0) * litre_per_hour;
  day.kit.boil = between(0.0, 120.0) * minute;
  day.kit.held_by_grain = between(0.0, 1.2) * litre_per_kilogram;
  day.kit.held_by_hops = between(0.0, 12.0) * litre_per_kilogram;
  day.kit.conversion = between(0.5, 1.0) * ratio;
  day.kit.kettle_loss = between(0.0, 2.0) * litre;
  day.kit.fermenter_loss = between(0.0, 2.0) * litre;
  day.charge.mash_liquor[Component::water] = between(15.0, 40.0);
  day.charge.grist = any_mixture(1.0);
  if (*rc::gen::inRange(0, 2) == 0) day.charge.sparge_liquor[Component::water] = between(0.0, 15.0);
  day.charge.top_up[Component::water] = between(0.0, 5.0);
  day.charge.kettle = {{between(30.0, 60.0), any_mixture(0.1)}, {between(0.0, 30.0), any_mixture(0.1)}};
  day.charge.flame_out = any_mixture(0.1);
  day.charge.fermenter = any_mixture(0.2);
  day.charge.yeast = any_mixture(0.01);
  day.charge.infused_food = any_mixture(0.1);
  day.charge.rest_temperature_c = between(60.0, 76.0);
  day.ferment.yeast.maltose_uptake = unit();
  day.ferment.yeast.maltotriose_uptake = unit();
  day.ferment.yeast.dextrin_uptake = unit() < 0.8 ? 0.0 : unit();
  day.ferment.temperature_c = between(5.0, 30.0);
  day.carbonation = between(0.0, 4.0);
  return day;
}

Forecast<double> run(const AnyDay& day) {
  return forecast(make_plan(day.kit, day.charge, day.ferment, day.carbonation), Trace::on);
}

// The same day with something spilled after any of its steps.
Forecast<double> run_with_a_spill(const AnyDay& day) {
  Plan<double> plan = make_plan(day.kit, day.charge, day.ferment, day.carbonation);
  int place = *rc::gen::inRange(1, static_cast<int>(plan.steps.size()) + 1);
  if (place < static_cast<int>(plan.steps.size()) &&
      std::holds_alternative<Referment<double>>(plan.steps[static_cast<std::size_t>(place)]))
    ++place;
  plan.steps.insert(plan.steps.begin() + place, Spill<double>{between(0.0, 30.0)});
  return forecast(plan, Trace::on);
}

RC_GTEST_PROP(Conservation, EveryComponentThroughEveryStep, ()) {
  const AnyDay day = any_day();
  const Forecast<double> out = *rc::gen::inRange(0, 2) == 0 ? run(day) : run_with_a_spill(day);
  Mixture<double> before;
  for (const Moment<double>& moment : out.trace) {
    double turned_over = 0.0;
    for (std::size_t i = 0; i < component_count; ++i) {
      double balance =
          before.mass_kg[i] + moment.added.mass_kg[i] + moment.reacted.mass_kg[i] - moment.after.mass_kg[i];
      for (const auto& removed : moment.removed) balance -= removed.mixture.mass_kg[i];
      RC_ASSERT(std::abs(balance) < 1e-9);
      turned_over += moment.reacted.mass_kg[i];
      RC_ASSERT(moment.after.mass_kg[i] >= -1e-12);
    }
    RC_ASSERT(std::abs(turned_over) < 1e-9);
    double colour =
        before.colour_load_kg_lovibond + moment.added.colour_load_kg_lovibond - moment.after.colour_load_kg_lovibond;
    double alkalinity = before.alkalinity_eq + moment.added.alkalinity_eq - moment.after.alkalinity_eq;
    for (const auto& removed : moment.removed) {
      RC_ASSERT(!removed.where.empty());
      colour -= removed.mixture.colour_load_kg_lovibond;
      alkalinity -= removed.mixture.alkalinity_eq;
    }
    RC_ASSERT(std::abs(colour) < 1e-9);
    RC_ASSERT(std::abs(alkalinity) < 1e-9);
    before = moment.after;
  }
}

// Only what a brewery can turn into something else is turned over.
RC_GTEST_PROP(Conservation, ReactionsTouchOnlyWhatReacts, ()) {
  for (const Moment<double>& moment : run(any_day()).trace) {
    for (Component inert :
         {Component::lactose, Component::polyol, Component::protein, Component::fat, Component::solids,
          Component::calcium, Component::sodium, Component::chloride, Component::ash, Component::organic_acid}) {
      RC_ASSERT(moment.reacted[inert] == 0.0);
    }
  }
}

Mixture<double> scaled(Mixture<double> mixture, double factor) {
  for (double& mass : mixture.mass_kg) mass *= factor;
  mixture.colour_load_kg_lovibond *= factor;
  mixture.alkalinity_eq *= factor;
  return mixture;
}

RC_GTEST_PROP(Scaling, ALargerBatchIsTheSameBeer, ()) {
  AnyDay day = any_day();
  const Forecast<double> small = run(day);
  const double factor = between(0.1, 100.0);
  for (auto* part : {&day.charge.mash_liquor, &day.charge.grist, &day.charge.sparge_liquor, &day.charge.top_up,
                     &day.charge.flame_out, &day.charge.fermenter, &day.charge.yeast, &day.charge.infused_food}) {
    *part = scaled(*part, factor);
  }
  for (auto& pour : day.charge.kettle) pour.mixture = scaled(pour.mixture, factor);
  day.kit.boil_off = day.kit.boil_off * factor;
  day.kit.kettle_loss = day.kit.kettle_loss * factor;
  day.kit.fermenter_loss = day.kit.fermenter_loss * factor;
  const Forecast<double> large = run(day);
  const auto same = [](double a, double b) { return std::abs(a - b) <= 1e-9 * std::max(1.0, std::abs(b)); };
  RC_ASSERT(same(large.original_gravity_sg, small.original_gravity_sg));
  RC_ASSERT(same(large.final_gravity_sg, small.final_gravity_sg));
  RC_ASSERT(same(large.abv_percent, small.abv_percent));
  RC_ASSERT(same(large.bitterness_ibu, small.bitterness_ibu));
  RC_ASSERT(same(large.colour_ebc, small.colour_ebc));
  RC_ASSERT(same(large.fermenter_volume_l, factor * small.fermenter_volume_l));
  RC_ASSERT(same(large.packaged_volume_l, factor * small.packaged_volume_l));
}

// The boil drives off water and nothing else: extract stays (from the mass balance, not from a formula of the forecast).
TEST(Boil, ExtractStays) {
  AnyDay day;
  day.charge.mash_liquor[Component::water] = 16.0;
  day.charge.kettle = {{60.0, {}}};
  day.charge.kettle[0].mixture[Component::sucrose] = 1.6;
  const Forecast<double> out = run(day);
  for (const auto& moment : out.trace) {
    if (moment.step != "boil") continue;
    ASSERT_EQ(moment.removed.size(), 1u);
    EXPECT_EQ(moment.removed[0].where, "vapour");
    EXPECT_DOUBLE_EQ(extract_kg(moment.after), 1.6);
    EXPECT_NEAR(moment.removed[0].mixture[Component::water], 2.0 * 0.9982, 1e-3);
  }
  EXPECT_GT(out.post_boil_gravity_sg, out.pre_boil_gravity_sg);
}

TEST(Impossible, GrainThatDrinksTheLiquorIsSaidNotHidden) {
  AnyDay day;
  day.charge.mash_liquor[Component::water] = 1.0;
  day.charge.grist[Component::starch] = 3.0;
  day.charge.grist[Component::solids] = 1.0;
  const Forecast<double> out = run(day);
  ASSERT_FALSE(out.impossible.empty());
  EXPECT_TRUE(std::isfinite(out.original_gravity_sg));
}

}  // namespace
}  // namespace oddgrist::process

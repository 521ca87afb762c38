// Steps that only some ways of brewing take: water in the fermenter, grain without enzymes, a keg, dry hops.
#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "process/forecast.hpp"
#include "process/way.hpp"
#include "science/attenuation.hpp"

namespace oddgrist::process {
namespace {

Charge<double> ordinary_charge() {
  Charge<double> charge;
  charge.mash_liquor[Component::water] = 13.0;
  charge.grist[Component::starch] = 1.3;
  charge.grist[Component::sucrose] = 0.1;
  charge.grist[Component::solids] = 0.5;
  charge.grist.diastatic_wk_kg = 2.3 * 170.0;
  return charge;
}

Forecast<double> run(const Charge<double>& charge, const Kit& kit = {}) {
  return forecast(make_plan(kit, charge, Ferment{}, 2.4), Trace::on);
}

double starch_left_share(const Charge<double>& charge) {
  const Forecast<double> out = run(charge);
  for (const auto& moment : out.trace) {
    if (moment.step == "rest") return moment.after[Component::starch] / charge.grist[Component::starch];
  }
  return -1.0;
}

RC_GTEST_PROP(Ways, WaterInTheFermenterThinsAndAddsUp, (double unit)) {
  const double water_kg = 0.1 + std::abs(std::fmod(unit, 1.0)) * 8.0;
  Charge<double> charge = ordinary_charge();
  const Forecast<double> whole = run(charge);
  charge.fermenter_water[Component::water] = water_kg;
  const Forecast<double> thinned = run(charge);
  RC_ASSERT(thinned.wort_gravity_sg < whole.wort_gravity_sg);
  RC_ASSERT(std::abs(thinned.post_boil_gravity_sg - whole.post_boil_gravity_sg) < 1e-12);
  RC_ASSERT(std::abs(thinned.liquor_l - whole.liquor_l - thinned.fermenter_water_l) < 1e-9);
  for (const auto& moment : thinned.trace) {
    if (moment.step == "dilute") RC_ASSERT(std::abs(total_mass_kg(moment.added) - water_kg) < 1e-9);
  }
}

// A reading on the brew day knows nothing of the fruit that goes in after it.
TEST(Ways, WhatGoesIntoTheFermenterIsNotInTheReading) {
  Charge<double> charge = ordinary_charge();
  const Forecast<double> plain = run(charge);
  charge.fermenter[Component::water] = 1.7;
  charge.fermenter[Component::fructose] = 0.2;
  const Forecast<double> fruit = run(charge);
  EXPECT_DOUBLE_EQ(fruit.wort_gravity_sg, plain.wort_gravity_sg);
  EXPECT_DOUBLE_EQ(fruit.wort_volume_l, plain.wort_volume_l);
  EXPECT_GT(fruit.fermenter_volume_l, plain.fermenter_volume_l + 1.5);
  EXPECT_NE(fruit.original_gravity_sg, fruit.wort_gravity_sg);
  EXPECT_DOUBLE_EQ(plain.original_gravity_sg, plain.wort_gravity_sg);
}

TEST(Ways, DryHopsTakeBeerWithThem) {
  Charge<double> charge = ordinary_charge();
  const double without_l = run(charge).packaged_volume_l;
  charge.fermenter[Component::solids] = 0.05;
  EXPECT_NEAR(run(charge).packaged_volume_l, without_l - 0.3, 0.02);  // 6 L/kg
  EXPECT_DOUBLE_EQ(run(charge).bitterness_ibu, 0.0);
}

TEST(Ways, AKegNeedsNoPrimingSugar) {
  Kit keg;
  keg.package = Package::keg;
  const Forecast<double> bottled = run(ordinary_charge()), kegged = run(ordinary_charge(), keg);
  EXPECT_GT(bottled.priming_sucrose_g, 40.0);
  EXPECT_NEAR(bottled.priming_abv_percent, 0.4, 0.15);  // 6 g/L of sugar gives 0.4 % vol: 0.51 g ethanol from a gram
  EXPECT_DOUBLE_EQ(kegged.priming_sucrose_g, 0.0);
  EXPECT_DOUBLE_EQ(kegged.priming_abv_percent, 0.0);
  EXPECT_NEAR(kegged.abv_percent, bottled.abv_percent - bottled.priming_abv_percent, 0.02);
  const double gas = kegged.trace.back().after[Component::carbon_dioxide];
  EXPECT_NEAR(gas, bottled.trace.back().after[Component::carbon_dioxide], 0.01 * gas);
}

// Grain without enzymes gives what is sugar already, and nothing else.
TEST(Ways, NoEnzymesNoConversion) {
  Charge<double> charge = ordinary_charge();
  charge.grist.diastatic_wk_kg = 0.0;
  EXPECT_DOUBLE_EQ(starch_left_share(charge), 1.0);
  const Forecast<double> steeped = run(charge);
  EXPECT_GT(steeped.wort_gravity_sg, 1.002);
  EXPECT_LT(steeped.wort_gravity_sg, 1.006);
}

TEST(Ways, RawStarchStaysRaw) {
  Charge<double> charge = ordinary_charge();
  const double usual = starch_left_share(charge);
  charge.grist.raw_starch_kg = 0.5 * charge.grist[Component::starch];
  EXPECT_NEAR(1.0 - starch_left_share(charge), 0.5 * (1.0 - usual), 1e-12);
}

// Common practice, no source: about 100 WK turn a grist, 30 do not; pale malt's own 170 to 260 leave nothing to wish.
TEST(Enzymes, AHundredTurnAGrist) {
  EXPECT_DOUBLE_EQ(science::enzyme_conversion_share(0.0), 0.0);
  EXPECT_LT(science::enzyme_conversion_share(30.0), 0.7);
  EXPECT_GT(science::enzyme_conversion_share(105.0), 0.95);
  EXPECT_GT(science::enzyme_conversion_share(170.0), 0.995);
  for (double wk = 0.0; wk < 300.0; wk += 5.0)
    EXPECT_LT(science::enzyme_conversion_share(wk), science::enzyme_conversion_share(wk + 5.0));
}

TEST(Kits, LossesGoWithTheKettle) {
  const Kit small = usual_kit(2.0 * litre), usual = usual_kit(16.0 * litre), large = usual_kit(3000.0 * litre);
  EXPECT_NEAR(usual.boil_off.in(litre_per_hour), Kit{}.boil_off.in(litre_per_hour), 1e-12);
  EXPECT_NEAR(usual.kettle_loss.in(litre), Kit{}.kettle_loss.in(litre), 1e-12);
  EXPECT_LT(small.kettle_loss.in(litre), 0.1);
  EXPECT_GT(small.boil_off / small.kettle, usual.boil_off / usual.kettle);
  EXPECT_GT(usual.boil_off / usual.kettle, large.boil_off / large.kettle);
  EXPECT_NEAR(usual_kettle_for(10.0 * litre).in(litre), 16.0, 1e-9);
}

TEST(Ways, EveryOneIsFoundByItsName) {
  for (const WayRow& row : ways) {
    EXPECT_EQ(way_named(row.id), row.way);
    EXPECT_EQ(row_of(row.way).id, row.id);
  }
  EXPECT_FALSE(way_named("by magic"));
}

}  // namespace
}  // namespace oddgrist::process

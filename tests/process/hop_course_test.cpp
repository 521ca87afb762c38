// Hops along the real temperature course: what must hold whatever the constants.
#include <gtest/gtest.h>

#include "process/forecast.hpp"

namespace oddgrist::process {
namespace {

Forecast<double> with_hops(const Kit& kit, double minutes, bool at_flame_out) {
  Charge<double> charge;
  charge.mash_liquor[Component::water] = 14.0;
  Pour<double> pour{minutes, {}};
  (at_flame_out ? charge.flame_out : pour.mixture)[Component::alpha_acid] = 0.003;
  pour.mixture[Component::sucrose] = 1.4;
  charge.kettle = {pour};
  return forecast(make_plan(kit, charge, Ferment{}, 2.4));
}

TEST(HopCourse, LongerBoilMoreBitter) {
  double last = 0.0, last_kinetic = 0.0;
  for (double minutes : {5.0, 15.0, 30.0, 60.0}) {
    const Forecast<double> out = with_hops(Kit{}, minutes, false);
    EXPECT_GT(out.bitterness_ibu, last);
    EXPECT_GT(out.bitterness_kinetic_ibu, last_kinetic);
    last = out.bitterness_ibu;
    last_kinetic = out.bitterness_kinetic_ibu;
  }
}

TEST(HopCourse, HotStandBittersFlameOutHops) {
  Kit quick, stand;
  stand.hot_stand = 30.0 * minute;
  const Forecast<double> without = with_hops(quick, 0.0, true), with = with_hops(stand, 0.0, true);
  EXPECT_GT(without.bitterness_ibu, 0.0);
  EXPECT_GT(with.bitterness_ibu, 1.5 * without.bitterness_ibu);
  EXPECT_GT(with.bitterness_kinetic_ibu, without.bitterness_kinetic_ibu);
}

TEST(HopCourse, SlowCoolingBittersMoreThanFast) {
  Kit slow;
  slow.flame_out_to_cold = 180.0 * minute;
  EXPECT_GT(with_hops(slow, 0.0, true).bitterness_ibu, with_hops(Kit{}, 0.0, true).bitterness_ibu);
}

// At 2000 m water boils near 93.3 C (ICAO atmosphere and steam tables, from memory): the same hour isomerises clearly less.
TEST(HopCourse, AltitudeBittersLess) {
  Kit high;
  high.boiling_point = 93.3 * celsius;
  EXPECT_LT(with_hops(high, 60.0, false).bitterness_ibu, 0.9 * with_hops(Kit{}, 60.0, false).bitterness_ibu);
}

// Both models see the same losses of wort on the way to the glass.
TEST(HopCourse, LossesFallOnBothModelsAlike) {
  Kit wasteful;
  wasteful.kettle_loss = 3.0 * litre;
  const Forecast<double> thrifty = with_hops(Kit{}, 60.0, false), wasted = with_hops(wasteful, 60.0, false);
  EXPECT_NEAR(thrifty.bitterness_kinetic_ibu / thrifty.bitterness_ibu,
              wasted.bitterness_kinetic_ibu / wasted.bitterness_ibu, 1e-12);
}

}  // namespace
}  // namespace oddgrist::process

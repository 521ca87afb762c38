// Carbon dioxide in beer, kegs and bottles.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <Eigen/Core>
#include <cmath>
#include <limits>
#include <unsupported/Eigen/AutoDiff>

#include "science/bottle_pressure.hpp"
#include "science/carbonation.hpp"

namespace {

using namespace oddgrist::science;
using Dual = Eigen::AutoDiffScalar<Eigen::VectorXd>;

double between(double low, double high, const char* what) {
  return low + (high - low) * (*rc::gen::inRange(0, 1'000'001).as(what)) / 1e6;
}

SealedBottle<double> any_bottle() {
  SealedBottle<double> bottle;
  bottle.beer_l = between(0.1, 20, "beer");
  bottle.headspace_l = bottle.beer_l * between(0.02, 0.3, "headspace share");
  bottle.volumes = between(0, 6, "volumes");
  bottle.closed_at_c = between(0, 30, "closed at");
  bottle.alcohol_mass_fraction = between(0, 0.12, "alcohol");
  bottle.extract_mass_fraction = between(0, 0.12, "extract");
  bottle.air_in_headspace = *rc::gen::arbitrary<bool>();
  return bottle;
}

RC_GTEST_PROP(Bottle, CarbonDioxideIsSharedNotLost, ()) {
  const SealedBottle<double> bottle = any_bottle();
  const double temperature = between(0, 40, "temperature");
  const auto here = bottle_pressure(bottle, temperature);
  const double total = bottle.volumes * bottle.beer_l * carbon_dioxide_g_per_l_per_volume;
  RC_ASSERT(std::abs(here.dissolved_g + here.headspace_g - total) < 1e-9 * (1.0 + total));
  // The dissolved part is what the solubility says at that pressure, and the gas what the ideal gas law says.
  const double slope = carbonation_detail::delange_slope_per_psi(temperature);
  const double volumes = here.carbon_dioxide_bar / bar_per_psi * slope - carbonation_detail::delange_offset;
  const double dissolved_g = volumes * bottle.beer_l * carbon_dioxide_g_per_l_per_volume;
  RC_ASSERT(std::abs(dissolved_g - here.dissolved_g) < 1e-9 * (1.0 + total));
  const double moles = here.carbon_dioxide_bar * here.headspace_l / (0.0831446262 * (temperature + 273.15));
  const double gas = moles * carbon_dioxide_g_per_mol;
  RC_ASSERT(std::abs(gas - here.headspace_g) < 1e-9 * (1.0 + total));
  RC_ASSERT(std::isfinite(here.gauge_bar));
}

RC_GTEST_PROP(Bottle, PressureRisesWithTemperature, ()) {
  SealedBottle<double> bottle = any_bottle();
  bottle.volumes += 0.5;
  const double temperature = between(0, 38, "temperature");
  const auto cold = bottle_pressure(bottle, temperature), warm = bottle_pressure(bottle, temperature + 1.0);
  RC_ASSERT(warm.carbon_dioxide_bar > cold.carbon_dioxide_bar);
  RC_ASSERT(warm.gauge_bar > cold.gauge_bar);
}

RC_GTEST_PROP(Bottle, MoreHeadspaceIsLessPressureOfTheGas, ()) {
  SealedBottle<double> bottle = any_bottle();
  bottle.volumes += 0.5;
  SealedBottle<double> roomier = bottle;
  roomier.headspace_l *= 1.2;
  const double temperature = between(0, 40, "temperature");
  const auto tight = bottle_pressure(bottle, temperature), loose = bottle_pressure(roomier, temperature);
  RC_ASSERT(loose.carbon_dioxide_bar < tight.carbon_dioxide_bar);
}

TEST(Bottle, AFullNeckIsRefusedWhateverTheFigureSays) {
  SealedBottle<double> bottle;
  bottle.headspace_l = 0.002;
  bottle.closed_at_c = 4.0;
  bottle.volumes = 0.1;
  const auto warm = bottle_pressure(bottle, 40.0);
  EXPECT_TRUE(warm.bottle_full);
  EXPECT_TRUE(std::isfinite(warm.gauge_bar));
  EXPECT_EQ(bottle_verdict(warm, 100.0), BottleVerdict::refuse);
}

TEST(Bottle, RefusesAboveTheRatingAndWarnsNearIt) {
  SealedBottle<double> bottle;
  bottle.volumes = 2.4;
  const auto cellar = bottle_pressure(bottle, 20.0);
  EXPECT_EQ(bottle_verdict(cellar, cellar.gauge_bar * 1.5), BottleVerdict::sound);
  EXPECT_EQ(bottle_verdict(cellar, cellar.gauge_bar * 1.1), BottleVerdict::near_limit);
  EXPECT_EQ(bottle_verdict(cellar, cellar.gauge_bar * 0.99), BottleVerdict::refuse);
  bottle.volumes = 6.0;
  const auto bomb = bottle_pressure(bottle, 30.0);
  EXPECT_EQ(bottle_verdict(bomb, container_rating(Container::one_way_glass).working_gauge_bar), BottleVerdict::refuse);
}

TEST(Bottle, UnusableFiguresAreFlaggedNeverNotANumber) {
  SealedBottle<double> bottle;
  bottle.beer_l = 0.0;
  EXPECT_TRUE(bottle_pressure(bottle, 20.0).input_unusable);
  EXPECT_EQ(bottle_pressure(bottle, 20.0).gauge_bar, 0.0);
  bottle = {};
  const auto lost = bottle_pressure(bottle, std::numeric_limits<double>::quiet_NaN());
  EXPECT_TRUE(lost.input_unusable);
  EXPECT_EQ(bottle_verdict(lost, 10.0), BottleVerdict::refuse);
  bottle.volumes = std::numeric_limits<double>::quiet_NaN();
  EXPECT_TRUE(bottle_pressure(bottle, 20.0).input_unusable);
  bottle = {};
  EXPECT_TRUE(bottle_pressure(bottle, 55.0).temperature_extrapolated);
}

TEST(Bottle, EveryContainerHasARatingWithASource) {
  for (const ContainerRating& rating : container_ratings) {
    EXPECT_GT(rating.working_gauge_bar, 0.0) << rating.name;
    EXPECT_FALSE(rating.source.empty()) << rating.name;
    EXPECT_EQ(&container_rating(rating.container), &rating);
  }
}

TEST(Bottle, DerivativeByTemperature) {
  SealedBottle<Dual> bottle;
  const double exact = bottle_pressure(bottle, Dual(25.0, 1, 0)).gauge_bar.derivatives()(0);
  const SealedBottle<double> plain;
  const double above = bottle_pressure(plain, 25.001).gauge_bar, below = bottle_pressure(plain, 24.999).gauge_bar;
  const double difference = (above - below) / 0.002;
  EXPECT_NEAR(exact, difference, 1e-7);
}

RC_GTEST_PROP(Equilibrium, PressureInvertsVolumes, ()) {
  const double temperature = between(0, 40, "temperature"), volumes = between(0, 6, "volumes");
  const double bar = carbonation_equilibrium_pressure_bar_delange(temperature, volumes);
  RC_ASSERT(std::abs(carbonation_equilibrium_volumes_delange(temperature, bar) - volumes) < 1e-9);
}

RC_GTEST_PROP(Equilibrium, BeerHoldsLessThanWater, ()) {
  const double temperature = between(0, 40, "temperature");
  const double water = ideal_molar_volume_l * carbon_dioxide_solubility_water_mol_per_l_atm_weiss(temperature);
  const double beer = carbonation_equilibrium_volumes_delange(temperature, standard_atmosphere_bar);
  RC_ASSERT(beer < water);
  RC_ASSERT(beer > 0.9 * water);
}

TEST(Equilibrium, StrongerBeerHoldsLess) {
  EXPECT_NEAR(carbonation_composition_factor_estimate(4.22, 5.78), 1.0, 1e-12);
  EXPECT_LT(carbonation_composition_factor_estimate(8.0, 7.0), 1.0);
  EXPECT_GT(carbonation_composition_factor_estimate(3.0, 3.5), 1.0);
}

RC_GTEST_PROP(Priming, SugarBringsTheVolumesWanted, ()) {
  const double residual = between(0, 2, "residual"), wanted = residual + between(0, 4, "more");
  const double sugar = priming_sugar_g_per_l(PrimingSugar::sucrose, wanted, residual);
  RC_ASSERT(std::abs(residual + volumes_from_fermentable(sugar, priming_yield) - wanted) < 1e-12);
}

TEST(Priming, NothingToAddWhenItIsThere) {
  EXPECT_EQ(priming_sugar_g_per_l(PrimingSugar::glucose, 0.8, 0.86), 0.0);
  EXPECT_GT(priming_sugar_g_per_l(PrimingSugar::glucose_monohydrate, 2.4, 0.86),
            priming_sugar_g_per_l(PrimingSugar::glucose, 2.4, 0.86));
}

RC_GTEST_PROP(Forcing, TimeInvertsTheApproach, ()) {
  const double start = between(0, 2, "start"), equilibrium = start + between(0.1, 4, "above");
  const double wanted = start + (equilibrium - start) * between(0.0, 0.99, "way");
  const double uptake = between(0.005, 10, "uptake");
  const auto time = hours_to_carbonate(start, wanted, equilibrium, uptake);
  RC_ASSERT(time.reachable);
  RC_ASSERT(std::abs(carbonation_after_volumes(start, equilibrium, uptake, time.hours) - wanted) < 1e-9);
  if (time.hours > 1e-6) {
    const double learned = gas_uptake_from_readings_per_hour(start, wanted, equilibrium, time.hours);
    RC_ASSERT(std::abs(learned - uptake) < 1e-6 * uptake);
  }
}

TEST(Forcing, AForgottenHighPressureOvershoots) {
  ForcingPlan<double> plan;
  plan.start_volumes = 0.85;
  const auto answer = force_carbonation(plan, 2.4);
  ASSERT_TRUE(answer.reachable);
  EXPECT_GT(answer.forgotten_volumes, 2.4);
  EXPECT_LT(answer.forgotten_volumes, answer.forgotten_limit_volumes);
  EXPECT_NEAR(forced_volumes_at(plan, answer.high_hours, answer.high_hours), 2.4, 1e-9);
  EXPECT_NEAR(forced_volumes_at(plan, answer.high_hours, 5000.0), answer.serving_volumes, 1e-6);
}

TEST(Forcing, OutOfReachIsSaid) {
  EXPECT_FALSE(hours_to_carbonate(0.9, 2.5, 2.4, 0.014).reachable);
  EXPECT_FALSE(hours_to_carbonate(0.9, 2.5, 3.0, 0.0).reachable);
  EXPECT_TRUE(hours_to_carbonate(2.6, 2.5, 2.4, 0.014).reachable);
  EXPECT_EQ(gas_uptake_from_readings_per_hour(2.0, 1.0, 3.0, 5.0), 0.0);
}

}  // namespace

// Pitching and the fermentation in time.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <chrono>
#include <cmath>
#include <limits>

#include "science/fermentation_kinetics.hpp"
#include "science/pitching.hpp"

namespace {

using namespace oddgrist::science;

double between(double low, double high, const char* what) {
  return low + (high - low) * (*rc::gen::inRange(0, 1'000'001).as(what)) / 1e6;
}

FermentationInput ale() {
  FermentationInput input;
  input.start = {12.0, 75.0, 20.0};
  input.maltotriose_uptake = 0.9;
  input.course = {{0.0, 18.0}, {72.0, 19.0}, {96.0, 21.0}};
  return input;
}

bool finite(const FermentationSample& s) {
  return std::isfinite(s.hour) && std::isfinite(s.temperature_c) && std::isfinite(s.sugars.hexose_g_l()) &&
         std::isfinite(s.ethanol_g_l) && std::isfinite(s.carbon_dioxide_g_l) && std::isfinite(s.yeast_g_l);
}

FermentationInput anything_usable() {
  FermentationInput input;
  input.start = {between(0, 150, "glucose"), between(0, 200, "maltose"), between(0, 60, "maltotriose")};
  input.maltotriose_uptake = between(0, 1, "uptake");
  input.course = {{0.0, between(-2, 42, "first")}, {between(1, 100, "turn"), between(-2, 42, "second")}};
  input.hours = between(1, 500, "hours");
  input.sample_hours = between(1, 50, "step");
  input.pitch_relative = between(0.1, 5, "pitch");
  input.rate_multiplier = between(0.3, 3, "rate");
  if (*rc::gen::arbitrary<bool>()) input.ethanol_limit_g_l = between(10, 150, "limit");
  if (*rc::gen::arbitrary<bool>()) {
    const double hour = between(0, 300, "late hour"), glucose = between(0, 50, "late glucose");
    input.late_sugars = {{hour, glucose, between(0, 50, "late sucrose"), 5.0}};
  }
  return input;
}

RC_GTEST_PROP(Ferment, MassesBalanceAtEverySample, ()) {
  const FermentationInput input = anything_usable();
  const FermentationRun run = ferment(input);
  RC_ASSERT(run.status != FermentationStatus::bad_input);
  RC_ASSERT(run.status != FermentationStatus::solver_failed);
  constexpr double a_second = 1.0 / 3600.0;  // a sample that close before a late sugar counts as taken after it
  double added = input.start.hexose_g_l();
  std::size_t next = 0;
  for (const FermentationSample& now : run.samples) {
    RC_ASSERT(finite(now));
    for (; next < input.late_sugars.size() && input.late_sugars[next].hour <= now.hour + a_second; ++next) {
      const LateSugar& late = input.late_sugars[next];
      added += late.glucose_g_l + (late.sucrose_g_l + late.maltose_g_l) * 2.0 * glucose_g_per_mol / sucrose_g_per_mol;
    }
    const double made = now.ethanol_g_l + now.carbon_dioxide_g_l + now.yeast_g_l;
    RC_ASSERT(std::abs(now.sugars.hexose_g_l() + made - added) < 1e-9 * (1.0 + added) + 1e-6);
    // Carbon of what became ethanol and gas: two of six atoms leave as gas.
    const double ethanol_carbon = now.ethanol_g_l / ethanol_g_per_mol * 2.0;
    const double gas_carbon = now.carbon_dioxide_g_l / carbon_dioxide_g_per_mol;
    RC_ASSERT(std::abs(ethanol_carbon - 2.0 * gas_carbon) < 1e-9 * (1.0 + ethanol_carbon));
    RC_ASSERT(now.sugars.glucose_g_l >= 0.0);
    RC_ASSERT(now.sugars.maltose_g_l >= 0.0);
    RC_ASSERT(now.sugars.maltotriose_g_l >= 0.0);
  }
}

constexpr double integration_error_g_l = 1e-3;  // as the header states

RC_GTEST_PROP(Ferment, SugarOnlyFallsWithoutAdditions, ()) {
  FermentationInput input = anything_usable();
  input.late_sugars.clear();
  const FermentationRun run = ferment(input);
  for (std::size_t i = 1; i < run.samples.size(); ++i) {
    RC_ASSERT(run.samples[i].sugars.hexose_g_l() <= run.samples[i - 1].sugars.hexose_g_l() + integration_error_g_l);
    RC_ASSERT(run.samples[i].ethanol_g_l >= run.samples[i - 1].ethanol_g_l - integration_error_g_l);
  }
}

TEST(Ferment, EndsWhereStoichiometryPutsIt) {
  const FermentationRun run = ferment(ale());
  EXPECT_EQ(run.status, FermentationStatus::done);
  EXPECT_TRUE(run.extrapolated);
  EXPECT_NEAR(run.samples.back().sugars.maltotriose_g_l, run.limit.maltotriose_g_l, 0.1);
  EXPECT_NEAR(run.limit.maltotriose_g_l, 2.0, 1e-12);
  const double fermentable = FermentationSugars{12.0, 75.0, 18.0}.hexose_g_l();
  EXPECT_NEAR(run.ethanol_limit_g_l, fermentable * 0.947 * 46.069 / 90.078, 1e-6);
  EXPECT_NEAR(run.samples.back().ethanol_g_l, run.ethanol_limit_g_l, 0.005 * run.ethanol_limit_g_l);
}

TEST(Ferment, GlucoseGoesFirstThenMaltoseThenMaltotriose) {
  const FermentationInput input = ale();
  const auto half_gone = [run = ferment(input)](auto sugar) {
    for (const FermentationSample& now : run.samples) {
      if (sugar(now.sugars) < 0.5 * sugar(run.samples.front().sugars)) return now.hour;
    }
    return std::numeric_limits<double>::infinity();
  };
  const double glucose = half_gone([](const FermentationSugars& s) { return s.glucose_g_l; });
  const double maltose = half_gone([](const FermentationSugars& s) { return s.maltose_g_l; });
  const double maltotriose = half_gone([](const FermentationSugars& s) { return s.maltotriose_g_l; });
  EXPECT_LT(glucose, maltose);
  EXPECT_LT(maltose, maltotriose);
}

TEST(Ferment, LateSugarIsEatenBeforeTheRest) {
  FermentationInput input = ale();
  input.late_sugars = {{60.0, 0.0, 40.0, 0.0}};
  const FermentationRun with = ferment(input);
  const FermentationRun without = ferment(ale());
  // Masses: 40 g/L sucrose are 42.1 g/L hexose.
  EXPECT_NEAR(with.ethanol_limit_g_l - without.ethanol_limit_g_l,
              ferment_hexose(40.0 * 2.0 * glucose_g_per_mol / sucrose_g_per_mol).ethanol, 1e-9);
  EXPECT_EQ(with.status, FermentationStatus::done);
  // While the new glucose is there, the maltose waits.
  const auto maltose_at_72 = [](const FermentationRun& run) {
    for (const FermentationSample& now : run.samples) {
      if (now.hour >= 72.0) return now.sugars.maltose_g_l;
    }
    return 0.0;
  };
  EXPECT_GT(maltose_at_72(with), maltose_at_72(without) + 1.0);
}

TEST(Ferment, StopsAtTheStrainsLimit) {
  FermentationInput input = ale();
  input.ethanol_limit_g_l = 30.0;
  input.hours = 1500.0;
  const FermentationRun run = ferment(input);
  EXPECT_EQ(run.status, FermentationStatus::stopped_by_ethanol);
  EXPECT_LE(run.samples.back().ethanol_g_l, 30.0 + 1e-6);
  EXPECT_GT(run.samples.back().sugars.maltose_g_l, 1.0);
}

TEST(Ferment, WarmerAndMoreYeastAreFaster) {
  FermentationInput input = ale();
  input.sample_hours = 1.0;
  input.course = {{0.0, 16.0}};
  const double cool = ferment(input).attenuation_hour;
  input.course = {{0.0, 18.0}};
  const double usual = ferment(input).attenuation_hour;
  input.course = {{0.0, 22.0}};
  const double warm = ferment(input).attenuation_hour;
  EXPECT_GT(cool, usual);
  EXPECT_GT(usual, warm);
  input.course = {{0.0, 18.0}};
  input.pitch_relative = 2.0;
  EXPECT_LT(ferment(input).attenuation_hour, usual);
}

TEST(Ferment, TooHotOrFrozenStandsStill) {
  FermentationInput input = ale();
  input.course = {{0.0, 45.0}};
  EXPECT_EQ(ferment(input).status, FermentationStatus::stopped_by_cold_or_heat);
  input.course = {{0.0, -5.0}};
  const FermentationRun frozen = ferment(input);
  EXPECT_EQ(frozen.status, FermentationStatus::stopped_by_cold_or_heat);
  EXPECT_NEAR(frozen.samples.back().sugars.maltose_g_l, 75.0, 1e-9);
}

TEST(Ferment, RefusesWhatCannotBe) {
  const double not_a_number = std::numeric_limits<double>::quiet_NaN();
  FermentationInput input = ale();
  input.start.maltose_g_l = not_a_number;
  EXPECT_EQ(ferment(input).status, FermentationStatus::bad_input);
  input = ale();
  input.course.clear();
  EXPECT_EQ(ferment(input).status, FermentationStatus::bad_input);
  input = ale();
  input.course = {{10.0, 18.0}, {5.0, 18.0}};
  EXPECT_EQ(ferment(input).status, FermentationStatus::bad_input);
  input = ale();
  input.late_sugars = {{-1.0, 5.0, 0.0, 0.0}};
  EXPECT_EQ(ferment(input).status, FermentationStatus::bad_input);
  input = ale();
  input.ethanol_limit_g_l = not_a_number;
  EXPECT_EQ(ferment(input).status, FermentationStatus::bad_input);
  EXPECT_TRUE(ferment(input).samples.empty());
}

TEST(Ferment, NoSugarIsDoneAtOnce) {
  FermentationInput input;
  const FermentationRun run = ferment(input);
  EXPECT_EQ(run.status, FermentationStatus::done);
  EXPECT_EQ(run.samples.back().ethanol_g_l, 0.0);
}

TEST(Pitching, SlurryAgesAndNeverRevives) {
  EXPECT_EQ(slurry_viability(-3.0), 1.0);
  EXPECT_NEAR(slurry_viability(1.0), 0.993, 1e-12);
  EXPECT_LT(slurry_viability(20.0), slurry_viability(10.0));
  EXPECT_NEAR(slurry_l(2e11, 0.0), 0.2, 1e-12);
  EXPECT_GT(slurry_l(2e11, 14.0), 0.2);
}

}  // namespace

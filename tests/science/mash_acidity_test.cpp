// Mash pH: the balance must close, move the right way, and agree with the straight-line form where that is exact.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "science/enzyme.hpp"
#include "science/mash_acidity.hpp"

namespace {

using namespace oddgrist::science;

double between(double low, double high) {
  constexpr int steps = 1'000'000;
  return low + (high - low) * *rc::gen::inRange(0, steps + 1) / steps;
}

MashAcidity<double> some_mash() {
  MashAcidity<double> mash;
  const int malts = *rc::gen::inRange(1, 6);
  double kg = 0.0;
  for (int i = 0; i < malts; ++i) {
    mash.malts.push_back({between(0.05, 5), between(4, 6.2), between(20, 80)});
    kg += mash.malts.back().mass_kg;
  }
  mash.liquors.push_back({between(1, 30), between(0, 8), between(6, 9)});
  mash.acids.push_back(
      {static_cast<AcidKind>(*rc::gen::inRange<std::size_t>(0, acid_kind_count)), between(0, 0.01 * kg)});
  // In proportion to the grain: a spoon of malt in a glass of acid is no mash, and its pH may lie outside 2 to 11.
  mash.alkali_eq = between(0, 0.02 * kg);
  mash.calcium_eq = between(0, 0.04 * kg);
  mash.magnesium_eq = between(0, 0.02 * kg);
  return mash;
}

RC_GTEST_PROP(MashAcidity, BalanceCloses, ()) {
  const MashAcidity<double> mash = some_mash();
  const auto ph = mash_ph(mash);
  RC_ASSERT(ph.has_value());
  RC_ASSERT(std::abs(mash_acid_excess_eq(mash, *ph)) < 1e-9);
}

RC_GTEST_PROP(MashAcidity, FallsWithAcidRisesWithAlkali, ()) {
  MashAcidity<double> mash = some_mash();
  const double before = mash_ph(mash).value();
  MashAcidity<double> sourer = mash, harder = mash;
  const double kg = mash.malts[0].mass_kg;
  sourer.acids[0].moles += 0.001 * kg;
  harder.calcium_eq += 0.004 * kg;
  mash.alkali_eq += 0.001 * kg;
  // In a mash that is very sour already the weak acids give hardly a proton.
  RC_ASSERT(mash_ph(sourer).value() < before || before < 2.5);
  RC_ASSERT(mash_ph(harder).value() < before);
  RC_ASSERT(mash_ph(mash).value() > before);
}

RC_GTEST_PROP(MashAcidity, AcidWantedBringsItThere, ()) {
  MashAcidity<double> mash = some_mash();
  const double target = between(5.0, 5.6);
  mash.other_acid_eq += mash_acid_wanted_eq(mash, target);
  RC_ASSERT(std::abs(mash_ph(mash).value() - target) < 1e-9);
}

// Without water and acid the balance is a straight line.
RC_GTEST_PROP(MashAcidity, AgreesWithTheStraightLine, ()) {
  MashAcidity<double> mash = some_mash();
  mash.liquors.clear();
  mash.acids.clear();
  mash.calcium_eq = mash.magnesium_eq = 0.0;
  const auto linear = mash_ph_linear(mash.malts, mash.alkali_eq);
  RC_PRE(*linear > 2.5 && *linear < 10.5);
  RC_ASSERT(std::abs(mash_ph(mash).value() - *linear) < 1e-9);
}

// By hand: 4 kg at 40 mEq/(kg pH) take 160 mEq a unit of pH, so 30 mEq of alkali lift 5.75 by 30/160.
TEST(MashAcidity, StraightLineByHand) {
  const std::vector<MashMalt<double>> malts{{4.0, 5.75, 40.0}};
  EXPECT_NEAR(mash_ph_linear(malts, 0.030).value(), 5.9375, 1e-12);
}

// Every corner of three malts' spreads, one by one, against the two-sided search.
RC_GTEST_PROP(MashAcidity, IntervalIsTheWorstCorner, ()) {
  MashAcidity<double> mash = some_mash();
  mash.malts.resize(3, {1.0, 5.5, 40.0});
  std::vector<MaltSpread> spreads;
  for (const auto& malt : mash.malts) {
    const double ph = malt.ph_in_distilled_water, buffering = malt.buffering_meq_per_kg_ph;
    spreads.push_back({ph - 0.1, ph + 0.1, 0.7 * buffering, 1.3 * buffering});
  }
  double low = 14.0, high = 0.0;
  for (unsigned corner = 0; corner < 64; ++corner) {
    for (std::size_t i = 0; i < 3; ++i) {
      mash.malts[i].ph_in_distilled_water = (corner >> (2 * i)) & 1U ? spreads[i].ph_high : spreads[i].ph_low;
      mash.malts[i].buffering_meq_per_kg_ph =
          (corner >> (2 * i + 1)) & 1U ? spreads[i].buffering_high : spreads[i].buffering_low;
    }
    const double ph = mash_ph(mash).value();
    low = std::min(low, ph);
    high = std::max(high, ph);
  }
  const auto interval = mash_ph_interval(mash, spreads);
  RC_ASSERT(interval.has_value());
  RC_ASSERT(std::abs(interval->low - low) < 1e-9);
  RC_ASSERT(std::abs(interval->high - high) < 1e-9);
}

// One Newton step in the derivative-carrying scalar against differences of the whole solution.
TEST(MashAcidity, CarriesDerivatives) {
  using Dual = Eigen::AutoDiffScalar<Eigen::Matrix<double, 6, 1>>;
  const auto solve = [](const auto& x) {
    using Scalar = std::decay_t<decltype(x[0])>;
    MashAcidity<Scalar> mash;
    mash.malts.push_back({x[0], 5.75, 40.0});
    mash.malts.push_back({x[1], 4.6, 60.0});
    mash.liquors.push_back({x[2], x[3], 7.6});
    mash.acids.push_back({AcidKind::phosphoric, x[4]});
    mash.calcium_eq = x[5];
    return mash_ph(mash).value();
  };
  const std::array<double, 6> at{4.0, 0.3, 15.0, 3.0, 0.01, 0.06};
  std::array<Dual, 6> dual;
  for (int i = 0; i < 6; ++i) dual[std::size_t(i)] = Dual(at[std::size_t(i)], 6, i);
  const Dual ph = solve(dual);
  EXPECT_NEAR(ph.value(), solve(at), 1e-12);
  for (std::size_t i = 0; i < 6; ++i) {
    auto above = at, below = at;
    above[i] += 1e-4 * at[i];
    below[i] -= 1e-4 * at[i];
    const double difference = (solve(above) - solve(below)) / (2e-4 * at[i]);
    EXPECT_NEAR(ph.derivatives()[Eigen::Index(i)], difference, 1e-6 * std::max(1.0, std::abs(difference))) << i;
    EXPECT_NE(difference, 0.0);
  }
}

TEST(MashAcidity, RefusesWhatHasNoPh) {
  EXPECT_FALSE(mash_ph(MashAcidity<double>{}));
  MashAcidity<double> mash;
  mash.malts.push_back({1.0, 5.7, 40.0});
  EXPECT_TRUE(mash_ph(mash));
  MashAcidity<double> negative = mash, mad = mash, drowned = mash;
  negative.malts[0].mass_kg = -1.0;
  mad.calcium_eq = std::nan("");
  drowned.other_acid_eq = 5.0;  // five equivalents in a kilogram: below pH 2
  EXPECT_FALSE(mash_ph(negative));
  EXPECT_FALSE(mash_ph(mad));
  EXPECT_FALSE(mash_ph(drowned));
  EXPECT_FALSE(mash_ph_interval(mash, {}));
}

RC_GTEST_PROP(MashAcidity, TemperatureScaleGoesThereAndBack, ()) {
  const double ph = between(5, 6), temperature_c = between(20, 78);
  RC_ASSERT(std::abs(mash_ph_at_20c(mash_ph_at_temperature(ph, temperature_c), temperature_c) - ph) < 1e-12);
  RC_ASSERT(mash_ph_at_temperature(ph, temperature_c) <= ph);
}

TEST(MashEnzyme, BlendIsByMass) {
  const std::array<EnzymeShare<double>, 2> grist{{{3.0, 280.0}, {1.0, 0.0}}};
  EXPECT_NEAR(diastatic_power_blend_wk<double>(grist).value(), 210.0, 1e-12);
  EXPECT_EQ(diastatic_power_verdict(210.0), EnzymeVerdict::enough);
  EXPECT_EQ(diastatic_power_verdict(110.0), EnzymeVerdict::slow);
  EXPECT_EQ(diastatic_power_verdict(99.0), EnzymeVerdict::too_little);
  EXPECT_FALSE(diastatic_power_blend_wk<double>({}));
  const std::array<EnzymeShare<double>, 1> wrong{{{-3.0, 280.0}}};
  EXPECT_FALSE(diastatic_power_blend_wk<double>(wrong));
}

}  // namespace

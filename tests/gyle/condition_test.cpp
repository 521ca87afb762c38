// The belief after readings: laws, and Laplace's approximation against the posterior itself.
#include <cmath>

#include <Eigen/LU>
#include <gtest/gtest.h>

#include "hidden_gyle.hpp"

namespace oddgrist::gyle {
namespace {

using hidden::Day;
using hidden::Mishap;

std::size_t at(Told told) { return static_cast<std::size_t>(told); }
double width(const compose::Estimate& estimate) { return estimate.high - estimate.low; }

Day quiet_day(std::uint64_t seed, Stage stage) {
  return hidden::day_of(hidden::planned().brief, hidden::planned().recipe, seed, Mishap::none, stage);
}

TEST(Belief, WithoutReadingsIsThePrior) {
  const State state = state_of(hidden::planned().brief, hidden::Log(hidden::planned().recipe).entries);
  const Brewing brewing = brewing_of(hidden::planned().brief, state);
  const Belief belief = belief_of(brewing, {});
  EXPECT_DOUBLE_EQ(belief.z.norm(), 0.0);
  EXPECT_TRUE(belief.covariance.isIdentity());
}

TEST(Belief, TheRecipeAsReckonedIsTheProposal) {
  const auto& planned = hidden::planned();
  const State state = state_of(planned.brief, hidden::Log(planned.recipe).entries);
  const Brewing brewing = brewing_of(planned.brief, state);
  EXPECT_TRUE(brewing.unknown.empty());
  const auto here = upcome_as_reckoned(brewing).forecast;
  const auto there = compose::proposal_of(planned.brief, planned.recipe).forecast;
  EXPECT_NEAR(here.original_gravity_sg, there.original_gravity_sg, 1e-9);
  EXPECT_NEAR(here.final_gravity_sg, there.final_gravity_sg, 1e-9);
  EXPECT_NEAR(here.bitterness_ibu, there.bitterness_ibu, 1e-9);
  EXPECT_NEAR(here.colour_ebc, there.colour_ebc, 1e-9);
  EXPECT_NEAR(here.fermenter_volume_l, there.fermenter_volume_l, 1e-9);
}

TEST(Belief, ReadingsNarrowWhatTheyTell) {
  const Day day = quiet_day(11, Stage::after_boil);
  const Standing standing = standing_of(*day.brief, day.state());
  EXPECT_TRUE(standing.belief.settled);
  for (Told told : {Told::original_gravity, Told::fermenter_volume})
    EXPECT_LT(width(standing.now[at(told)]), 0.75 * width(standing.before[at(told)]));
  EXPECT_LT(width(standing.now[at(Told::alcohol)]), width(standing.before[at(Told::alcohol)]));
}

// Over many days the 80 % interval holds the truth in 80 % of them.
TEST(Belief, IntervalsHoldWhatTheySay) {
  int inside = 0, all = 0;
  for (std::uint64_t seed = 0; seed < 60; ++seed) {
    const Day day = quiet_day(3000 + seed, Stage::after_boil);
    const Brewing brewing = brewing_of(*day.brief, day.state());
    const Outlook outlook = outlook_of(brewing, belief_of(brewing, day.state().readings));
    const Upcome truth = day.upcome();
    for (Told told : {Told::original_gravity, Told::fermenter_volume, Told::alcohol, Told::bitterness}) {
      const auto& estimate = outlook[at(told)];
      const double value = told_by(truth, told);
      inside += value >= estimate.low && value <= estimate.high ? 1 : 0;
      ++all;
    }
  }
  // 240 cases, not all independent: 60 days give a standard error of about 0.05.
  EXPECT_NEAR(static_cast<double>(inside) / all, 0.80, 0.10);
}

// Importance sampling from the approximation: weights near even, and the same mean and spread. Triangles and rectangles end where a
// normal distribution goes on, so the approximation may be a little wide; condition.hpp says how much.
TEST(Belief, AgreesWithImportanceSampling) {
  const Day day = quiet_day(5, Stage::after_boil);
  const Brewing brewing = brewing_of(*day.brief, day.state());
  const Belief belief = belief_of(brewing, day.state().readings);
  const Eigen::MatrixXd precision = belief.covariance.inverse();
  const auto points = points_of(belief, 2048);
  std::vector<double> log_weight;
  double most = -1e300;
  for (const auto& point : points) {
    const Eigen::VectorXd off = point - belief.z;
    log_weight.push_back(log_posterior(brewing, belief, point) + 0.5 * off.dot(precision * off));
    most = std::max(most, log_weight.back());
  }
  double sum = 0.0, squares = 0.0, mean = 0.0, mean_plain = 0.0, square = 0.0, square_plain = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double weight = std::exp(log_weight[i] - most);
    const double gravity = 1000.0 * (told_by(upcome_at(brewing, points[i]), Told::original_gravity) - 1.0);
    sum += weight, squares += weight * weight;
    mean += weight * gravity, square += weight * gravity * gravity;
    mean_plain += gravity, square_plain += gravity * gravity;
  }
  const auto count = static_cast<double>(points.size());
  const double deviation = std::sqrt(square / sum - mean / sum * (mean / sum));
  const double deviation_plain = std::sqrt(square_plain / count - mean_plain / count * (mean_plain / count));
  EXPECT_GT(sum * sum / squares, 0.5 * count);  // effective sample size
  EXPECT_NEAR(mean / sum, mean_plain / count, 0.15 * deviation);
  EXPECT_GT(deviation_plain / deviation, 0.95);
  EXPECT_LT(deviation_plain / deviation, 1.0 + laplace_too_wide);
}

TEST(Belief, AStrangeReadingIsQuestionedAndHardlyPulls) {
  Day day = quiet_day(12, Stage::after_boil);
  const Brewing brewing = brewing_of(*day.brief, day.state());
  const double before = outlook_of(brewing, belief_of(brewing, day.state().readings))[at(Told::original_gravity)].value;
  Reading strange;
  strange.sight = Sight::gravity;
  strange.stage = Stage::after_boil;
  strange.value =
      science::hydrometer_reading(science::plato_from_specific_gravity_asbc(1.055) * 0.01, 60.0);  // read hot
  day.log.write(strange);
  const Belief belief = belief_of(brewing, day.state().readings);
  const Judged& judged = belief.readings.back();
  EXPECT_TRUE(judged.questioned);
  EXPECT_GT(judged.surprise, question_beyond);
  EXPECT_LT(judged.weight, 0.3);
  ASSERT_FALSE(judged.slips.empty());
  const double after = outlook_of(brewing, belief)[at(Told::original_gravity)].value;
  EXPECT_NEAR(after, before, 0.0008);
  int questioned = 0;
  for (const Judged& each : belief.readings) questioned += each.questioned ? 1 : 0;
  EXPECT_EQ(questioned, 1);
}

TEST(Belief, ImpossibleValuesAreKeptAndDoNothing) {
  Day day = quiet_day(13, Stage::after_boil);
  const Brewing brewing = brewing_of(*day.brief, day.state());
  const Belief before = belief_of(brewing, day.state().readings);
  Reading odd;
  odd.stage = Stage::after_boil;
  const double sg = told_by(upcome_at(brewing, before.z), Told::post_boil_gravity);
  odd.value = science::plato_from_specific_gravity_asbc(sg);  // Plato typed as SG
  day.log.write(odd);
  const Belief after = belief_of(brewing, day.state().readings);
  EXPECT_TRUE(after.readings.back().questioned);
  EXPECT_LT((after.z - before.z).norm(), 1e-9);
  ASSERT_FALSE(after.readings.back().slips.empty());
  EXPECT_EQ(after.readings.back().slips.front(), "typed in degrees Plato");
}

// A mash far below anything the kit's range allows: two readings that bear each other out are believed.
TEST(Belief, TwoReadingsThatAgreeAreBelieved) {
  Day day = quiet_day(14, Stage::mash);
  day.log.entries.resize(2);
  day.truth["conversion in the mash"] = -5.0;
  std::mt19937_64 random(1);
  day.log.write(Reached{Stage::before_boil});
  hidden::read(day, random, Sight::gravity, Stage::before_boil, Told::pre_boil_gravity);
  hidden::read(day, random, Sight::gravity, Stage::before_boil, Told::pre_boil_gravity);
  const Brewing brewing = brewing_of(*day.brief, day.state());
  const Belief belief = belief_of(brewing, day.state().readings);
  EXPECT_FALSE(belief.readings[0].questioned);
  EXPECT_FALSE(belief.readings[1].questioned);
  const double truth = told_by(day.upcome(), Told::original_gravity);
  EXPECT_NEAR(told_by(upcome_at(brewing, belief.z), Told::original_gravity), truth, 0.004);
}

TEST(Belief, OrderOfReadingsDoesNotMatter) {
  const Day day = quiet_day(15, Stage::fermenter);
  const Brewing brewing = brewing_of(*day.brief, day.state());
  auto readings = day.state().readings;
  const Belief forward = belief_of(brewing, readings);
  std::reverse(readings.begin(), readings.end());
  EXPECT_LT((forward.z - belief_of(brewing, readings).z).norm(), 5e-3);
}

// A whole day read with a good dipstick.
TEST(Kit, IsLearnedInItsOwnUnits) {
  const Day day = hidden::day_with_good_dipstick(16, 1.7);
  const Brewing brewing = brewing_of(*day.brief, day.state());
  const KitBelief kit = kit_belief_of(brewing, belief_of(brewing, day.state().readings));
  double learned = 0.0;
  for (std::size_t i = 0; i < kit.topics.size(); ++i) {
    if (kit.topics[i] == compose::Topic::boil_off) learned = kit.mean[static_cast<Eigen::Index>(i)];
  }
  double truth = 0.0, usual = 0.0;
  for (const Input& input : brewing.inputs) {
    if (input.doubt.topic == compose::Topic::boil_off)
      truth = input.value_at(day.truth.at("boil-off")), usual = input.doubt.usual;
  }
  EXPECT_LT(std::abs(learned - truth), 0.5 * std::abs(usual - truth));
}

}  // namespace
}  // namespace oddgrist::gyle

#include <gtest/gtest.h>

#include <array>
#include <map>

#include "hidden_ferment.hpp"
#include "process/package.hpp"
#include "quantity/gravity.hpp"
#include "science/refractometry.hpp"

namespace oddgrist::gyle {
namespace {

using namespace hidden_ferment;

Watch watch(const std::vector<TimedReading>& readings, double hour, WatchFacts facts = {}) {
  facts.pitched = pitched;
  return watch_of(harvest().brief, harvest().proposal, readings, at(hour), facts);
}

Truth plain_truth() {
  Truth truth;
  truth.start_sg = harvest().course.original_gravity_sg;
  truth.end_sg = harvest().course.first_end_sg.usual;
  truth.temperature_c = harvest().course.temperature_c;
  return truth;
}

std::vector<TimedReading> exact_at(const Course& course, std::initializer_list<double> hours) {
  std::vector<TimedReading> readings;
  for (double hour : hours) readings.push_back(exact(course, hour));
  return readings;
}

bool holds(const Band& band, double value) { return value >= band.low && value <= band.high; }

// ---- Coverage: the figure of an 80 % interval is kept. 400 brews: the share has a standard error of 2 %.

TEST(Watch, EightOfTenHiddenEndsAndFinishTimesLieInTheirBands) {
  std::mt19937_64 random(20261125);
  std::uniform_real_distribution<double> share;
  std::normal_distribution<double> normal;
  constexpr int brews = 400;
  int ends = 0, nows = 0, finishes = 0, finishing = 0;
  for (int i = 0; i < brews; ++i) {
    Truth truth = any_truth(harvest(), random);
    if (share(random) < prior_stops_early) truth.stops_at = stops_at_of(normal(random));
    const Course course(harvest(), truth);
    std::vector<TimedReading> readings;
    for (double hour : {0.0, 24.0, 48.0, 72.0, 96.0, 120.0}) readings.push_back(read(course, hour, random));
    const Watch seen = watch(readings, 124.0);
    ends += holds(seen.end_sg, truth.start_sg - (truth.start_sg - truth.end_sg) * truth.stops_at);
    nows += holds(seen.gravity_now_sg, course.gravity(124.0));
    if (truth.stops_at < 1.0 || !seen.finished_hour || course.finished_hour() >= process::course_days * 24.0) continue;
    ++finishing;
    finishes += holds(*seen.finished_hour, course.finished_hour());
  }
  const double end_share = double(ends) / brews, now_share = double(nows) / brews;
  const double finish_share = double(finishes) / finishing;
  RecordProperty("end", std::to_string(end_share));
  RecordProperty("now", std::to_string(now_share));
  RecordProperty("finish", std::to_string(finish_share));
  for (double covered : {end_share, now_share, finish_share}) {
    EXPECT_GE(covered, 0.75);
    EXPECT_LE(covered, 0.85);
  }
  EXPECT_GT(finishing, 300);
}

TEST(Watch, MoreReadingsMakeTheBandNarrower) {
  const Course course(harvest(), plain_truth());
  double before = 1.0;
  for (const auto& hours : {std::vector<double>{}, {0.0}, {0.0, 48.0, 96.0}, {0.0, 48.0, 96.0, 168.0, 240.0}}) {
    std::vector<TimedReading> readings;
    for (double hour : hours) readings.push_back(exact(course, hour));
    const Watch seen = watch(readings, 260.0);
    const double width = seen.end_sg.high - seen.end_sg.low;
    EXPECT_LT(width, before);
    before = width;
  }
  EXPECT_LT(before, 0.0025);
}

// ---- Verdicts

struct Case {
  FermentState truth;
  std::array<double, 2> pace, stops_at;
  std::vector<double> hours;
};

TEST(Watch, VerdictsAreRarelyMistaken) {
  std::mt19937_64 random(7);
  const std::vector<Case> cases = {
      {FermentState::finished, {0.8, 1.4}, {1.0, 1.0}, {0.0, 72.0, 288.0, 312.0, 360.0}},
      {FermentState::stuck, {0.8, 1.4}, {0.4, 0.8}, {0.0, 48.0, 168.0, 240.0, 312.0}},
      {FermentState::slow, {0.28, 0.36}, {1.0, 1.0}, {0.0, 48.0, 96.0, 144.0, 192.0}},
      {FermentState::as_expected, {0.8, 1.3}, {1.0, 1.0}, {0.0, 24.0, 48.0}},
  };
  constexpr int brews = 50;
  std::map<FermentState, std::map<FermentState, int>> table;
  for (const Case& each : cases) {
    for (int i = 0; i < brews; ++i) {
      Truth truth = any_truth(harvest(), random);
      truth.pace = std::uniform_real_distribution<double>(each.pace[0], each.pace[1])(random);
      truth.stops_at = std::uniform_real_distribution<double>(each.stops_at[0], each.stops_at[1])(random);
      truth.lag_hours = 8.0;
      const Course course(harvest(), truth);
      std::vector<TimedReading> readings;
      for (double hour : each.hours) readings.push_back(read(course, hour, random));
      ++table[each.truth][watch(readings, each.hours.back() + 1.0).state];
    }
  }
  const auto share = [&](FermentState truth, FermentState said) { return double(table[truth][said]) / brews; };
  for (const auto& [truth, row] : table) {
    for (const auto& [said, count] : row) {
      RecordProperty("truth" + std::to_string(int(truth)) + "said" + std::to_string(int(said)), count);
    }
  }
  EXPECT_GE(share(FermentState::finished, FermentState::finished), 0.90);
  EXPECT_GE(share(FermentState::stuck, FermentState::stuck), 0.90);
  EXPECT_GE(share(FermentState::slow, FermentState::slow), 0.85);
  EXPECT_GE(share(FermentState::as_expected, FermentState::as_expected), 0.90);
  // The dangerous mistakes.
  EXPECT_LE(share(FermentState::stuck, FermentState::finished), 0.04);
  EXPECT_EQ(share(FermentState::slow, FermentState::finished), 0.0);
}

TEST(Watch, ChancesAddUpToOneAndFiguresAreFinite) {
  const Course course(harvest(), plain_truth());
  for (double hour : {0.0, 3.0, 100.0, 1079.0, 5000.0}) {
    const Watch seen = watch(exact_at(course, {0.0, 2.0, 90.0}), hour);
    const StateChances& c = seen.chances;
    EXPECT_NEAR(c.lag + c.as_expected + c.slow + c.stuck + c.finished + c.refermenting, 1.0, 1e-9);
    for (const WatchPoint& point : seen.curve) {
      EXPECT_TRUE(std::isfinite(point.gravity_sg.low) && std::isfinite(point.gravity_sg.high));
      EXPECT_LE(point.gravity_sg.low, point.gravity_sg.median);
      EXPECT_LE(point.gravity_sg.median, point.gravity_sg.high);
    }
  }
}

TEST(Watch, WithoutAReadingItIsTheForecastAndNobodyIsToldToClose) {
  const Watch seen = watch({}, 600.0);
  EXPECT_EQ(seen.state, FermentState::unread);
  EXPECT_NE(seen.bottling.verdict, CloseUp::yes);
  EXPECT_NEAR(seen.end_sg.median, harvest().course.end_sg.usual, 0.001);
  ASSERT_TRUE(seen.next);
}

TEST(Watch, NoCurveEverRisesWithoutADose) {
  std::mt19937_64 random(3);
  for (int i = 0; i < 20; ++i) {
    const Course course(harvest(), any_truth(harvest(), random));
    std::vector<TimedReading> readings;
    for (double hour : {0.0, 30.0, 70.0, 150.0}) readings.push_back(read(course, hour, random));
    readings[2].reading.value += 0.02;  // mistyped
    const Watch seen = watch(readings, 150.0);
    for (std::size_t p = 1; p < seen.curve.size(); ++p) {
      EXPECT_LE(seen.curve[p].gravity_sg.median, seen.curve[p - 1].gravity_sg.median + 1e-12);
      EXPECT_LE(seen.curve[p].gravity_sg.low, seen.curve[p - 1].gravity_sg.low + 1e-12);
      EXPECT_LE(seen.curve[p].gravity_sg.high, seen.curve[p - 1].gravity_sg.high + 1e-12);
    }
  }
}

TEST(Watch, OrderOfReadingsDoesNotMatterAndTheFutureIsNotRead) {
  const Course course(harvest(), plain_truth());
  std::vector<TimedReading> readings = exact_at(course, {0.0, 48.0, 96.0, 144.0});
  const Watch one = watch(readings, 100.0);
  std::swap(readings[0], readings[2]);
  readings[3].reading.value = 1.099;  // tomorrow's
  const Watch other = watch(readings, 100.0);
  EXPECT_EQ(one.end_sg.median, other.end_sg.median);
  EXPECT_EQ(one.watched.size(), 3u);
  EXPECT_EQ(other.watched.size(), 3u);
}

TEST(Watch, AColdCellarIsFollowedByItsThermometer) {
  Truth truth = plain_truth();
  truth.temperature_c = 15.0;
  const Course course(harvest(), truth);
  std::vector<TimedReading> readings = exact_at(course, {0.0, 72.0, 120.0, 168.0});
  const Watch blind = watch(readings, 170.0);
  readings.push_back(reading(1.0, Sight::temperature, 15.0));
  const Watch told = watch(readings, 170.0);
  // Told of the cold it need not think the yeast lame.
  EXPECT_LT(blind.pace.median, 0.85);
  EXPECT_GT(told.pace.median, blind.pace.median + 0.1);
  EXPECT_NEAR(told.gravity_now_sg.median, course.gravity(170.0), 0.001);
}

// ---- Questioned readings

TEST(Watch, SwappedDigitsAreFoundAndDoNotDragTheCurve) {
  const Course course(harvest(), plain_truth());
  std::vector<TimedReading> readings = exact_at(course, {0.0, 24.0, 72.0, 120.0});
  const Watch clean = watch(readings, 121.0);
  // An hour at which swapping the last two digits makes a difference to notice.
  double hour = 36.0, right = 0.0, swapped = 0.0;
  for (; hour < 66.0 && std::abs(swapped - right) <= 0.02; hour += 1.0) {
    right = std::round(course.gravity(hour) * 1000.0) / 1000.0;
    const long thousandths = std::lround(right * 1000.0) - 1000;
    swapped = 1.0 + 0.001 * double(thousandths % 10 * 10 + thousandths / 10);
  }
  ASSERT_GT(std::abs(swapped - right), 0.02);
  readings.push_back(reading(hour - 1.0, Sight::gravity, swapped));
  const Watch seen = watch(readings, 121.0);
  ASSERT_EQ(seen.questions.size(), 1u);
  EXPECT_EQ(seen.questions[0].index, 4u);
  EXPECT_NE(seen.questions[0].likely_mistake.find("digits"), std::string::npos);
  ASSERT_TRUE(seen.questions[0].likely_value);
  EXPECT_NEAR(*seen.questions[0].likely_value, right, 1e-9);
  EXPECT_NEAR(seen.end_sg.median, clean.end_sg.median, 0.0007);
  EXPECT_NEAR(seen.gravity_now_sg.median, clean.gravity_now_sg.median, 0.0007);
}

TEST(Watch, SoundReadingsAreSeldomQuestioned) {
  std::mt19937_64 random(11);
  int questioned = 0, all = 0;
  for (int i = 0; i < 40; ++i) {
    const Course course(harvest(), any_truth(harvest(), random));
    std::vector<TimedReading> readings;
    for (double hour : {0.0, 48.0, 96.0, 144.0, 192.0}) readings.push_back(read(course, hour, random));
    questioned += int(watch(readings, 193.0).questions.size());
    all += 5;
  }
  // Student errors of four degrees of freedom themselves lie beyond three and a half thousandths in 2.5 % of cases.
  EXPECT_LE(double(questioned) / all, 0.05);
}

TEST(Watch, ABrixThatWasNotCorrectedForAlcoholIsNamed) {
  const Course course(harvest(), plain_truth());
  std::vector<TimedReading> readings = exact_at(course, {0.0, 48.0, 120.0, 168.0});
  const double start_plato = science::plato_from_specific_gravity_asbc(course.gravity(0.0));
  const double now_plato = science::plato_from_specific_gravity_asbc(course.gravity(216.0));
  const double brix =
      science::refractometer_wort_factor * science::refraction_of_fermented_brix(start_plato, now_plato);
  readings.push_back(reading(216.0, Sight::gravity, science::specific_gravity_from_plato_asbc(brix)));
  const Watch seen = watch(readings, 217.0);
  ASSERT_EQ(seen.questions.size(), 1u);
  EXPECT_EQ(seen.questions[0].what, "the gravity has risen, and nothing was added");
  EXPECT_NE(seen.questions[0].likely_mistake.find("alcohol"), std::string::npos);
  EXPECT_NEAR(seen.questions[0].likely_value.value_or(0.0), course.gravity(216.0), 0.002);
}

TEST(Watch, RefractometerAndHydrometerTellTheSameStory) {
  const Course course(harvest(), plain_truth());
  std::vector<TimedReading> by_float, by_light;
  const double start_plato = science::plato_from_specific_gravity_asbc(course.gravity(0.0));
  for (double hour : {0.0, 48.0, 96.0, 144.0, 216.0}) {
    by_float.push_back(exact(course, hour));
    const double plato = science::plato_from_specific_gravity_asbc(course.gravity(hour));
    const double brix = science::refractometer_wort_factor * science::refraction_of_fermented_brix(start_plato, plato);
    by_light.push_back(reading(hour, Sight::refraction, std::round(brix * 10.0) / 10.0));
  }
  const Watch one = watch(by_float, 217.0), other = watch(by_light, 217.0);
  EXPECT_TRUE(other.questions.empty());
  EXPECT_NEAR(one.gravity_now_sg.median, other.gravity_now_sg.median, 0.0015);
  // Light knows it less well: alcohol stands between.
  EXPECT_GT(other.gravity_now_sg.high - other.gravity_now_sg.low, one.gravity_now_sg.high - one.gravity_now_sg.low);
}

TEST(Watch, AWarmSampleIsCorrected) {
  const Course course(harvest(), plain_truth());
  std::vector<TimedReading> readings = exact_at(course, {0.0, 48.0});
  readings[0].reading.at_celsius = 35.0;
  const Watch seen = watch(readings, 49.0);
  EXPECT_GT(seen.watched[0].gravity_sg, readings[0].reading.value + 0.003);
  EXPECT_GT(seen.watched[0].deviation_sg, seen.watched[1].deviation_sg);
}

TEST(Watch, WhatCannotBeIsQuestionedNotRefused) {
  const Course course(harvest(), plain_truth());
  std::vector<TimedReading> readings = exact_at(course, {0.0, 48.0});
  readings.push_back(reading(60.0, Sight::gravity, 12.5));
  readings.push_back(reading(61.0, Sight::refraction, 1.031));
  readings.push_back(reading(62.0, Sight::temperature, 68.0));
  readings.push_back(reading(63.0, Sight::gravity, std::nan("")));
  readings.push_back(reading(64.0, Sight::pressure, 14.5));
  const Watch seen = watch(readings, 70.0);
  ASSERT_EQ(seen.questions.size(), 5u);
  EXPECT_NEAR(seen.questions[0].likely_value.value_or(0.0), 1.0505, 0.0005);  // 12.5 P, ASBC wort table
  EXPECT_NEAR(seen.questions[2].likely_value.value_or(0.0), 20.0, 1e-9);
  EXPECT_NEAR(seen.questions[4].likely_value.value_or(0.0), 1.0, 0.001);
  EXPECT_EQ(seen.watched.size(), 2u);
  EXPECT_EQ(seen.state, FermentState::as_expected);
}

// ---- Closing up

TEST(Watch, OneReadingNeverMakesABottleSafe) {
  const Course course(harvest(), plain_truth());
  for (double hour : {200.0, 300.0, 600.0, 1000.0}) {
    EXPECT_NE(watch(exact_at(course, {hour}), hour + 1.0).bottling.verdict, CloseUp::yes) << hour;
  }
}

TEST(Watch, TwoReadingsAlikeThreeDaysApartMakeIt) {
  const Course course(harvest(), plain_truth());
  EXPECT_EQ(watch(exact_at(course, {0.0, 72.0, 312.0, 384.0}), 385.0).bottling.verdict, CloseUp::yes);
  EXPECT_NE(watch(exact_at(course, {0.0, 72.0, 360.0, 384.0}), 385.0).bottling.verdict, CloseUp::yes);
}

TEST(Watch, SteadyButTooHighIsDangerInGlass) {
  Truth truth = plain_truth();
  truth.stops_at = 0.65;
  const Course course(harvest(), truth);
  const Watch seen = watch(exact_at(course, {0.0, 72.0, 192.0, 264.0, 336.0}), 340.0);
  EXPECT_EQ(seen.state, FermentState::stuck);
  EXPECT_EQ(seen.bottling.verdict, CloseUp::danger);
  ASSERT_FALSE(seen.bottling.containers.empty());
  EXPECT_GT(seen.bottling.containers.front().over_rating, 0.9);
  EXPECT_GT(seen.bottling.volumes_to_come.median, 3.0);
}

TEST(Watch, PressureOfTheSurePathIsThatOfTheBottleModel) {
  const Course course(harvest(), plain_truth());
  const Watch seen = watch(exact_at(course, {0.0, 72.0, 312.0, 384.0, 480.0}), 481.0);
  process::BottleFill fill;
  fill.volumes = harvest().brief.carbonation_volumes;
  fill.leftover_volumes = seen.bottling.volumes_to_come.median;
  fill.closed_at_c = harvest().course.temperature_c;
  const auto forecast = process::bottle_forecast(fill);
  ASSERT_TRUE(forecast);
  // Alcohol and extract of this beer move the neck's room a little.
  EXPECT_NEAR(seen.bottling.containers.front().pressure_bar.median, forecast->warmest.gauge_bar, 0.05);
}

TEST(Watch, ADiastaticYeastWaitsLonger) {
  compose::Proposal proposal = harvest().proposal;
  proposal.yeast.yeast->dextrin_uptake = 0.3;
  const Course course(harvest(), plain_truth());
  const Watch seen = watch_of(harvest().brief, proposal, exact_at(course, {0.0, 312.0, 384.0}), at(385.0),
                              {.pitched = pitched, .dosed = {}});
  EXPECT_EQ(seen.bottling.wanted_hours, steady_hours_long);
  EXPECT_NE(seen.bottling.verdict, CloseUp::yes);
}

TEST(Watch, ABeerThatFallsBelowItsEndIsNotBottled) {
  Truth truth = plain_truth();
  const Course course(harvest(), truth);
  std::vector<TimedReading> readings = exact_at(course, {0.0, 72.0, 264.0, 336.0});
  for (double hour : {408.0, 456.0, 504.0, 552.0}) {
    readings.push_back(reading(hour, Sight::gravity, course.gravity(336.0) - 0.001 * (hour - 336.0) / 24.0));
  }
  const Watch seen = watch(readings, 553.0);
  EXPECT_EQ(seen.state, FermentState::refermenting);
  EXPECT_NE(seen.bottling.verdict, CloseUp::yes);
}

// ---- A late dose

TEST(Watch, ADoseIsWaitedForThenWatchedThenDone) {
  compose::Brief brief = compose::sample::harvest();
  compose::Supply honey = compose::sample::all_of("honey", 250.0 * gram);
  honey.route = compose::Route::infusion;
  brief.given.push_back(honey);
  const compose::Answer answer = compose::compose(brief);
  ASSERT_FALSE(answer.proposals.empty());
  const compose::Proposal& proposal = answer.proposals[0];
  const process::FermentationCourse course = process::fermentation_course(proposal.plan, proposal.yeast);
  ASSERT_TRUE(course.dose && course.dose->hour.usual && course.dose->refermented.usual);
  const double dosed = *course.dose->hour.usual;
  const auto forecast_at = [&](double hour) {
    const auto at_point =
        std::min(static_cast<std::size_t>(hour / process::course_step_hours), course.points.size() - 1);
    return course.points[at_point].gravity_sg.usual;
  };
  std::vector<TimedReading> readings;
  for (double hour : {0.0, 48.0, dosed - 3.0}) readings.push_back(reading(hour, Sight::gravity, forecast_at(hour)));
  const Watch before = watch_of(brief, proposal, readings, at(dosed - 2.0), {.pitched = pitched, .dosed = {}});
  EXPECT_NE(before.bottling.verdict, CloseUp::yes);
  EXPECT_EQ(before.bottling.wanted_hours, steady_hours_long);
  const WatchFacts facts{.pitched = pitched, .dosed = at(dosed)};
  for (double hour : {dosed + 6.0, dosed + 24.0}) readings.push_back(reading(hour, Sight::gravity, forecast_at(hour)));
  const Watch during = watch_of(brief, proposal, readings, at(dosed + 12.0), facts);
  EXPECT_EQ(during.state, FermentState::refermenting);
  for (double hour : {dosed + 300.0, dosed + 480.0})
    readings.push_back(reading(hour, Sight::gravity, forecast_at(hour)));
  const Watch after = watch_of(brief, proposal, readings, at(dosed + 481.0), facts);
  EXPECT_TRUE(after.questions.empty());
  EXPECT_EQ(after.state, FermentState::finished);
  EXPECT_NEAR(after.end_sg.median, course.end_sg.usual, 0.001);
  EXPECT_EQ(after.bottling.verdict, CloseUp::yes) << (after.bottling.reasons.empty() ? "" : after.bottling.reasons[0]);
}

TEST(Watch, ARecipeWithoutYeastIsNotFollowed) {
  compose::Proposal proposal = harvest().proposal;
  proposal.plan.steps.clear();
  const Watch seen = watch_of(harvest().brief, proposal, {}, at(10.0));
  EXPECT_EQ(seen.state, FermentState::cannot_tell);
  EXPECT_FALSE(seen.reasons.empty());
}

TEST(Watch, TheNextReadingIsAheadAndTheLastOneThatDoesNotFitIsReadAgain) {
  const Course course(harvest(), plain_truth());
  std::vector<TimedReading> readings = exact_at(course, {0.0, 24.0, 48.0, 72.0});
  const Watch seen = watch(readings, 73.0);
  ASSERT_TRUE(seen.next);
  EXPECT_GT(seen.next->at, at(73.0));
  EXPECT_GT(seen.next->information_bits, 0.0);
  readings.push_back(reading(96.0, Sight::gravity, 1.065));
  const Watch again = watch(readings, 97.0);
  ASSERT_TRUE(again.next);
  EXPECT_LE(again.next->at, at(98.0));
}

}  // namespace
}  // namespace oddgrist::gyle

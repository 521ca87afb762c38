// How fast a kit cools, learned from temperatures read after the flame went out. The truths are not what the model supposes: kits lie evenly
// in a range, days likewise, the tap is not at 15 C.
#include "gyle/learn_cooling.hpp"

#include <cmath>
#include <random>

#include <gtest/gtest.h>

#include "brewers.hpp"
#include "gyle/learn.hpp"

namespace oddgrist::gyle {
namespace {

constexpr double stated_minutes = 20.0, boiling_c = 100.0, cold_c = 19.0;
const process::HopCourse stated_course(boiling_c, 0.0, 80.0, stated_minutes, cold_c);

Taken read_after(double minutes, double celsius) {
  Taken taken;
  taken.reading.sight = Sight::temperature;
  taken.reading.stage = Stage::after_boil;
  taken.reading.value = celsius;
  taken.hours_into_stage = minutes / 60.0;
  return taken;
}

Cooling stated() {
  Cooling cooling;
  restate(cooling, stated_minutes, false);
  return cooling;
}

// Newton's law of cooling written out, with another tap.
double celsius_at(double minute, double cooling_minutes, double tap_c) {
  const double pace = std::log((boiling_c - tap_c) / std::max(1.0, cold_c - tap_c)) / cooling_minutes;
  return tap_c + (boiling_c - tap_c) * std::exp(-pace * minute);
}

TEST(LearnCooling, TheCourseIsReadBackwards) {
  for (double minutes : {5.0, 20.0, 90.0}) {
    const process::HopCourse truth(boiling_c, 0.0, 80.0, minutes, cold_c);
    for (double share : {0.1, 0.5, 1.0})
      EXPECT_NEAR(stated_course.cooling_minutes_if(truth.temperature_c(share * minutes), share * minutes).value(),
                  minutes, 1e-9 * minutes);
  }
  const process::HopCourse stood(boiling_c, 30.0, 80.0, 15.0, cold_c);
  EXPECT_NEAR(stood.cooling_minutes_if(stood.temperature_c(37.0), 37.0).value(), 15.0, 1e-9);
  EXPECT_FALSE(stood.cooling_minutes_if(79.0, 20.0)) << "still in the stand";
  EXPECT_FALSE(stated_course.cooling_minutes_if(15.5, 30.0)) << "hardly warmer than the tap";
  EXPECT_FALSE(stated_course.cooling_minutes_if(101.0, 5.0)) << "hotter than at the start";
}

TEST(LearnCooling, OnlyATemperatureAfterAFlameOutThatWasSaidTells) {
  State state;
  state.readings = {read_after(12.0, 50.0)};
  EXPECT_TRUE(cooling_seen(stated_course, state));
  state.readings.front().hours_into_stage.reset();
  EXPECT_FALSE(cooling_seen(stated_course, state));
  state.readings = {read_after(12.0, 50.0)};
  state.readings.front().reading.stage = Stage::before_boil;
  EXPECT_FALSE(cooling_seen(stated_course, state));
  state.readings = {read_after(1.0, 95.0)};
  EXPECT_FALSE(cooling_seen(stated_course, state)) << "too soon to tell";
  state.readings = {read_after(150.0, 20.0)};
  EXPECT_FALSE(cooling_seen(stated_course, state)) << "cold, and nobody knows since when";
}

TEST(LearnCooling, SharpensComesToTheTruthAndHoldsFourOfFiveDays) {
  std::mt19937_64 dice(20261125);
  const auto even = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(dice); };
  constexpr int brewers = 1000, gyles = 5;
  int first_held = 0, held = 0;
  double first_off = 0.0, off = 0.0;
  for (int b = 0; b < brewers; ++b) {
    const double own = stated_minutes * std::exp(even(-1.0, 1.0) * std::log(2.1));
    const auto day = [&] { return own * std::exp(even(-1.0, 1.0) * std::log(1.25)); };
    Cooling cooling = stated();
    double width = 1e9;
    for (int g = 0; g < gyles; ++g) {
      const double minutes = day(), at = even(0.3, 0.9) * minutes;
      State state;
      state.readings = {read_after(at + even(-1.0, 1.0), celsius_at(at, minutes, even(13.0, 17.0)) + even(-0.8, 0.8))};
      const auto seen = cooling_seen(stated_course, state);
      if (g == 0) {
        const double truth = day();
        const CoolingDay before = coming_day(cooling);
        first_held += before.low <= truth && truth <= before.high;
        first_off += std::abs(std::log(truth / before.usual));
      }
      if (g > 0) forget(cooling, kept_a_gyle);
      if (seen) learn(cooling, *seen);
      if (g > 0) continue;
      EXPECT_LT(std::log(coming_day(cooling).high / coming_day(cooling).low), width);
      width = std::log(coming_day(cooling).high / coming_day(cooling).low);
    }
    const double truth = day();
    const CoolingDay after = coming_day(cooling);
    held += after.low <= truth && truth <= after.high;
    off += std::abs(std::log(truth / after.usual));
  }
  EXPECT_GT(first_held, 0.75 * brewers);
  EXPECT_LT(first_held, 0.85 * brewers);
  EXPECT_GT(held, 0.75 * brewers);
  EXPECT_LT(held, 0.85 * brewers);
  EXPECT_LT(off, 0.5 * first_off);
}

TEST(LearnCooling, AnotherChillerLetsGoAndWhatIsStatedWhereItIsBelievedDoesNot) {
  Cooling cooling = stated();
  for (int g = 0; g < 4; ++g) learn(cooling, {std::log(35.0), 0.002});
  EXPECT_EQ(cooling.gyles, 4);
  restate(cooling, 34.0, false);
  EXPECT_EQ(cooling.gyles, 4);
  EXPECT_NEAR(coming_day(cooling).usual, 35.0, 2.0);
  restate(cooling, 8.0, false);
  EXPECT_EQ(cooling.gyles, 0);
  EXPECT_EQ(cooling.let_go, 1);
  EXPECT_NEAR(coming_day(cooling).usual, 8.0, 1e-9);
}

TEST(LearnCooling, ABriefReckonsWithIt) {
  hidden::Brewer brewer(hidden::planned().brief, hidden::planned().recipe, 21);
  hidden::Day day = brewer.brew();
  State state = day.state();
  state.readings.push_back(read_after(20.0, 55.0));
  const PastGyle gyle{day.brief, &state};
  const KitKnowledge knowledge = learned_from({&gyle, 1});
  ASSERT_EQ(knowledge.cooling.gyles, 1);
  const double before = day.brief->kit.flame_out_to_cold.in(minute);
  const double after = with_learned(*day.brief, knowledge).kit.flame_out_to_cold.in(minute);
  EXPECT_GT(after, 1.3 * before) << "still at 55 C after 20 minutes";
  EXPECT_NEAR(after, coming_day(knowledge.cooling).usual, 1e-9);
  const LearnedFigure last = figures_of(knowledge).back();
  EXPECT_EQ(last.name, "cooling after the boil");
  EXPECT_EQ(last.gyles, 1);
  EXPECT_LT(last.learned_low, last.learned);
  EXPECT_LT(last.learned, last.learned_high);
  EXPECT_GT(last.narrower, 0.3);
}

}  // namespace
}  // namespace oddgrist::gyle

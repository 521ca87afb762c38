#include <gtest/gtest.h>

#include <sstream>

#include "present/watch.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using gyle::Instant;

const Instant pitched{std::chrono::sys_days{std::chrono::year{2026} / 11 / 2}};

gyle::TimedReading reading(double hour, gyle::Sight sight, double value) {
  gyle::TimedReading timed;
  timed.at = pitched + std::chrono::hours(static_cast<int>(hour));
  timed.reading.sight = sight;
  timed.reading.value = value;
  return timed;
}

// Typed by hand, easy to find again in a text.
gyle::Watch typed() {
  gyle::Watch watch;
  watch.state = gyle::FermentState::stuck;
  watch.chance = 0.83;
  watch.chances = {0.0, 0.1, 0.07, 0.83, 0.0, 0.0};
  watch.reasons = {"It stands."};
  watch.pitched = pitched;
  watch.hour = 120.0;
  watch.gravity_now_sg = {1.021, 1.022, 1.023};
  watch.start_sg = {1.056, 1.057, 1.058};
  watch.end_sg = {1.019, 1.0205, 1.022};
  watch.abv_percent_now = {4.4, 4.6, 4.8};
  watch.finished_hour = gyle::Band{192.0, 216.0, 264.0};
  watch.never_share = 0.8;
  for (double hour = 0.0; hour <= 288.0; hour += 12.0) {
    const double middle = 1.022 + 0.035 * std::exp(-hour / 40.0);
    watch.curve.push_back({hour, {middle - 0.001, middle, middle + 0.001}});
  }
  watch.watched = {{0, 0.0, 1.057, 0.001, false}, {1, 48.0, 1.045, 0.001, true}};
  watch.questions = {
      {1, "two do not agree", gyle::Band{1.031, 1.032, 1.033}, 0.001, "two digits changed places", 1.0321}};
  watch.next = gyle::NextReading{pitched + std::chrono::hours(144), "Then it shows.", 0.5};
  watch.bottling.verdict = gyle::CloseUp::danger;
  watch.bottling.reasons = {"Danger: glass.", "Wait."};
  watch.bottling.containers = {{science::Container::one_way_glass, 3.5, {5.0, 6.0, 7.0}, 3.1, 0.97, 0.9}};
  return watch;
}

TEST(WatchText, SaysVerdictDoubtsAndDangerInEightyColumns) {
  compose::Brief brief;
  brief.name = "Harvest ale";
  compose::Proposal proposal;
  proposal.yeast.name = "ale yeast";
  const std::vector<gyle::TimedReading> readings = {reading(0.0, gyle::Sight::gravity, 1.057),
                                                    reading(48.0, gyle::Sight::gravity, 1.045)};
  const std::string text = watch_text(brief, proposal, readings, typed());
  for (const char* part :
       {"Stuck, 83 % likely", "1.022 (1.021 to 1.023)", "NO. Danger: glass.", "Wed 11 Nov", "does not fit",
        "Perhaps two digits changed places. Then it was 1.032.", "Sun 8 Nov, 00:00. Then it shows.", "97 %"}) {
    EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
  }
  std::istringstream lines(text);
  int odd = 0, seen = 0;
  for (std::string line; std::getline(lines, line);) {
    EXPECT_LE(columns(line), 80u) << line;
    if (line.find('|') == std::string::npos || line.find(':') == std::string::npos) continue;
    odd += line.find('?') != std::string::npos;
    seen += line.find('o') != std::string::npos;
  }
  EXPECT_GE(odd, 1);
  EXPECT_GE(seen, 1);
}

TEST(WatchText, WithoutACourseItSaysSoAndDrawsNothing) {
  gyle::Watch watch;
  watch.reasons = {"There is no yeast."};
  const std::string text = watch_text({}, {}, {}, watch);
  EXPECT_NE(text.find("There is no yeast."), std::string::npos);
  EXPECT_EQ(text.find('|'), std::string::npos);
}

TEST(WatchText, EverySightHasItsScale) {
  EXPECT_EQ(sight_value(gyle::Sight::gravity, 1.0314), "1.031");
  EXPECT_EQ(sight_value(gyle::Sight::refraction, 8.25), "8.2 \u00b0Bx");
  EXPECT_EQ(sight_value(gyle::Sight::temperature, 19.5), "19.5 \u00b0C");
  EXPECT_EQ(sight_value(gyle::Sight::ph, 4.4), "pH 4.40");
  EXPECT_EQ(sight_value(gyle::Sight::pressure, 0.4), "0.40 bar");
}

TEST(GasText, TheDangersStandInEveryAnswer) {
  gyle::GasPlan plan;
  plan.begun = pitched;
  for (int hours : {1, 23, 60}) {
    const Instant now = pitched + std::chrono::hours(hours);
    const gyle::GasCourse course = gyle::gas_course(plan, {}, now);
    const std::string text = gas_text(plan, {}, course, now, false);
    EXPECT_NE(text.find("relief valve"), std::string::npos);
    EXPECT_NE(text.find("Carbon dioxide chokes"), std::string::npos);
    EXPECT_EQ(text.find("TURN IT DOWN NOW") != std::string::npos, hours == 60);
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(columns(line), 80u) << line;
  }
}

TEST(GasText, ARefusedPressureGetsNoTimes) {
  gyle::GasPlan plan;
  plan.keg_rating_bar = 1.0;
  const std::string text = gas_text(plan, {}, gyle::gas_course(plan, {}, plan.begun), plan.begun, false);
  EXPECT_NE(text.find("more than the keg bears"), std::string::npos);
  EXPECT_EQ(text.find("Turn down"), std::string::npos);
}

}  // namespace
}  // namespace oddgrist::present

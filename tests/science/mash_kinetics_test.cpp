// Starch in the mash: what must hold on any course, and the behaviour the literature agrees on. Figures are in
// tests/outside/mash.csv.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>

#include "science/mash_kinetics.hpp"

namespace {

using namespace oddgrist::science;

double between(double low, double high) {
  constexpr int steps = 1'000'000;
  return low + (high - low) * *rc::gen::inRange(0, steps + 1) / steps;
}

std::vector<TemperatureLeg> some_course() {
  std::vector<TemperatureLeg> course;
  const int legs = *rc::gen::inRange(1, 6);
  double temperature_c = between(20, 80);
  for (int i = 0; i < legs; ++i) {
    const double next_c = between(20, 100);
    switch (*rc::gen::inRange(0, 3)) {
      case 0: course.push_back(temperature_hold(temperature_c, between(0, 90))); break;
      case 1: course.push_back(temperature_ramp(temperature_c, next_c, between(0, 60))); break;
      default:
        course.push_back(temperature_cooling(temperature_c, between(0, 30), between(30, 1000), between(0, 120)));
        break;
    }
    temperature_c =
        *rc::gen::inRange(0, 4) == 0 ? next_c : temperature_in_leg_c(course.back(), course.back().duration_min);
  }
  return course;
}

MashMoment end_of_rest(double temperature_c, double minutes, const MashCharge& charge = {}) {
  const MashConversion conversion = mash_conversion_brandam(charge, {temperature_hold(temperature_c, minutes)}, 1440.0);
  return conversion.moments.at(conversion.moments.size() - 1);
}

double limit_of_rest(double temperature_c, double minutes) {
  return mash_apparent_attenuation_limit(end_of_rest(temperature_c, minutes));
}

RC_GTEST_PROP(MashKinetics, StarchAndWaterAreConserved, ()) {
  const MashCharge charge{between(0, 3), between(0, 3), between(-15, 30)};
  const MashConversion conversion = mash_conversion_brandam(charge, some_course(), between(1, 60));
  RC_ASSERT(conversion.status == MashStatus::ok);
  for (const MashMoment& m : conversion.moments) {
    const double mass = m.unconverted_starch() + m.dextrin + m.fermentable() - m.water_bound;
    RC_ASSERT(std::abs(mass - 1.0) < 1e-6);
    // Each molecule of sugar, whatever its length, has taken up one molecule of water.
    const double water = 18.015 * (m.glucose / 180.156 + m.maltose / 342.297 + m.maltotriose / 504.438);
    RC_ASSERT(std::abs(water - m.water_bound) < 1e-6);
  }
}

RC_GTEST_PROP(MashKinetics, OnlyEverGoesForward, ()) {
  const MashConversion conversion = mash_conversion_brandam({}, some_course(), between(1, 30));
  RC_ASSERT(conversion.status == MashStatus::ok);
  for (std::size_t i = 1; i < conversion.moments.size(); ++i) {
    const MashMoment &before = conversion.moments[i - 1], &after = conversion.moments[i];
    RC_ASSERT(after.minute >= before.minute);
    RC_ASSERT(after.solid_starch <= before.solid_starch + 1e-6);
    RC_ASSERT(after.unconverted_starch() <= before.unconverted_starch() + 1e-6);
    RC_ASSERT(after.fermentable() >= before.fermentable() - 1e-6);
    RC_ASSERT(std::isfinite(mash_apparent_attenuation_limit(after)));
    RC_ASSERT(after.fermentable_share() >= 0.0 && after.fermentable_share() <= 1.0);
  }
}

// Where the reports are taken must not matter to the end.
RC_GTEST_PROP(MashKinetics, ReportingDoesNotDisturb, ()) {
  const auto course = some_course();
  const auto fine = mash_conversion_brandam({}, course, 1.0), coarse = mash_conversion_brandam({}, course, 1440.0);
  const auto split = [&] {
    auto halves = course;
    if (halves[0].shape == TemperatureLeg::Shape::hold) {
      halves[0].duration_min /= 2.0;
      halves.insert(halves.begin(), halves[0]);
    }
    return mash_conversion_brandam({}, halves, 1440.0);
  }();
  RC_ASSERT(std::abs(fine.moments.back().maltose - coarse.moments.back().maltose) < 1e-5);
  RC_ASSERT(std::abs(split.moments.back().maltose - coarse.moments.back().maltose) < 1e-5);
}

TEST(MashKinetics, FermentabilityFallsFrom63To72) {
  for (double t = 63.0; t < 72.0; t += 0.5) EXPECT_GT(limit_of_rest(t, 60.0), limit_of_rest(t + 0.5, 60.0)) << t;
}

TEST(MashKinetics, LongerRestIsMoreFermentable) {
  for (const double t : {60.0, 63.0, 65.0, 68.0, 70.0}) {
    for (double minutes = 15.0; minutes < 120.0; minutes += 15.0) {
      EXPECT_LT(limit_of_rest(t, minutes), limit_of_rest(t, minutes + 15.0)) << t << " C, " << minutes << " min";
    }
  }
}

TEST(MashKinetics, ExtractIsFlatFrom63To70AndLowerBelow60) {
  for (double t = 63.0; t <= 70.0; t += 1.0) EXPECT_LT(end_of_rest(t, 60.0).unconverted_starch(), 0.01) << t;
  EXPECT_GT(end_of_rest(58.0, 60.0).unconverted_starch(), 0.02);
  EXPECT_GT(end_of_rest(55.0, 60.0).unconverted_starch(), end_of_rest(58.0, 60.0).unconverted_starch());
}

TEST(MashKinetics, UnswollenStarchWaits) {
  EXPECT_GT(end_of_rest(50.0, 15.0).unconverted_starch(), 0.85);
  MashCharge maize;
  maize.gelatinisation_shift_c = 10.0;
  EXPECT_GT(end_of_rest(65.0, 15.0, maize).unconverted_starch(), end_of_rest(65.0, 15.0).unconverted_starch() + 0.3);
}

TEST(MashKinetics, DeadEnzymesConvertNothingMore) {
  MashCharge none{0.0, 0.0, 0.0};
  EXPECT_NEAR(end_of_rest(65.0, 60.0, none).unconverted_starch(), 1.0, 1e-9);
  const auto conversion = mash_conversion_brandam(
      {}, {temperature_hold(66.0, 30.0), temperature_ramp(66.0, 95.0, 20.0), temperature_hold(95.0, 60.0)}, 10.0);
  ASSERT_EQ(conversion.status, MashStatus::ok);
  const std::size_t last = conversion.moments.size() - 1;
  EXPECT_NEAR(conversion.moments[last].maltose, conversion.moments[last - 5].maltose, 1e-6);
  EXPECT_LT(conversion.moments[last].alpha_active, 1e-6);
}

// What the four constants were set to give; a change of any of them shows here. Points of apparent attenuation.
TEST(MashKinetics, CalibrationHolds) {
  const std::pair<double, double> rests[] = {{63.5, 83.0}, {66.5, 79.5}, {68.5, 75.0}, {72.0, 65.0}};
  for (const auto& [t, limit] : rests) EXPECT_NEAR(100.0 * limit_of_rest(t, 60.0), limit, 2.5) << t;
  EXPECT_NEAR(100.0 * limit_of_rest(63.0, 180.0), 88.0, 2.5);
  const auto congress = mash_conversion_brandam(
      {}, {temperature_hold(45.0, 30.0), temperature_ramp(45.0, 70.0, 25.0), temperature_hold(70.0, 60.0)});
  EXPECT_NEAR(100.0 * mash_apparent_attenuation_limit(congress.moments.back()), 81.0, 2.5);
}

// A model that gives no number must come back as a status with the integrator's own words.
TEST(MashKinetics, ReportsTheIntegratorsFailure) {
  MashKineticsParams broken;
  broken.dextrin_rate = std::numeric_limits<double>::quiet_NaN();
  const MashConversion conversion = mash_conversion_brandam({}, {temperature_hold(65.0, 60.0)}, 10.0, broken);
  EXPECT_EQ(conversion.status, MashStatus::integration_failed);
  EXPECT_NE(conversion.reason.find("CV_"), std::string::npos) << conversion.reason;
  EXPECT_TRUE(conversion.moments.empty());
}

TEST(MashKinetics, RefusesBadCoursesAndCharges) {
  const auto status = [](const MashCharge& charge, const std::vector<TemperatureLeg>& course) {
    const MashConversion conversion = mash_conversion_brandam(charge, course);
    EXPECT_EQ(conversion.moments.empty(), conversion.status != MashStatus::ok);
    EXPECT_EQ(conversion.reason.empty(), conversion.status == MashStatus::ok);
    return conversion.status;
  };
  const std::vector<TemperatureLeg> good{temperature_hold(66.0, 60.0)};
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(status({}, good), MashStatus::ok);
  EXPECT_EQ(status({}, {temperature_hold(66.0, 0.0)}), MashStatus::ok);
  EXPECT_EQ(status({}, {}), MashStatus::bad_course);
  EXPECT_EQ(status({}, {temperature_hold(166.0, 60.0)}), MashStatus::bad_course);
  EXPECT_EQ(status({}, {temperature_hold(nan, 60.0)}), MashStatus::bad_course);
  EXPECT_EQ(status({}, {temperature_hold(66.0, -1.0)}), MashStatus::bad_course);
  EXPECT_EQ(status({}, {temperature_ramp(66.0, nan, 10.0)}), MashStatus::bad_course);
  EXPECT_EQ(status({}, {temperature_cooling(66.0, 20.0, 0.0, 10.0)}), MashStatus::bad_course);
  EXPECT_EQ(status({-1.0, 1.0, 0.0}, good), MashStatus::bad_charge);
  EXPECT_EQ(status({1.0, nan, 0.0}, good), MashStatus::bad_charge);
  EXPECT_EQ(status({1.0, 1.0, 90.0}, good), MashStatus::bad_charge);
}

}  // namespace

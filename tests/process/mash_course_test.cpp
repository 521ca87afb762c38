// The mash course against heat balances worked by hand, and against laws that hold for every course.
#include "process/mash_course.hpp"

#include <cmath>
#include <limits>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "larder/catalogue.hpp"
#include "process/forecast.hpp"

namespace oddgrist::process {
namespace {

double between(double low, double high) { return low + (high - low) * (*rc::gen::inRange(0, 1000001) / 1e6); }

// Poured onto 20 C grain, one rest, a vessel that hardly cools.
MashSetting plain(double grist_kg, double liquor_kg, double rest_c) {
  MashSetting setting;
  setting.grist_kg = grist_kg;
  setting.liquor_kg = liquor_kg;
  setting.time_constant_minutes = 1e6;
  setting.rests = {{rest_c, 60.0}};
  return setting;
}

MashCourse course_of(const MashSetting& setting) {
  const MashCourseVerdict verdict = mash_course(setting);
  EXPECT_TRUE(verdict.course) << verdict.refusal;
  return verdict.course.value_or(MashCourse{});
}

// Heat capacities: water 4.18, malt 0.40 cal/(g K) = 1.67 kJ/(kg K): Hopkins & Krause, Biochemistry Applied to Malting and Brewing,
// 1947; Briggs, Boulton, Brookes & Stevens, Brewing: Science and Practice, 2004 (from memory). Figures below by hand from them.
TEST(MashCourse, StrikeByHand) {
  // 3 x 4.18 x (T - 66) = 1.67 x (66 - 20): T = 66 + 76.82/12.54 = 72.126
  EXPECT_NEAR(course_of(plain(1.0, 3.0, 66.0)).strike_c, 72.126, 5e-4);
  // A kettle of 0.5 kJ/K at 20 C: 66 + (76.82 + 23)/12.54 = 73.960
  MashSetting with_kettle = plain(1.0, 3.0, 66.0);
  with_kettle.kettle_heat_kj_per_k = 0.5;
  EXPECT_NEAR(course_of(with_kettle).strike_c, 73.960, 5e-4);
  // The same kettle as hot as the liquor gives heat instead: 66 + 76.82/(12.54 + 0.5) = 71.891
  with_kettle.heated_in_kettle = true;
  EXPECT_NEAR(course_of(with_kettle).strike_c, 71.891, 5e-4);
  // 20 kJ/kg of wetting: 66 + (76.82 - 20)/12.54 = 70.531
  MashSetting wetting = plain(1.0, 3.0, 66.0);
  wetting.heat.slaking_kj_per_kg = 20.0;
  EXPECT_NEAR(course_of(wetting).strike_c, 70.531, 5e-4);
  // 5 kg at 18 C, 20 kg water, kettle 3 kJ/K at 18 C, 67 C: 67 + (8.35 + 3) x 49/83.6 = 73.653
  MashSetting larger = plain(5.0, 20.0, 67.0);
  larger.room_c = larger.grain_c = 18.0;
  larger.kettle_heat_kj_per_k = 3.0;
  EXPECT_NEAR(course_of(larger).strike_c, 73.653, 5e-4);
}

// Classical rule of the British handbooks (common practice, no source): T_w = T + (0.41/R)(T - T_grain), R in L/kg. 0.41 stands for
// 1.67/4.18 = 0.3995 rounded up; at R = 3 and 46 K that is 0.16 K.
TEST(MashCourse, StrikeByTheClassicalRule) {
  EXPECT_NEAR(course_of(plain(1.0, 3.0, 66.0)).strike_c, 66.0 + 0.41 / 3.0 * 46.0, 0.17);
}

// 5 kg of grain in 15 kg of water, kettle 2 kJ/K, 50 to 66 C with 98 C water: (8.35 + 62.7 + 2) x 16/(4.18 x 32) = 8.738 kg, by hand.
TEST(MashCourse, InfusionByHandLeavesTheLiquorTheRecipes) {
  MashSetting setting = plain(5.0, 15.0 + 8.7380, 50.0);
  setting.kettle_heat_kj_per_k = 2.0;
  setting.infusion_c = 98.0;
  setting.rests = {{50.0, 0.0}, {66.0, 60.0}};
  const MashCourse course = course_of(setting);
  EXPECT_NEAR(course.strike_liquor_kg, 15.0, 1e-3);
  ASSERT_EQ(course.legs.size(), 4U);
  EXPECT_EQ(course.legs[2].kind, LegKind::infusion);
  EXPECT_NEAR(course.legs[2].liquor_kg, 8.738, 1e-3);
  EXPECT_NEAR(course.legs[0].liquor_kg + course.legs[2].liquor_kg, setting.liquor_kg, 1e-9);
}

// 52 to 65 C with a decoction at 99 C: 13/47 = 0.2766 of the mash's heat; 65 to 72 C: 7/34 = 0.2059. By hand.
TEST(MashCourse, DecoctionByHand) {
  MashSetting setting = plain(5.0, 15.0, 52.0);
  setting.step = RestStep::decoction;
  setting.decoction_c = 99.0;
  setting.rests = {{52.0, 0.0}, {65.0, 0.0}, {72.0, 0.0}};
  const MashCourse course = course_of(setting);
  EXPECT_NEAR(course.legs[2].share, 0.2766, 5e-5);
  EXPECT_NEAR(course.legs[4].share, 0.2059, 5e-5);
  // A kettle of a tenth of all the heat stays behind: a ninth more of the mash.
  const double mash_kj_per_k = 5.0 * 1.67 + 15.0 * 4.18;
  setting.kettle_heat_kj_per_k = mash_kj_per_k / 9.0;
  EXPECT_NEAR(course_of(setting).legs[2].share, 13.0 / 47.0 / 0.9, 1e-9);
}

// 20 kg of water and next to no grain from 30 to 80 C take 20 x 4.18 x 50 = 4180 kJ: at 2.5 kW and 80 % 34.83 min, by hand.
TEST(MashCourse, DirectHeatByHand) {
  MashSetting setting = plain(1e-9, 20.0, 30.0);
  setting.step = RestStep::direct;
  setting.power_kw = 2.5;
  setting.heater_efficiency = 0.8;
  setting.rests = {{30.0, 0.0}, {80.0, 0.0}};
  const MashCourse course = course_of(setting);
  EXPECT_NEAR(course.heated_kj(), 4180.0, 1.0);
  EXPECT_NEAR(course.legs[2].minutes, 34.83, 0.01);
}

// Newton's law by hand: 66 C in a room of 20 C with 10 h, after an hour 20 + 46 exp(-0.1) = 61.62 C.
TEST(MashCourse, CoolingByHand) {
  MashSetting setting = plain(1.0, 3.0, 66.0);
  setting.time_constant_minutes = 600.0;
  EXPECT_NEAR(course_of(setting).legs.back().end_c, 61.62, 5e-3);
  // 20 L to 4 L: the cube root of five, 0.585.
  EXPECT_NEAR(usual_time_constant_minutes(4.0) / usual_time_constant_minutes(20.0), 0.585, 5e-4);
}

MashSetting any_setting() {
  MashSetting setting;
  setting.grist_kg = between(0.3, 60.0);
  setting.liquor_kg = setting.grist_kg * between(2.0, 6.0);
  setting.kettle_heat_kj_per_k = between(0.0, 0.8) * setting.grist_kg;
  setting.heated_in_kettle = *rc::gen::inRange(0, 2) == 1;
  setting.room_c = between(2.0, 29.0);
  setting.grain_c = between(-10.0, 29.0);
  setting.time_constant_minutes = std::exp(between(std::log(90.0), std::log(2e4)));
  setting.held = *rc::gen::inRange(0, 4) == 0;
  setting.step = static_cast<RestStep>(*rc::gen::inRange(0, 3));
  setting.power_kw = between(0.2, 0.6) * setting.grist_kg;
  setting.heater_efficiency = between(0.6, 1.0);
  setting.infusion_c = between(88.0, 100.0);
  setting.decoction_c = between(88.0, 100.0);
  setting.heat.slaking_kj_per_kg = between(0.0, 40.0);
  const int rests = *rc::gen::inRange(1, 4);
  double temperature_c = between(45.0, 64.0);
  for (int i = 0; i < rests; ++i) {
    setting.rests.push_back({temperature_c, between(0.0, 90.0)});
    temperature_c = std::min(84.0, temperature_c + between(0.5, 12.0));
  }
  return setting;
}

// Heat lost in a leg, by the trapezium rule over its temperature: nothing of how the course itself reckons it.
double loss_by_temperature_kj(const MashCourse& course, const CourseLeg& leg) {
  constexpr int steps = 200;
  double integral = 0.0;
  for (int i = 0; i <= steps; ++i) {
    const double excess = temperature_in_leg_c(leg, leg.minutes * i / steps) - course.room_c;
    integral += (i == 0 || i == steps ? 0.5 : 1.0) * excess * leg.minutes / steps;
  }
  return course.loss_kj_per_minute_k * integral;
}

// The heat content at the end, from masses and temperature alone.
double stored_kj(const MashSetting& setting, const MashCourse& course) {
  double liquor_kg = 0.0;
  for (const CourseLeg& leg : course.legs) liquor_kg += leg.liquor_kg;
  return (setting.grist_kg * 1.67 + liquor_kg * 4.18 + setting.kettle_heat_kj_per_k) *
         (course.legs.back().end_c - setting.room_c);
}

// Energy in = energy stored + energy lost, for thousands of courses; and every leg starts where the last one ended.
TEST(MashCourse, EnergyBalances) {
  int courses = 0;
  const bool holds = rc::check("energy in = stored + lost", [&] {
    for (int i = 0; i < 50; ++i) {
      const MashSetting setting = any_setting();
      const MashCourseVerdict verdict = mash_course(setting);
      RC_ASSERT(verdict.course.has_value() == verdict.refusal.empty());
      if (!verdict.course) continue;
      ++courses;
      const MashCourse& course = *verdict.course;
      const double in = course.brought_kj() + course.heated_kj();
      const double scale = std::abs(in) + 1.0;
      double lost = 0.0, now_c = course.legs.front().end_c, minute = 0.0;
      for (const CourseLeg& leg : course.legs) {
        lost += loss_by_temperature_kj(course, leg);
        if (&leg != &course.legs.front()) RC_ASSERT(leg.start_c == now_c);
        RC_ASSERT(std::abs(leg.start_minute - minute) < 1e-9);
        RC_ASSERT(leg.lost_kj >= -1e-6 * scale);
        now_c = leg.end_c;
        minute += leg.minutes;
      }
      // The trapezium rule with 200 steps is good to (90/90)^2/(12 x 200^2) = 2e-6 of the loss.
      RC_ASSERT(std::abs(lost - course.lost_kj()) < 5e-6 * scale);
      RC_ASSERT(std::abs(in - stored_kj(setting, course) - lost) < 5e-6 * scale);
      RC_ASSERT(std::abs(in - course.stored_kj - course.lost_kj()) < 1e-9 * scale);
    }
  });
  EXPECT_TRUE(holds);
  EXPECT_GT(courses, 2000);
}

// With infusions the liquor adds up to the recipe's, whatever the rests.
RC_GTEST_PROP(MashCourse, InfusionsKeepTheLiquor, ()) {
  MashSetting setting = any_setting();
  setting.step = RestStep::infusion;
  const MashCourseVerdict verdict = mash_course(setting);
  RC_PRE(verdict.course.has_value());
  double liquor_kg = 0.0;
  for (const CourseLeg& leg : verdict.course->legs) {
    RC_ASSERT(leg.liquor_kg >= 0.0);
    liquor_kg += leg.liquor_kg;
  }
  RC_ASSERT(std::abs(liquor_kg - setting.liquor_kg) < 1e-8 * setting.liquor_kg);
}

double limit_of_held(double rest_c, double minutes) {
  MashSetting setting = plain(4.0, 12.0, rest_c);
  setting.held = true;
  setting.rests = {{rest_c, minutes}};
  const CourseConversion conversion = mash_conversion(course_of(setting), science::diastatic_power_pale_malt_wk);
  EXPECT_EQ(conversion.usual.status, science::MashStatus::ok) << conversion.usual.reason;
  return science::mash_apparent_attenuation_limit(conversion.usual.moments.back());
}

// Every source agrees on the fall from 63 to 72 C (Briggs et al. 2004, from memory), whatever the hour.
TEST(MashCourse, FermentabilityFallsFrom63To72) {
  for (const double minutes : {45.0, 60.0, 90.0}) {
    double before = limit_of_held(63.0, minutes);
    for (double rest_c = 63.5; rest_c <= 72.0; rest_c += 0.5) {
      const double limit = limit_of_held(rest_c, minutes);
      EXPECT_LT(limit, before) << rest_c << " C, " << minutes << " min";
      before = limit;
    }
  }
}

// A one-step mash that cools is more fermentable than one held at 70 C: it passes where beta-amylase lives.
TEST(MashCourse, CoolingFrom70MakesMoreSugar) {
  MashSetting setting = plain(4.0, 12.0, 70.0);
  setting.time_constant_minutes = 300.0;
  const CourseConversion cooling = mash_conversion(course_of(setting), science::diastatic_power_pale_malt_wk);
  EXPECT_GT(science::mash_apparent_attenuation_limit(cooling.usual.moments.back()), limit_of_held(70.0, 60.0));
}

TEST(MashCourse, DecoctionBracketsItsEnzymes) {
  MashSetting setting = plain(4.0, 12.0, 52.0);
  setting.step = RestStep::decoction;
  setting.rests = {{52.0, 10.0}, {65.0, 40.0}};
  const CourseConversion conversion = mash_conversion(course_of(setting), 250.0);
  ASSERT_TRUE(conversion.least);
  EXPECT_LT(conversion.least->moments.back().fermentable(), conversion.usual.moments.back().fermentable());
  EXPECT_FALSE(mash_conversion(course_of(plain(4.0, 12.0, 65.0)), 250.0).least);
}

// ---- Impossible input: a reason and what to do, never a number.

void expect_refused(const MashSetting& setting, const std::string& reason) {
  const MashCourseVerdict verdict = mash_course(setting);
  EXPECT_FALSE(verdict.course) << reason;
  EXPECT_NE(verdict.refusal.find(reason), std::string::npos) << verdict.refusal;
  EXPECT_FALSE(verdict.remedy.empty());
}

TEST(MashCourse, RefusesWhatIsNoMash) {
  expect_refused(plain(0.0, 3.0, 66.0), "no grain");
  expect_refused(plain(-1.0, 3.0, 66.0), "no grain");
  expect_refused(plain(1.0, 0.0, 66.0), "no water");
  expect_refused(plain(1.0, 3.0, -300.0), "rest 1 is outside");
  expect_refused(plain(1.0, 3.0, 99.0), "rest 1 is outside");
  MashSetting none = plain(1.0, 3.0, 66.0);
  none.rests.clear();
  expect_refused(none, "no rest");
  MashSetting frozen = plain(1.0, 3.0, 66.0);
  frozen.grain_c = -280.0;
  expect_refused(frozen, "grain");
  MashSetting endless = plain(1.0, 3.0, 66.0);
  endless.rests[0].minutes = 1e9;
  expect_refused(endless, "rest 1 is longer");
}

TEST(MashCourse, RefusesWhatTheKitCannotDo) {
  // 1 kg of water to 1 kg of grain: 66 + 76.82/4.18 = 84 C is possible; half of that is not (103 C).
  EXPECT_TRUE(mash_course(plain(1.0, 1.0, 66.0)).course);
  expect_refused(plain(1.0, 0.5, 66.0), "boil");
  MashSetting falling = plain(1.0, 4.0, 66.0);
  falling.rests = {{66.0, 30.0}, {52.0, 30.0}};
  expect_refused(falling, "not above");
  MashSetting thick = plain(1.0, 2.0, 40.0);
  thick.rests = {{40.0, 10.0}, {52.0, 10.0}, {66.0, 60.0}};
  expect_refused(thick, "less than");
  MashSetting weak = plain(4.0, 12.0, 52.0);
  weak.step = RestStep::direct;
  weak.rests = {{52.0, 10.0}, {66.0, 60.0}};
  expect_refused(weak, "power");
  weak.power_kw = 0.01;
  weak.time_constant_minutes = 100.0;
  expect_refused(weak, "can never");
  MashSetting tepid = plain(4.0, 12.0, 52.0);
  tepid.infusion_c = 60.0;
  tepid.rests = {{52.0, 10.0}, {66.0, 60.0}};
  expect_refused(tepid, "infusion water");
  tepid.infusion_c = 104.0;
  expect_refused(tepid, "infusion water");
}

TEST(MashCourse, NumbersThatAreNoNumbersAreRefused) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (const double bad : {nan, std::numeric_limits<double>::infinity()}) {
    for (double MashSetting::*field :
         {&MashSetting::grist_kg, &MashSetting::liquor_kg, &MashSetting::kettle_heat_kj_per_k, &MashSetting::room_c,
          &MashSetting::grain_c, &MashSetting::boiling_c, &MashSetting::time_constant_minutes,
          &MashSetting::infusion_c}) {
      MashSetting setting = plain(4.0, 12.0, 52.0);
      setting.rests = {{52.0, 10.0}, {66.0, 60.0}};
      setting.*field = bad;
      EXPECT_FALSE(mash_course(setting).course);
    }
    expect_refused(plain(4.0, 12.0, bad), "rest 1");
  }
}

// ---- pH and enzymes

MashGrain grain(std::string_view name, double kg) {
  const larder::Ingredient* found = larder::catalogue().find(name);
  EXPECT_NE(found, nullptr) << name;
  return {found != nullptr ? *found : larder::Ingredient{}, kg};
}

Mixture<double> mash_of(const std::vector<MashGrain>& grains, double water_kg, double alkalinity_eq) {
  Mixture<double> mash;
  for (const MashGrain& each : grains) add_to(mash, each.ingredient.composition, each.mass_kg);
  mash[Component::water] += water_kg;
  mash[Component::calcium] += water_kg * 60e-6;
  mash[Component::magnesium] += water_kg * 8e-6;
  mash.alkalinity_eq += alkalinity_eq;
  return mash;
}

// Grain by grain the pH is the forecast's; the interval holds it, and lies within the lowest and highest malt when nothing else acts.
TEST(MashAcidity, GrainByGrainItIsTheForecasts) {
  const std::vector<MashGrain> grains = {grain("pale ale malt", 3.0), grain("crystal malt, dark", 0.3),
                                         grain("chocolate malt", 0.1)};
  for (const double alkalinity_eq : {-0.03, 0.0, 0.03}) {
    const Mixture<double> mash = mash_of(grains, 12.0, alkalinity_eq);
    const auto reading = mash_acidity(mash, grains);
    ASSERT_TRUE(reading);
    EXPECT_NEAR(reading->ph, mash_ph_20c(mash), 1e-9);
    ASSERT_TRUE(reading->interval);
    EXPECT_LT(reading->interval->low, reading->ph);
    EXPECT_GT(reading->interval->high, reading->ph);
    for (const GrainAcidity& each : reading->grains) EXPECT_FALSE(each.source.empty());
  }
  EXPECT_FALSE(mash_acidity(Mixture<double>{}, grains));
  EXPECT_FALSE(mash_acidity(mash_of({}, 12.0, 0.0), {}));
}

TEST(MashEnzymes, BlendByMass) {
  const std::vector<MashGrain> grains = {grain("pale ale malt", 3.0), grain("chocolate malt", 1.0)};
  const double pale_wk = grains[0].ingredient.malt->diastatic_power_wk;
  EXPECT_NEAR(*mash_diastatic_power_wk(grains), 0.75 * pale_wk, 1e-9);  // roast has none
  EXPECT_FALSE(mash_diastatic_power_wk({}));
}

// The setting of a plan has the forecast's own strike temperature.
TEST(MashSetting, StrikeIsTheForecasts) {
  for (const MashMethod method : {MashMethod::full_volume_bag, MashMethod::sparged}) {
    Kit kit;
    kit.mash_method = method;
    kit.room = 15.0 * celsius;
    Charge<double> charge;
    charge.mash_liquor[Component::water] = 12.0;
    charge.grist[Component::starch] = 2.0;
    charge.grist[Component::solids] = 1.0;
    charge.rest_temperature_c = 67.0;
    const auto plan = make_plan(kit, charge, Ferment{}, 2.4);
    const MashCourse course = course_of(mash_setting(kit, plan));
    EXPECT_NEAR(course.strike_c, forecast(plan).strike_temperature_c, 1e-9);
    EXPECT_NEAR(course.legs.front().end_c, 67.0, 0.0);
  }
}

}  // namespace
}  // namespace oddgrist::process

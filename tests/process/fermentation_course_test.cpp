// The course of a fermentation begins and ends where the forecast does, and loses nothing on the way.
#include "process/fermentation_course.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "larder/catalogue.hpp"
#include "process/forecast.hpp"
#include "quantity/gravity.hpp"
#include "science/vapour.hpp"

namespace oddgrist::process {
namespace {

double between(double low, double high) { return low + (high - low) * (*rc::gen::inRange(0, 1000001) / 1e6); }

const larder::Ingredient& yeast_named(const char* id) { return *larder::catalogue().find(id); }

// About ten litres of extract wort, so that no mash stands in the way.
struct Day {
  Kit kit;
  Charge<double> charge;
  Ferment ferment;
  larder::Ingredient yeast;

  explicit Day(const char* yeast_id, double malt_sugar_kg = 1.0, double yeast_kg = 0.010)
      : yeast(yeast_named(yeast_id)) {
    charge.mash_liquor[Component::water] = 12.0;
    charge.kettle.resize(1);
    charge.kettle[0].minutes_before_end = 60.0;
    Mixture<double>& wort = charge.kettle[0].mixture;
    wort[Component::glucose] = 0.13 * malt_sugar_kg;
    wort[Component::sucrose] = 0.03 * malt_sugar_kg;
    wort[Component::maltose] = 0.50 * malt_sugar_kg;
    wort[Component::maltotriose] = 0.14 * malt_sugar_kg;
    wort[Component::dextrin] = 0.20 * malt_sugar_kg;
    add_to(charge.yeast, yeast.composition, yeast_kg);
    ferment.yeast = *yeast.yeast;
    ferment.temperature_c = 19.0;
  }
  void dose(double sucrose_kg) {
    charge.infused_food[Component::sucrose] = sucrose_kg;
    charge.infused_food[Component::solids] = sucrose_kg;
  }
  [[nodiscard]] Plan<double> plan() const { return make_plan(kit, charge, ferment, 2.4); }
  [[nodiscard]] FermentationCourse course() const { return fermentation_course(plan(), yeast); }
};

double gravity_after(const Forecast<double>& run, const std::string& step, bool last) {
  double gravity = 0.0;
  for (const Moment<double>& moment : run.trace) {
    if (moment.step != step) continue;
    gravity = apparent_gravity_sg(moment.after);
    if (!last) break;
  }
  return gravity;
}

TEST(FermentationCourse, EndsWhereTheForecastEnds) {
  const Day day("neutral-ale-yeast");
  const FermentationCourse course = day.course();
  const Forecast<double> run = forecast(day.plan());
  ASSERT_EQ(course.status, CourseStatus::done);
  EXPECT_DOUBLE_EQ(course.original_gravity_sg, run.original_gravity_sg);
  EXPECT_NEAR(course.end_sg.usual, run.final_gravity_sg, 1e-9);
  EXPECT_NEAR(course.points.back().gravity_sg.usual, run.final_gravity_sg, 0.0005);
  EXPECT_NEAR(course.points.back().abv_percent, course.tolerance.abv_percent, 0.05);
  EXPECT_FALSE(course.dose.has_value());
}

TEST(FermentationCourse, WithADoseTheFirstEndIsThatBeforeIt) {
  Day day("neutral-ale-yeast");
  day.dose(0.2);
  const FermentationCourse course = day.course();
  const Forecast<double> run = forecast(day.plan(), Trace::on);
  ASSERT_TRUE(course.dose.has_value());
  EXPECT_NEAR(course.first_end_sg.usual, gravity_after(run, "ferment", false), 1e-9);
  EXPECT_NEAR(course.end_sg.usual, run.final_gravity_sg, 1e-9);
  EXPECT_NEAR(course.points.back().gravity_sg.usual, run.final_gravity_sg, 0.0005);
  ASSERT_TRUE(course.dose->hour.usual && course.dose->refermented.usual);
  EXPECT_EQ(*course.dose->hour.usual, *course.near_end.usual);
  EXPECT_GT(*course.dose->refermented.usual, *course.dose->hour.usual);
  // Just before the dose the gravity is within a thousandth of that end; at the dose it jumps by what the sugar weighs.
  const auto at = static_cast<std::size_t>(std::lround(*course.dose->hour.usual / course_step_hours));
  EXPECT_GT(course.points[at].gravity_sg.usual - course.points[at - 1].gravity_sg.usual, 0.0);
  EXPECT_NEAR(course.points[at].gravity_sg.usual, course.first_end_sg.usual + course.dose->rise_sg, near_end_sg + 1e-9);
}

RC_GTEST_PROP(FermentationCourse, GravityFallsAlcoholAndGasRise, ()) {
  Day day(*rc::gen::element("neutral-ale-yeast", "lager-yeast", "saison-yeast", "english-ale-yeast"), between(0.3, 1.6),
          between(0.003, 0.03));
  day.ferment.temperature_c = between(8.0, 26.0);
  if (*rc::gen::inRange(0, 2) == 0) day.dose(between(0.005, 0.3));
  const FermentationCourse course = day.course();
  RC_ASSERT(course.points.size() > 1U);
  const double dose_hour = course.dose && course.dose->hour.usual ? *course.dose->hour.usual : 1e9;
  constexpr double rounding = 2e-6;  // of the integration: 1 mg/L of sugar is 4e-7 in gravity
  for (std::size_t i = 0; i < course.points.size(); ++i) {
    const CoursePoint& now = course.points[i];
    RC_ASSERT(std::isfinite(now.gravity_sg.usual) && std::isfinite(now.abv_percent) && std::isfinite(now.gas_kg));
    RC_ASSERT(now.gravity_sg.low <= now.gravity_sg.usual && now.gravity_sg.usual <= now.gravity_sg.high);
    RC_ASSERT(now.fermentable_g_per_l >= 0.0);
    RC_ASSERT(now.gas_high_kg >= now.gas_kg);
    if (i == 0 || now.hour == dose_hour) continue;
    const CoursePoint& before = course.points[i - 1];
    RC_ASSERT(now.gravity_sg.usual <= before.gravity_sg.usual + rounding);
    RC_ASSERT(now.abv_percent >= before.abv_percent - 1e-3);
    RC_ASSERT(now.gas_kg >= before.gas_kg - 1e-6);
  }
}

RC_GTEST_PROP(FermentationCourse, MassIsKept, ()) {
  Day day("neutral-ale-yeast", between(0.3, 1.6));
  const bool dosed = *rc::gen::inRange(0, 2) == 0;
  if (dosed) day.dose(between(0.005, 0.3));
  const FermentationCourse course = day.course();
  const Forecast<double> run = forecast(day.plan(), Trace::on);
  double pitched_kg = 0.0, dose_kg = 0.0;
  for (const Moment<double>& moment : run.trace) {
    if (moment.step == "pitch") pitched_kg = total_mass_kg(moment.after);
    if (moment.step != "dose") continue;
    dose_kg = total_mass_kg(moment.added);
    for (const auto& removed : moment.removed) dose_kg -= total_mass_kg(removed.mixture);
  }
  for (const CoursePoint& point : course.points) {
    const bool has_dose = dosed && course.dose->hour.usual && point.hour >= *course.dose->hour.usual;
    const double in_kg = pitched_kg + (has_dose ? dose_kg : 0.0);
    RC_ASSERT(std::abs(total_mass_kg(point.beer) + point.gas_kg - in_kg) < 1e-9);
  }
}

TEST(FermentationCourse, RangeHoldsQuickAndSlow) {
  const FermentationCourse course = Day("neutral-ale-yeast").course();
  ASSERT_TRUE(course.near_end.usual && course.near_end.soonest && course.near_end.latest);
  EXPECT_LT(*course.near_end.soonest, *course.near_end.usual);
  EXPECT_LT(*course.near_end.usual, *course.near_end.latest);
  EXPECT_LT(course.end_sg.low, course.end_sg.usual);
  EXPECT_LT(course.end_sg.usual, course.end_sg.high);
  // "Most ales are done in 4 to 14 days at 18-20 C": common practice, no source.
  EXPECT_GT(*course.near_end.latest, 4.0 * 24.0);
  EXPECT_LT(*course.near_end.soonest, 14.0 * 24.0);
}

// 0.75 million cells a mL and degree (Boulton & Quain 2001, from memory) in 10 L of 12 P: 9e10 cells; 9 g at 1e10 a gram.
TEST(FermentationCourse, CountsTheCells) {
  const FermentationCourse course = Day("neutral-ale-yeast", 1.0, 0.010).course();
  const double plato = science::plato_from_specific_gravity_asbc(course.original_gravity_sg);
  EXPECT_NEAR(course.pitch.cells_wanted.usual, 0.75e6 * plato * course.volume_l * 1000.0, 1e6);
  EXPECT_NEAR(course.pitch.cells.usual, 10.0 * 1e10, 1e6);
  EXPECT_EQ(Day("neutral-ale-yeast", 1.0, 0.001).course().pitch.verdict, PitchVerdict::too_little);
  EXPECT_EQ(Day("neutral-ale-yeast", 1.0, 0.050).course().pitch.verdict, PitchVerdict::plenty);
  // A lager wants twice as many.
  EXPECT_NEAR(Day("lager-yeast").course().pitch.cells_wanted.usual, 2.0 * course.pitch.cells_wanted.usual, 1e6);
}

TEST(FermentationCourse, BeyondItsToleranceTheYeastStops) {
  const FermentationCourse course = Day("english-ale-yeast", 4.0, 0.05).course();
  EXPECT_EQ(course.tolerance.verdict, ToleranceVerdict::beyond);
  EXPECT_EQ(course.status, CourseStatus::stopped_by_alcohol);
  EXPECT_LT(course.points.back().abv_percent, 9.8);  // tolerance 9.5
  EXPECT_GT(course.points.back().fermentable_g_per_l, 5.0);
  EXPECT_FALSE(course.near_end.usual.has_value());
}

TEST(FermentationCourse, NothingToFermentIsSaid) {
  Day day("neutral-ale-yeast");
  day.charge.kettle.clear();
  EXPECT_EQ(day.course().status, CourseStatus::nothing_to_ferment);
  EXPECT_EQ(fermentation_course(Plan<double>{}, day.yeast).status, CourseStatus::nothing_to_ferment);
  EXPECT_TRUE(day.course().points.empty());
}

// A mole of ideal gas at 20 C and one atmosphere is 24.055 L (CODATA 2018): 44.009 g of carbon dioxide.
TEST(FermentationCourse, GasInARoom) {
  FermentationCourse course;
  course.temperature_c = 20.0;
  course.points.resize(1);
  course.points[0].gas_high_kg = 0.44009;
  course.peak_gas_kg_per_hour = 0.0044009;
  const RoomCheck room = room_check(course, 12.0);
  EXPECT_NEAR(room.gas_l, 240.55, 0.01);
  EXPECT_NEAR(room.peak_l_per_hour, 2.4055, 0.0001);
  EXPECT_NEAR(room.sealed_percent, 100.0 * 240.55 / 12240.55, 0.001);
  EXPECT_NEAR(room.closed_percent, 100.0 * 2.4055 / (2400.0 + 2.4055), 0.001);
  EXPECT_EQ(room.verdict, RoomVerdict::air_it);
  EXPECT_EQ(room_check(course, 2.0).verdict, RoomVerdict::danger);
  EXPECT_EQ(room_check(course, 100.0).verdict, RoomVerdict::low);
  EXPECT_LE(room_check(course, 0.1).closed_percent, room_check(course, 0.1).sealed_percent);
}

}  // namespace
}  // namespace oddgrist::process

#include "present/ferment_text.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "example.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using namespace example;

// A course typed by hand: falls from 1.050 to 1.010 in ten days.
process::FermentationCourse course() {
  process::FermentationCourse typed;
  typed.status = process::CourseStatus::done;
  typed.volume_l = 10.04;
  typed.temperature_c = 19.0;
  typed.original_gravity_sg = 1.050;
  typed.first_end_sg = {1.010, 1.008, 1.013};
  typed.end_sg = {1.009, 1.007, 1.012};
  typed.near_end = {120.0, 72.0, std::nullopt};
  typed.pitch.yeast_g = 9.0;
  typed.pitch.cells = {9e10, 4.5e10, 18e10};
  typed.pitch.cells_wanted = {1e11, 6e10, 1.3e11};
  typed.pitch.yeast_wanted_g = {10.0, 6.0, 13.0};
  typed.tolerance = {process::ToleranceVerdict::within, 5.3, 11.0};
  for (int i = 0; i <= 80; ++i) {
    process::CoursePoint point;
    point.hour = 3.0 * i;
    const double gravity = 1.050 - 0.040 * i / 80.0;
    point.gravity_sg = {gravity, gravity - 0.002, gravity + 0.003};
    point.gas_kg = point.gas_high_kg = 0.005 * i;
    typed.points.push_back(point);
  }
  return typed;
}

TEST(ferment_text, stays_within_eighty_columns_and_says_the_figures) {
  const std::string text = ferment_text(brief(), proposal(), course(), 12.0);
  for (const std::string& row : rows(text)) EXPECT_LE(columns(row), 80U) << row;
  const std::string flat = unwrapped(text);
  EXPECT_EQ(count(flat, "about 5.0 days (3.0 to more than 45)"), 1U) << text;
  EXPECT_EQ(count(flat, "range 1.008 to 1.013"), 1U);
  EXPECT_EQ(count(flat, "9.00 g (0.32 oz) of yeast holds about 90 thousand million living cells"), 1U) << text;
  EXPECT_EQ(count(text, "nan"), 0U);
  EXPECT_EQ(count(text, "before the late dose"), 0U);
}

TEST(ferment_text, us_units_come_first_when_asked) {
  Brief us = brief();
  us.us_units_first = true;
  EXPECT_EQ(count(ferment_text(us, proposal(), course(), std::nullopt), "2.65 US gal (10.0 L)"), 1U);
}

TEST(ferment_text, curve_falls_from_the_top_left_to_the_bottom_right) {
  std::vector<std::size_t> stars;
  for (const std::string& row : rows(ferment_text(brief(), proposal(), course(), std::nullopt))) {
    const auto bar = row.find('|');
    const auto star = row.find('*');
    if (bar != std::string::npos && star != std::string::npos) stars.push_back(star - bar);
  }
  ASSERT_GE(stars.size(), 8U);
  EXPECT_EQ(stars.front(), 1U);
  EXPECT_TRUE(std::is_sorted(stars.begin(), stars.end()));
}

TEST(ferment_text, dangers_stand_first) {
  process::FermentationCourse bad = course();
  bad.status = process::CourseStatus::stopped_by_alcohol;
  bad.tolerance.verdict = process::ToleranceVerdict::beyond;
  const auto warnings = ferment_warnings(bad, 1.0);
  ASSERT_EQ(warnings.size(), 2U);
  EXPECT_EQ(warnings[0].rfind("DANGER: the gas", 0), 0U);
  EXPECT_NE(warnings[1].find("Do not bottle"), std::string::npos);
  const std::string text = ferment_text(brief(), proposal(), bad, 1.0);
  EXPECT_LT(text.find("DANGER"), text.find("From "));
  EXPECT_TRUE(ferment_warnings(course(), std::nullopt).empty());
  EXPECT_TRUE(ferment_warnings(course(), 1000.0).empty());
}

TEST(ferment_text, a_late_dose_says_when_and_until_when) {
  process::FermentationCourse dosed = course();
  dosed.dose = process::LateDose{{120.0, 72.0, 240.0}, {168.0, 96.0, 360.0}, 25.0, 0.0004};
  const std::string flat = unwrapped(ferment_text(brief(), proposal(), dosed, std::nullopt));
  EXPECT_EQ(count(flat, "pour it in at about 5.0 days (3.0 to 10.0)"), 1U) << flat;
  EXPECT_EQ(count(flat, "gone after about 7.0 days (4.0 to 15.0)"), 1U);
}

TEST(ferment_text, nothing_to_ferment_is_said_without_a_curve) {
  const std::string text = ferment_text(brief(), proposal(), process::FermentationCourse{}, 12.0);
  EXPECT_EQ(count(text, "nothing to ferment"), 1U);
  EXPECT_EQ(count(text, "|"), 0U);
}

}  // namespace
}  // namespace oddgrist::present

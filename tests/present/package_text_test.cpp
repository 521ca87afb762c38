#include "present/package_text.hpp"

#include <gtest/gtest.h>

#include "example.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using example::count;
using example::rows;
using example::unwrapped;

Package package(double rating_bar) {
  Package made;
  made.beer_name = "Harvest ale";
  made.beer_l = 9.5;
  made.wanted_volumes = 2.4;
  made.residual_volumes = 0.85;
  made.bottles_l = {0.5, 0.33, 0.75};
  made.fill.volumes = 2.4;
  made.bottle = *process::bottle_forecast(made.fill);
  made.priming = process::priming_doses(2.4, 0.85, larder::YeastTraits{});
  made.facts = process::packaged_facts(*process::beer_from_readings(9.5, 5.0, 1.010));
  made.forcing = process::Forcing{};
  made.forced = process::forced_course(*made.forcing);
  if (rating_bar > 0.0) made.stated = process::judge_bottle(made.fill, rating_bar);
  return made;
}

TEST(package_text, stays_within_eighty_columns_in_both_systems) {
  for (const bool us : {false, true}) {
    Package made = package(4.5);
    made.us_units_first = us;
    made.sugars_known = true;
    made.gravity_points_left = 1.0;
    for (const std::string& row : rows(package_text(made))) EXPECT_LE(columns(row), 80U) << row;
    EXPECT_EQ(count(package_text(made), "nan"), 0U);
    EXPECT_EQ(count(package_text(made), "DANGER: closed 1 thousandths"), 1U);
  }
}

TEST(package_text, refused_names_the_temperature_and_gives_neither_sugar_nor_schedule) {
  const Package made = package(2.0);
  ASSERT_EQ(package_refusals(made).size(), 2U);  // the bottle and the regulator
  const std::string text = package_text(made);
  EXPECT_EQ(text.rfind("Refused: ", 0), 0U);
  const std::string breaks = print(*made.stated->breaks_at_c * celsius, celsius);
  EXPECT_EQ(count(unwrapped(text), "The rating is passed from " + breaks), 1U) << text;
  EXPECT_EQ(count(text, "white sugar"), 0U);
  EXPECT_EQ(count(text, "turn down"), 0U);
  EXPECT_EQ(count(text, "Pressure in a closed bottle"), 1U);
}

TEST(package_text, sound_has_sugar_schedule_and_the_hot_van) {
  const Package made = package(4.5);
  EXPECT_TRUE(package_refusals(made).empty());
  const std::string text = package_text(made);
  EXPECT_GE(count(text, "white sugar"), 1U);
  EXPECT_GE(count(text, "honey"), 1U);
  EXPECT_EQ(count(unwrapped(text), "turn down"), 2U);
  EXPECT_EQ(count(unwrapped(text), "not to be sent in a hot van"), 1U);
  EXPECT_EQ(count(unwrapped(package_text(package(12.0))), "not to be sent in a hot van"), 0U);
}

TEST(package_text, without_a_rating_nothing_is_refused) { EXPECT_TRUE(package_refusals(package(0.0)).empty()); }

TEST(package_text, high_pressure_above_the_rating_is_refused) {
  Package made = package(6.0);
  made.forcing->high_gauge_bar = 7.0;
  ASSERT_EQ(package_refusals(made).size(), 1U);
  EXPECT_NE(package_refusals(made)[0].find("regulator"), std::string::npos);
}

TEST(package_text, sugars_that_are_not_known_are_not_printed) {
  Package made = package(0.0);
  EXPECT_EQ(count(package_text(made), "of which sugars"), 0U);
  made.sugars_known = true;
  EXPECT_EQ(count(package_text(made), "of which sugars"), 1U);
}

}  // namespace
}  // namespace oddgrist::present

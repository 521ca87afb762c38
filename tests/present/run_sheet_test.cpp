#include "present/run_sheet.hpp"

#include <algorithm>
#include <limits>
#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "example.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using namespace example;

std::string all_actions(const std::vector<SheetLine>& lines) {
  std::string text;
  for (const SheetLine& line : lines) text += line.action + "\n";
  return text;
}

const SheetLine& line_with(const std::vector<SheetLine>& lines, const std::string& part) {
  const auto found =
      std::find_if(lines.begin(), lines.end(), [&](const SheetLine& line) { return count(line.action, part) > 0; });
  if (found == lines.end()) throw std::runtime_error("no line says: " + part);
  return *found;
}

TEST(run_sheet, every_addition_stands_in_exactly_one_line) {
  const Proposal made = proposal();
  const std::string actions = all_actions(run_sheet(brief(), made));
  for (const Addition& addition : made.additions)
    EXPECT_EQ(count(actions, addition.ingredient + ", "), 1U) << addition.ingredient;
  EXPECT_EQ(count(actions, "ale yeast"), 1U);
  EXPECT_EQ(count(actions, "- given"), 3U);
}

TEST(run_sheet, a_yeast_among_the_additions_is_pitched_once) {
  Proposal made = proposal();
  made.additions.push_back(addition("ale yeast", IngredientKind::yeast, 11.5, Route::fermenter));
  const auto lines = run_sheet(brief(), made);
  EXPECT_EQ(count(all_actions(lines), "ale yeast"), 1U);
  EXPECT_EQ(count(line_with(lines, "Pitch").action, "11.5 g"), 1U);
}

TEST(run_sheet, phases_follow_the_day) {
  const auto lines = run_sheet(brief(), proposal());
  EXPECT_TRUE(std::is_sorted(lines.begin(), lines.end(),
                             [](const SheetLine& a, const SheetLine& b) { return a.phase < b.phase; }));
  EXPECT_EQ(lines.front().phase, Phase::water);
  EXPECT_EQ(lines.back().phase, Phase::package);
}

TEST(run_sheet, the_boil_counts_down) {
  const auto lines = run_sheet(brief(), proposal());
  EXPECT_EQ(line_with(lines, "home-dried hops").clock, "60 to go");
  EXPECT_EQ(line_with(lines, "brown sugar").clock, "15 to go");
  EXPECT_EQ(line_with(lines, "late leaf hops").clock, "10 to go");
  EXPECT_EQ(line_with(lines, "aroma hops").clock, "0 to go");
  const std::string actions = all_actions(lines);
  EXPECT_LT(actions.find("home-dried hops"), actions.find("brown sugar"));
  EXPECT_LT(actions.find("brown sugar"), actions.find("late leaf hops"));
  EXPECT_LT(actions.find("late leaf hops"), actions.find("Flame out"));
  EXPECT_LT(actions.find("Flame out"), actions.find("aroma hops"));
}

TEST(run_sheet, readings_carry_the_forecast_as_numbers_and_as_words) {
  const auto lines = run_sheet(brief(), proposal());
  const SheetLine& strike = line_with(lines, "mash water");
  ASSERT_EQ(strike.expected.size(), 1U);
  EXPECT_DOUBLE_EQ(strike.expected[0].value, 71.2);
  EXPECT_EQ(strike.expected[0].unit, "C");
  EXPECT_EQ(strike.expected[0].words, "71.2 °C (160 °F)");  // 71.2 * 1.8 + 32 = 160.16
  const SheetLine& kettle = line_with(lines, "before boiling");
  ASSERT_EQ(kettle.expected.size(), 2U);
  EXPECT_DOUBLE_EQ(kettle.expected[0].value, 1.047);
  EXPECT_DOUBLE_EQ(kettle.expected[1].value, 13.1);
  EXPECT_NE(kettle.expected[1].words.find("cold 12.6 L"), std::string::npos);
}

TEST(run_sheet, the_second_reading_expects_what_the_trace_says_after_the_dose) {
  const auto lines = run_sheet(brief(), proposal());
  const SheetLine& dose = line_with(lines, "Dose");
  ASSERT_EQ(dose.expected.size(), 1U);
  EXPECT_EQ(dose.expected[0].words, "1.040 (10.0 °P)");  // the ASBC table, see ten_plato()
  EXPECT_EQ(line_with(lines, "steep").clock, "30 min");
  EXPECT_NE(line_with(lines, "steep").action.find("660 mL"), std::string::npos);  // 3 L/kg of 220 g
}

TEST(run_sheet, fat_is_skimmed_only_where_there_is_some) {
  Proposal made = proposal();
  EXPECT_EQ(count(all_actions(run_sheet(brief(), made)), "Skim"), 1U);
  std::get<process::Dose<double>>(made.plan.steps[4]).food[process::Component::fat] = 0.0;
  EXPECT_EQ(count(all_actions(run_sheet(brief(), made)), "fat"), 0U);
}

TEST(run_sheet, without_an_infusion_there_is_none_of_its_steps) {
  Proposal made = proposal();
  std::erase_if(made.additions, [](const Addition& addition) { return addition.route == Route::infusion; });
  const auto lines = run_sheet(brief(), made);
  EXPECT_TRUE(
      std::none_of(lines.begin(), lines.end(), [](const SheetLine& line) { return line.phase == Phase::infuse; }));
  EXPECT_DOUBLE_EQ(line_with(lines, "two equal readings").expected.at(0).value, 1.013);
}

TEST(run_sheet, a_person_is_warned_where_they_can_be_hurt) {
  const auto lines = run_sheet(brief(), proposal());
  EXPECT_NE(line_with(lines, "mash water").warning.find("scald"), std::string::npos);
  EXPECT_NE(line_with(lines, "Rolling boil").warning.find("foams over"), std::string::npos);
  EXPECT_NE(line_with(lines, "Transfer").warning.find("before it is cold"), std::string::npos);
  EXPECT_NE(line_with(lines, "Airlock").warning.find("carbon dioxide"), std::string::npos);
  EXPECT_NE(line_with(lines, "Fill").warning.find("bursts"), std::string::npos);
  EXPECT_EQ(line_with(lines, "Fill").warning.find("rated"), std::string::npos);
  EXPECT_NE(lines.back().warning.find("Local law"), std::string::npos);
}

TEST(run_sheet, high_carbonation_asks_for_rated_bottles) {
  Proposal made = proposal();
  made.plan.steps.back() = process::Fill<double>{3.4, 19.0};
  EXPECT_NE(line_with(run_sheet(brief(), made), "Fill").warning.find("3.4 volumes"), std::string::npos);
}

TEST(run_sheet, priming_is_told_in_all_and_for_each_litre) {
  const std::string prime = line_with(run_sheet(brief(), proposal()), "Prime").action;
  EXPECT_NE(prime.find("57.0 g (2.01 oz)"), std::string::npos);
  EXPECT_NE(prime.find("6.0 g/L"), std::string::npos);  // 57 g over 9.5 L
  EXPECT_NE(prime.find("2.4 volumes"), std::string::npos);
}

TEST(run_sheet, the_label_names_the_allergens_of_what_is_used_and_of_nothing_else) {
  const std::string label = line_with(run_sheet(brief(), proposal()), "Label").action;
  EXPECT_NE(label.find("cereals containing gluten, tree nuts"), std::string::npos);
  EXPECT_EQ(label.find("fish"), std::string::npos);
}

TEST(run_sheet, a_sparged_mash_is_told_otherwise) {
  Brief asked = brief();
  asked.kit.mash_method = process::MashMethod::sparged;
  Proposal made = proposal();
  made.charge.sparge_liquor[process::Component::water] = 4.0;
  const std::string actions = all_actions(run_sheet(asked, made));
  EXPECT_EQ(count(actions, "bag"), 0U);
  EXPECT_EQ(count(actions, "Rinse the grain slowly with 4.0 L (1.06 US gal)"), 1U);
}

TEST(run_sheet_text, is_one_page) {
  const auto page = rows(run_sheet_text(brief(), proposal(), cautions()));
  EXPECT_LE(page.size(), sheet_rows);
  for (const std::string& row : page) EXPECT_LE(columns(row), sheet_columns) << row;
}

TEST(run_sheet_text, holds_both_systems_in_the_brewers_order) {
  Brief us = brief();
  us.us_units_first = true;
  const std::string metric_first = run_sheet_text(brief(), proposal(), {});
  const std::string us_first = run_sheet_text(us, proposal(), {});
  EXPECT_EQ(count(metric_first, "14.2 L (3.75 US gal)"), 1U);
  EXPECT_EQ(count(us_first, "3.75 US gal (14.2 L)"), 1U);
  EXPECT_EQ(count(us_first, "160 °F (71.2 °C)"), 1U);
  EXPECT_EQ(count(us_first, "68.0 °F (20.0 °C)"), 1U);
  EXPECT_EQ(count(us_first, "1.2 in (3 cm)"), 1U);
  EXPECT_EQ(count(metric_first, "1.047 (11.7 °P)"), 1U);
  EXPECT_LE(rows(us_first).size(), sheet_rows);
}

TEST(run_sheet_text, leaves_a_space_for_each_expected_reading) {
  std::size_t expected = 0;
  for (const SheetLine& line : run_sheet(brief(), proposal())) expected += line.expected.size();
  EXPECT_GE(expected, 12U);
  const std::string text = run_sheet_text(brief(), proposal(), {});
  EXPECT_EQ(count(text, " ______\n") + count(text, "read ______ ______"), expected);
}

TEST(run_sheet_text, has_a_box_for_each_line) {
  const std::string text = run_sheet_text(brief(), proposal(), {});
  EXPECT_EQ(count(text, "\n[ ] "), run_sheet(brief(), proposal()).size());
}

TEST(run_sheet_text, dangers_are_never_left_off_and_what_is_left_off_is_counted) {
  std::vector<Caution> many(40, Caution{Severity::danger, "Mortal peril.", "somewhere"});
  many.insert(many.begin(), 3, Caution{Severity::caution, "Mild peril.", "somewhere"});
  const std::string text = run_sheet_text(brief(), proposal(), many);
  EXPECT_EQ(count(text, "!! Mortal peril."), 40U);
  EXPECT_EQ(count(text, "Mild peril."), 0U);
  EXPECT_EQ(count(text, "3 more remarks stand there"), 1U);
}

TEST(run_sheet_text, prints_no_nan_even_where_the_forecast_failed) {
  Proposal made = proposal();
  const double nan = std::numeric_limits<double>::quiet_NaN();
  made.forecast.strike_temperature_c = nan;
  made.forecast.original_gravity_sg = nan;
  made.forecast.packaged_volume_l = nan;
  made.forecast.abv_percent = nan;
  made.forecast.impossible = {"the kettle would boil dry"};
  const std::string text = run_sheet_text(brief(), made, {});
  EXPECT_EQ(count(text, "nan"), 0U);
  EXPECT_EQ(count(text, " ? read ______"), 3U);
  EXPECT_EQ(count(text, "Cannot be brewed so: the kettle would boil dry."), 1U);
  EXPECT_EQ(count(run_sheet_text(brief(), proposal(), {}), "nan"), 0U);
}

TEST(run_sheet_text, the_same_day_gives_the_same_text) {
  EXPECT_EQ(run_sheet_text(brief(), proposal(), cautions()), run_sheet_text(brief(), proposal(), cautions()));
}

RC_GTEST_PROP(run_sheet_text, any_additions_stand_once_and_within_the_width, ()) {
  const auto size = *rc::gen::inRange<std::size_t>(0, 25);
  Proposal made = proposal();
  made.additions.clear();
  for (std::size_t i = 0; i < size; ++i) {
    const auto route = *rc::gen::element(Route::mash, Route::boil, Route::flame_out, Route::fermenter, Route::infusion);
    const auto kind =
        *rc::gen::element(IngredientKind::malt, IngredientKind::salt, IngredientKind::sugar, IngredientKind::hop,
                          IngredientKind::yeast, IngredientKind::food, IngredientKind::fining);
    const auto tail = *rc::gen::container<std::string>(rc::gen::elementOf(std::string("abc de")));
    const auto tenths = *rc::gen::inRange(1, 500000);
    made.additions.push_back(addition("thing<" + std::to_string(i) + ">ö" + tail, kind, 0.1 * tenths, route,
                                      *rc::gen::inRange(0, 90), *rc::gen::arbitrary<bool>()));
  }
  const std::string text = run_sheet_text(brief(), made, cautions());
  for (std::size_t i = 0; i < size; ++i) RC_ASSERT(count(text, "thing<" + std::to_string(i) + ">") == 1U);
  for (const std::string& row : rows(text)) RC_ASSERT(columns(row) <= sheet_columns);
}

}  // namespace
}  // namespace oddgrist::present

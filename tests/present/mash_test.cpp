// The mash in words: both models of fermentability told apart, the spread of the pH, both systems of units, 80 columns.
#include "present/mash.hpp"

#include <gtest/gtest.h>

#include "example.hpp"
#include "larder/catalogue.hpp"
#include "present/words.hpp"
#include "process/forecast.hpp"
#include "science/attenuation.hpp"

namespace oddgrist::present {
namespace {

using example::unwrapped;

struct Day {
  compose::Brief brief;
  compose::Proposal proposal;
};

// A day of catalogue malts, put through the forward model; nothing is searched for.
Day day_of(const std::vector<std::pair<std::string, double>>& grist_kg, double water_kg, double rest_c) {
  Day day;
  day.proposal.name = "Harvest ale";
  process::Charge<double>& charge = day.proposal.charge;
  charge.mash_liquor[larder::Component::water] = water_kg;
  charge.mash_liquor[larder::Component::calcium] = water_kg * 60e-6;
  charge.mash_liquor.alkalinity_eq = water_kg * 2e-3;
  charge.rest_temperature_c = rest_c;
  for (const auto& [name, kg] : grist_kg) {
    const larder::Ingredient* found = larder::catalogue().find(name);
    EXPECT_NE(found, nullptr) << name;
    if (found == nullptr) continue;
    day.brief.have.push_back(example::supply(*found));
    process::add_to(charge.grist, found->composition, kg);
    day.proposal.additions.push_back({found->name, found->id, found->kind, kg * kilogram, compose::Route::mash});
  }
  day.proposal.plan = process::make_plan(day.brief.kit, charge, process::Ferment{}, 2.4);
  day.proposal.forecast = process::forecast(day.proposal.plan, process::Trace::on);
  return day;
}

MashAnswer answer_of(const Day& day, const std::vector<process::MashRest>& rests = {},
                     process::RestStep step = process::RestStep::infusion) {
  auto setting = mash_setting_of(day.brief, day.proposal);
  EXPECT_TRUE(setting);
  if (!setting) return {};
  if (!rests.empty()) setting->rests = rests;
  setting->step = step;
  setting->power_kw = 2.5;
  const auto verdict = mash_answer(day.brief, day.proposal, *setting, false);
  EXPECT_TRUE(verdict.answer) << verdict.refusal;
  return verdict.answer.value_or(MashAnswer{});
}

const std::vector<std::pair<std::string, double>> ale = {{"pale ale malt", 2.2}, {"crystal malt, dark", 0.2}};

TEST(MashAnswer, SaysWhatTheForecastSays) {
  const Day day = day_of(ale, 12.0, 67.0);
  const MashAnswer answer = answer_of(day);
  EXPECT_NEAR(answer.course.strike_c, day.proposal.forecast.strike_temperature_c, 1e-9);
  ASSERT_TRUE(answer.acidity);
  EXPECT_NEAR(answer.acidity->ph, day.proposal.forecast.mash_ph, 1e-9);
  EXPECT_EQ(answer.acidity->grains.size(), 2U);
  EXPECT_NEAR(answer.empirical_limit, science::mash_fermentable_share(67.0) / 0.81, 1e-12);
  EXPECT_GT(answer.kinetic_limit, 0.5);
  EXPECT_LT(answer.kinetic_limit, 0.95);
  EXPECT_EQ(answer.enzymes, science::EnzymeVerdict::enough);
}

TEST(MashAnswer, WithoutGrainThereIsNoMash) {
  const Day day = day_of({}, 12.0, 67.0);
  EXPECT_FALSE(mash_setting_of(day.brief, day.proposal));
}

TEST(MashText, TellsTheTwoModelsApart) {
  const MashAnswer answer = answer_of(day_of(ale, 12.0, 67.0));
  const std::string text = unwrapped(mash_text(answer, "Harvest ale", false));
  EXPECT_NE(text.find("This one the forecast uses"), std::string::npos) << text;
  EXPECT_NE(text.find("Not used by the forecast"), std::string::npos);
  const double apart = 100.0 * std::abs(answer.kinetic_limit - answer.empirical_limit);
  EXPECT_NE(text.find(fixed(apart, 1) + " points"), std::string::npos);
  EXPECT_NE(text.find("partly our own calibration"), std::string::npos);
}

TEST(MashText, PhWithItsIntervalAndWhereTheMaltsComeFrom) {
  const MashAnswer answer = answer_of(day_of(ale, 12.0, 67.0));
  const std::string text = unwrapped(mash_text(answer, "Harvest ale", false));
  EXPECT_NE(text.find(fixed(answer.acidity->ph, 2) + " read at 20.0 °C"), std::string::npos);
  EXPECT_NE(text.find("between " + fixed(answer.acidity->interval->low, 2) + " and " +
                      fixed(answer.acidity->interval->high, 2)),
            std::string::npos);
  EXPECT_NE(text.find("Brewing: Science and Practice"), std::string::npos);
}

TEST(MashText, WarnsOfAGristPoorInEnzymes) {
  const MashAnswer answer = answer_of(day_of({{"pale ale malt", 0.5}, {"flaked oats", 1.5}}, 10.0, 66.0));
  EXPECT_EQ(answer.enzymes, science::EnzymeVerdict::too_little);
  EXPECT_NE(unwrapped(mash_text(answer, "Porridge", false)).find("too little: starch may be left"), std::string::npos);
}

TEST(MashText, EveryWayToTheNextRestFitsEightyColumns) {
  const Day day = day_of(ale, 12.0, 67.0);
  const std::vector<process::MashRest> rests = {{52.0, 15.0}, {64.0, 40.0}, {72.0, 20.0}};
  const std::pair<process::RestStep, const char*> ways[] = {
      {process::RestStep::infusion, "stir in"},
      {process::RestStep::decoction, "of the mash, pulled before"},
      {process::RestStep::direct, "heat with 2.5 kW"}};
  for (const auto& [step, words] : ways) {
    for (const bool us : {false, true}) {
      const std::string text = mash_text(answer_of(day, rests, step),
                                         "Harvest ale with a name that goes on and on, past any margin of a page", us);
      EXPECT_EQ(example::count(unwrapped(text), words), 2U) << text;
      EXPECT_NE(text.find(us ? "126 °F (52.0 °C)" : "52.0 °C (126 °F)"), std::string::npos) << text;
      for (const std::string& row : example::rows(text)) EXPECT_LE(columns(row), 80U) << row;
      EXPECT_EQ(text.find("nan"), std::string::npos);
      EXPECT_EQ(text.find('?'), std::string::npos);
    }
  }
}

}  // namespace
}  // namespace oddgrist::present

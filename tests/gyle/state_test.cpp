// Folding a log: laws of entries, mendings and the boil.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "hidden_gyle.hpp"

namespace oddgrist::gyle {
namespace {

using compose::Recipe;
using Into = Recipe::Into;

Recipe plain_recipe() {
  Recipe recipe;
  recipe.amounts = {{"water", Into::mash_liquor, 0.0, 14.0},
                    {"pale-ale-malt", Into::grist, 0.0, 2.4},
                    {"northern-brewer", Into::kettle, 60.0, 0.015},
                    {"northern-brewer", Into::kettle, 10.0, 0.010}};
  recipe.yeast = "neutral-ale-yeast";
  recipe.yeast_kg = 0.006;
  return recipe;
}

const compose::Brief& brief() {
  static const compose::Brief brief = hidden::harvest();
  return brief;
}

Reading gravity(double value) {
  Reading reading;
  reading.value = value;
  return reading;
}

Entry entry(std::string key, What what, std::string mends = {}) {
  return {std::move(key), {}, std::move(mends), std::move(what)};
}

TEST(State, TheRecipeAsItWent) {
  const Recipe recipe = plain_recipe();
  const std::vector<Entry> log = {entry("a", Started{"one", "", recipe, "kit"}),
                                  entry("b", Missed{{"northern-brewer", Into::kettle, 10.0, 0.010}}),
                                  entry("c", Added{{"white-sugar", Into::kettle, 10.0, 0.2}}),
                                  entry("d", Added{{"white-sugar", Into::kettle, 10.0, 0.1}})};
  const State state = state_of(brief(), log);
  EXPECT_EQ(state.planned, recipe);
  ASSERT_EQ(state.went.amounts.size(), 4u);
  EXPECT_EQ(state.went.amounts[3].what, "white-sugar");
  EXPECT_DOUBLE_EQ(state.went.amounts[3].kg, 0.3);
  EXPECT_TRUE(state.trouble.empty());
}

TEST(State, MoreMissingThanThereWasIsSaid) {
  const std::vector<Entry> log = {entry("a", Started{"one", "", plain_recipe(), "kit"}),
                                  entry("b", Missed{{"northern-brewer", Into::kettle, 10.0, 0.5}}),
                                  entry("c", Missed{{"chocolate-malt", Into::grist, 0.0, 0.5}})};
  const State state = state_of(brief(), log);
  EXPECT_EQ(state.trouble.size(), 2u);
  EXPECT_EQ(state.went.amounts.size(), 3u);
}

TEST(State, AMendedEntryIsReplacedAndAStruckOneGone) {
  const std::vector<Entry> log = {entry("a", Started{"one", "", plain_recipe(), "kit"}), entry("b", gravity(1.4)),
                                  entry("c", gravity(1.040), "b"), entry("d", gravity(1.050)),
                                  entry("e", Struck{}, "d")};
  const State state = state_of(brief(), log);
  ASSERT_EQ(state.readings.size(), 1u);
  EXPECT_EQ(state.readings[0].key, "c");
  EXPECT_DOUBLE_EQ(state.readings[0].reading.value, 1.040);
}

TEST(State, ACorrectionMayBeCorrectedOrStruck) {
  const std::vector<Entry> begin = {entry("a", Started{"one", "", plain_recipe(), "kit"}), entry("b", gravity(1.045)),
                                    entry("c", gravity(1.040), "b")};
  auto again = begin;
  again.push_back(entry("d", gravity(1.041), "c"));
  ASSERT_EQ(state_of(brief(), again).readings.size(), 1u);
  EXPECT_DOUBLE_EQ(state_of(brief(), again).readings[0].reading.value, 1.041);
  auto struck = begin;
  struck.push_back(entry("d", Struck{}, "c"));
  ASSERT_EQ(state_of(brief(), struck).readings.size(), 1u);
  EXPECT_DOUBLE_EQ(state_of(brief(), struck).readings[0].reading.value, 1.045);
}

// Whatever is sent again changes nothing, and what mends something unknown is named.
RC_GTEST_PROP(State, SendingTwiceIsSendingOnce, ()) {
  std::vector<Entry> log = {entry("a", Started{"one", "", plain_recipe(), "kit"})};
  const int count = *rc::gen::inRange(1, 12);
  for (int i = 0; i < count; ++i) {
    std::string mends;
    if (*rc::gen::inRange(0, 3) == 0) mends = "k" + std::to_string(*rc::gen::inRange(0, 14));
    const double value = 1.0 + *rc::gen::inRange(0, 100) / 1000.0;
    What what = *rc::gen::inRange(0, 4) == 0 ? What(Struck{}) : What(gravity(value));
    log.push_back(entry("k" + std::to_string(i), std::move(what), mends));
  }
  auto twice = log;
  for (const Entry& each : log) twice.push_back(each);
  const State once = state_of(brief(), log), again = state_of(brief(), twice);
  RC_ASSERT(once.readings.size() == again.readings.size());
  RC_ASSERT(once.trouble == again.trouble);
  for (std::size_t i = 0; i < once.readings.size(); ++i) RC_ASSERT(once.readings[i].key == again.readings[i].key);
  RC_ASSERT(once.readings.size() <= static_cast<std::size_t>(count));
}

TEST(Boil, WhatIsInBoilsOnAndWhatIsToComeKeepsItsPlace) {
  const Recipe longer = with_boil(plain_recipe(), 60.0, 75.0, 20.0);
  EXPECT_DOUBLE_EQ(longer.amounts[2].minutes_before_boil_end, 75.0);
  EXPECT_DOUBLE_EQ(longer.amounts[3].minutes_before_boil_end, 10.0);
  const Recipe shorter = with_boil(plain_recipe(), 60.0, 25.0, 20.0);
  EXPECT_DOUBLE_EQ(shorter.amounts[2].minutes_before_boil_end, 25.0);
  EXPECT_DOUBLE_EQ(shorter.amounts[3].minutes_before_boil_end, 5.0);
  const Recipe not_begun = with_boil(plain_recipe(), 60.0, 45.0, std::nullopt);
  EXPECT_DOUBLE_EQ(not_begun.amounts[2].minutes_before_boil_end, 45.0);
}

TEST(Boil, ACorrectedLengthCountsFromTheClock) {
  hidden::Log log(plain_recipe());
  log.write(Reached{Stage::boil});
  log.now_minutes = 30.0;
  Changed changed;
  changed.boil_minutes = 10.0;  // less than has passed
  log.write(changed);
  const State state = state_of(brief(), log.entries);
  EXPECT_NEAR(state.boil_minutes, 30.0, 1e-9);
  EXPECT_NEAR(state.went.amounts[2].minutes_before_boil_end, 30.0, 1e-9);
}

TEST(Losses, CountBeforeOrAfterTheReadingAsTheyStandInTheLog) {
  hidden::Log log(plain_recipe());
  Reading volume;
  volume.sight = Sight::volume;
  volume.stage = Stage::after_boil;
  volume.value = 10.0;
  log.write(Lost{Stage::after_boil, 1.0, {}});
  log.write(volume);
  log.write(Lost{Stage::after_boil, 1.0, {}});
  const State state = state_of(brief(), log.entries);
  ASSERT_EQ(state.losses.size(), 2u);
  EXPECT_TRUE(state.losses[0].seen_in_readings);
  EXPECT_FALSE(state.losses[1].seen_in_readings);
}

}  // namespace
}  // namespace oddgrist::gyle

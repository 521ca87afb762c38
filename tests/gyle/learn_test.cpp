// What many gyles teach about a kit, and how forecasts get better by it.
#include <cmath>

#include <gtest/gtest.h>

#include "brewers.hpp"
#include "gyle/learn.hpp"

namespace oddgrist::gyle {
namespace {

using hidden::Day;
using hidden::planned;

constexpr const char* boil_off = "boil-off";
constexpr const char* conversion = "conversion in the mash";
constexpr const char* lees = "beer left behind with the yeast";

std::vector<Day> whole_days(int count, std::uint64_t seed) {
  hidden::Brewer brewer(planned().brief, planned().recipe, seed);
  std::vector<Day> days;
  for (int i = 0; i < count; ++i) days.push_back(brewer.brew());
  return days;
}

KitKnowledge learned_from_days(const std::vector<Day>& days) {
  std::vector<State> states;
  for (const Day& day : days) states.push_back(day.state());
  std::vector<PastGyle> gyles;
  for (std::size_t i = 0; i < days.size(); ++i) gyles.push_back({days[i].brief, &states[i]});
  return learned_from(gyles);
}

KitKnowledge learned_from_days(int count, std::uint64_t seed) { return learned_from_days(whole_days(count, seed)); }

Eigen::Index place(const KitKnowledge& knowledge, const std::string& name) {
  for (std::size_t k = 0; k < knowledge.figures.size(); ++k) {
    if (knowledge.figures[k].reference.doubt.name == name) return static_cast<Eigen::Index>(k);
  }
  ADD_FAILURE() << "no figure " << name;
  return 0;
}
double variance(const KitKnowledge& knowledge, const std::string& name) {
  const auto k = place(knowledge, name);
  return knowledge.covariance(k, k);
}
double mean(const KitKnowledge& knowledge, const std::string& name) { return knowledge.mean[place(knowledge, name)]; }
const KitFigure& kept(const KitKnowledge& knowledge, const std::string& name) {
  return knowledge.figures[static_cast<std::size_t>(place(knowledge, name))];
}
LearnedFigure figure(const KitKnowledge& knowledge, const std::string& name) {
  return figures_of(knowledge)[static_cast<std::size_t>(place(knowledge, name))];
}

Day day_without_readings(std::uint64_t seed) {
  Day day = whole_days(1, seed).front();
  std::erase_if(day.log.entries, [](const Entry& entry) { return std::holds_alternative<Reading>(entry.what); });
  return day;
}

TEST(Learn, NothingWithoutReadings) {
  EXPECT_EQ(learned_from({}).gyles, 0);
  const KitKnowledge knowledge = learned_from_days({day_without_readings(1), day_without_readings(2)});
  EXPECT_EQ(knowledge.gyles, 0);
  EXPECT_TRUE(knowledge.figures.empty());
  const compose::Brief brief = with_learned(planned().brief, knowledge);
  EXPECT_EQ(brief.kit.boil_off.in(litre_per_hour), planned().brief.kit.boil_off.in(litre_per_hour));
  ASSERT_FALSE(brief.learned.empty());
  for (const compose::Learned& learned : brief.learned) {
    EXPECT_EQ(learned.gyles, 0);
    EXPECT_TRUE(learned.pulls.empty());
  }
}

TEST(Learn, AGyleWithoutReadingsChangesNothing) {
  auto days = whole_days(2, 3);
  const KitKnowledge two = learned_from_days(days);
  days.insert(days.begin() + 1, day_without_readings(4));
  const KitKnowledge three = learned_from_days(days);
  EXPECT_EQ(two.mean, three.mean);
  EXPECT_EQ(two.covariance, three.covariance);
  EXPECT_EQ(three.gyles, 2);
}

TEST(Learn, TheSameLogTeachesTheSameWhateverItWasUsedForBetween) {
  const auto days = whole_days(4, 5);
  const KitKnowledge once = learned_from_days(days);
  KitKnowledge again;
  for (const Day& day : days) {
    const compose::Brief forecast_with = with_learned(*day.brief, again);
    ASSERT_FALSE(forecast_with.learned.empty());
    const State state = day.state();
    learn(again, {day.brief, &state});
  }
  EXPECT_EQ(once.mean, again.mean);
  EXPECT_EQ(once.covariance, again.covariance);
}

// A figure nothing was read of tells nothing: if a gyle's prior came in with what it says, this would become surer with every gyle.
TEST(Learn, WhatNobodyReadStaysAsUnsureAsItWas) {
  const KitKnowledge one = learned_from_days(1, 6), eight = learned_from_days(8, 6);
  EXPECT_NEAR(variance(one, lees), 1.0 - kept(one, lees).day_share, 1e-6);
  EXPECT_NEAR(variance(eight, lees), variance(one, lees), 1e-6);
  EXPECT_NEAR(mean(eight, lees), 0.0, 1e-6);
  EXPECT_EQ(kept(eight, lees).gyles, 0);
}

// n days cannot say more of a figure than n values of it would, each with its day's scatter.
TEST(Learn, NoMoreThanTheDaysCanSay) {
  for (const int days : {1, 3, 8}) {
    const KitKnowledge knowledge = learned_from_days(days, 7);
    for (const KitFigure& each : knowledge.figures) {
      const double least = 1.0 / (1.0 / (1.0 - each.day_share) + days / each.day_share);
      EXPECT_GE(variance(knowledge, each.reference.doubt.name), least * (1.0 - 1e-9)) << each.reference.doubt.name;
    }
  }
}

TEST(Learn, IntervalsNarrowGyleByGyle) {
  const auto days = whole_days(6, 8);
  for (const char* name : {boil_off, conversion}) {
    double before = 1.0;
    for (std::size_t count : {1u, 3u, 6u}) {
      const KitKnowledge knowledge =
          learned_from_days({days.begin(), days.begin() + static_cast<std::ptrdiff_t>(count)});
      const LearnedFigure now = figure(knowledge, name);
      EXPECT_EQ(now.gyles, static_cast<int>(count));
      EXPECT_LT(1.0 - now.narrower, before) << name << " after " << count;
      EXPECT_NEAR(now.narrower, 1.0 - (now.learned_high - now.learned_low) / (now.stated_high - now.stated_low), 1e-12);
      before = 1.0 - now.narrower;
    }
  }
}

TEST(Learn, ComesToTheTruth) {
  hidden::Brewer brewer(planned().brief, planned().recipe, 9);
  brewer.own[boil_off] = 1.3 * planned().brief.kit.boil_off.in(litre_per_hour);
  std::vector<Day> days;
  for (int i = 0; i < 8; ++i) days.push_back(brewer.brew());
  const LearnedFigure learned = figure(learned_from_days(days), boil_off);
  EXPECT_GT(learned.stated, 0.0);
  EXPECT_LT(std::abs(learned.learned - brewer.own[boil_off]), 0.4 * std::abs(learned.stated - brewer.own[boil_off]));
  EXPECT_LT(learned.learned_low, brewer.own[boil_off]);
  EXPECT_GT(learned.learned_high, brewer.own[boil_off]);
}

TEST(Learn, FiguresComeInTheOrderOfTheKit) {
  std::vector<std::string> names;
  for (const LearnedFigure& each : figures_of(learned_from_days(1, 10))) names.push_back(each.name);
  const std::vector<std::string> first(names.begin(), names.begin() + 6);
  EXPECT_EQ(first, (std::vector<std::string>{conversion, boil_off, "wort the grain keeps", "wort the trub keeps",
                                             "kettle loss", lees}));
  for (const LearnedFigure& each : figures_of(learned_from_days(3, 10))) {
    EXPECT_LT(each.learned_low, each.learned) << each.name;
    EXPECT_LT(each.learned, each.learned_high) << each.name;
  }
}

TEST(Learn, AnotherKettleIsAnotherBoilOff) {
  KitKnowledge knowledge = learned_from_days(4, 11);
  const double conversion_before = mean(knowledge, conversion);
  process::Kit kit = planned().brief.kit;
  kit.kettle = 2.0 * kit.kettle;
  restate(knowledge, kit);
  EXPECT_EQ(kept(knowledge, boil_off).let_go, 1);
  EXPECT_EQ(kept(knowledge, boil_off).gyles, 0);
  EXPECT_DOUBLE_EQ(variance(knowledge, boil_off), 1.0 - kept(knowledge, boil_off).day_share);
  EXPECT_EQ(kept(knowledge, conversion).let_go, 0);
  EXPECT_DOUBLE_EQ(mean(knowledge, conversion), conversion_before);
  restate(knowledge, kit);
  EXPECT_EQ(kept(knowledge, boil_off).let_go, 1) << "let go once for one change";
}

TEST(Learn, WhatNobodyReadAndWhatIsNoLongerThereIsTakenAsStated) {
  const KitKnowledge knowledge = learned_from_days(4, 17);
  compose::Brief brief = with_learned(planned().brief, knowledge);
  EXPECT_EQ(brief.kit.fermenter_loss, planned().brief.kit.fermenter_loss);
  EXPECT_NE(brief.kit.boil_off, planned().brief.kit.boil_off);
  compose::Brief clean = planned().brief;
  clean.kit.held_by_grain = 0.0 * litre_per_kilogram;
  EXPECT_EQ(with_learned(clean, knowledge).kit.held_by_grain, clean.kit.held_by_grain);
  KitKnowledge restated = knowledge;
  restate(restated, clean.kit);
  EXPECT_EQ(kept(restated, "wort the grain keeps").let_go, 1);
}

TEST(Learn, AFigureStatedWhereItIsBelievedKeepsWhatIsKnown) {
  hidden::Brewer brewer(planned().brief, planned().recipe, 12);
  brewer.own[boil_off] = 1.25 * planned().brief.kit.boil_off.in(litre_per_hour);
  std::vector<Day> days;
  for (int i = 0; i < 6; ++i) days.push_back(brewer.brew());
  KitKnowledge knowledge = learned_from_days(days);
  const LearnedFigure before = figure(knowledge, boil_off);
  process::Kit kit = planned().brief.kit;
  kit.boil_off = before.learned * litre_per_hour;
  restate(knowledge, kit);
  const LearnedFigure after = figure(knowledge, boil_off);
  EXPECT_EQ(after.let_go, 0);
  EXPECT_EQ(after.gyles, before.gyles);
  EXPECT_NEAR(after.learned, before.learned, 0.02 * before.learned);
  EXPECT_LT(variance(knowledge, boil_off), 0.3 * (1.0 - kept(knowledge, boil_off).day_share));
  // A day's scatter is a share of the stated figure, and so grows with it.
  const double width = before.learned_high - before.learned_low;
  EXPECT_GT(after.learned_high - after.learned_low, 0.95 * width);
  EXPECT_LT(after.learned_high - after.learned_low, 1.05 * width * before.learned / before.stated);

  kit.boil_off = 2.5 * before.learned * litre_per_hour;
  restate(knowledge, kit);
  EXPECT_EQ(figure(knowledge, boil_off).let_go, 1);
  EXPECT_NEAR(figure(knowledge, boil_off).learned, 2.5 * before.learned, 0.05 * before.learned);
}

TEST(Learn, ForgetsSlowlyWhatIsNoLongerRead) {
  auto days = whole_days(5, 13);
  const KitKnowledge known = learned_from_days(days);
  Day blind = days.back();
  std::erase_if(blind.log.entries, [](const Entry& entry) {
    const auto* reading = std::get_if<Reading>(&entry.what);
    return reading != nullptr && reading->stage != Stage::package;
  });
  days.insert(days.end(), 3, blind);
  const KitKnowledge soon = learned_from_days(days);
  days.insert(days.end(), 20, blind);
  const KitKnowledge late = learned_from_days(days);
  const double first = 1.0 - kept(known, boil_off).day_share;
  EXPECT_GT(variance(soon, boil_off), variance(known, boil_off));
  EXPECT_GT(variance(late, boil_off), variance(soon, boil_off));
  EXPECT_LT(variance(soon, boil_off), variance(known, boil_off) + 0.15 * (first - variance(known, boil_off)));
  EXPECT_LT(variance(late, boil_off), first);
}

TEST(Learn, AGyleThatDoesNotFitPullsLessAndIsNamed) {
  const auto pulled = [&](double z, std::vector<int>& strange) {
    std::vector<Day> days;
    for (std::uint64_t i = 0; i < 5; ++i) days.push_back(hidden::day_with_good_dipstick(40 + i, 0.0));
    const double before = mean(learned_from_days(days), boil_off);
    days.push_back(hidden::day_with_good_dipstick(46, z));
    const KitKnowledge after = learned_from_days(days);
    strange = after.strange;
    return mean(after, boil_off) - before;
  };
  std::vector<int> some, much;
  const double little = pulled(1.0, some), far = pulled(3.5, much);
  EXPECT_GT(little, 0.0);
  EXPECT_TRUE(some.empty());
  EXPECT_EQ(much, std::vector<int>{6});
  // The figure itself is so far off (mishaps reach further than z does), the pull is not.
  const Brewing brewing = brewing_of(planned().brief, state_of(planned().brief, hidden::Log(planned().recipe).entries));
  const auto input = std::find_if(brewing.inputs.begin(), brewing.inputs.end(),
                                  [](const Input& each) { return each.doubt.name == boil_off; });
  const double times = (input->value_at(3.5) - input->doubt.usual) / (input->value_at(1.0) - input->doubt.usual);
  EXPECT_LT(far, 0.6 * times * little);
}

TEST(Learn, ASurpriseMakesTheNextGyleCountForMore) {
  const auto widths = [](double z) {
    std::vector<Day> days;
    for (std::uint64_t i = 0; i < 5; ++i) days.push_back(hidden::day_with_good_dipstick(40 + i, 0.0));
    days.push_back(hidden::day_with_good_dipstick(46, z));
    days.push_back(hidden::day_with_good_dipstick(47, 0.0));
    return variance(learned_from_days(days), boil_off);
  };
  EXPECT_GT(widths(3.5), 1.2 * widths(0.0));
}

TEST(Learn, EveryYeastHasItsOwnUptake) {
  const auto days = whole_days(3, 14);
  const std::string mine = planned().recipe.yeast;
  compose::Brief other = planned().brief;
  for (auto* supplies : {&other.given, &other.have}) {
    for (compose::Supply& supply : *supplies) {
      if (supply.ingredient.id == mine) supply.ingredient.name = "another yeast";
    }
  }
  const KitKnowledge knowledge = learned_from_days(days);
  const auto yeast = std::find_if(knowledge.figures.begin(), knowledge.figures.end(),
                                  [](const KitFigure& each) { return !each.yeast.empty(); });
  ASSERT_NE(yeast, knowledge.figures.end());
  const auto uptake_in = [&](const compose::Brief& brief) {
    for (const auto* supplies : {&brief.given, &brief.have}) {
      for (const compose::Supply& supply : *supplies) {
        if (supply.ingredient.id == mine) return supply.ingredient.yeast->maltotriose_uptake;
      }
    }
    return -1.0;
  };
  const double stated = uptake_in(planned().brief);
  ASSERT_GT(stated, 0.0);
  EXPECT_NE(uptake_in(with_learned(planned().brief, knowledge)), stated);
  EXPECT_EQ(uptake_in(with_learned(other, knowledge)), stated);
  std::vector<State> states;
  for (const Day& day : days) states.push_back(day.state());
  KitKnowledge both = knowledge;
  learn(both, {&other, &states.front()});
  EXPECT_EQ(both.figures.size(), knowledge.figures.size() + 1);
  EXPECT_EQ(both.figures.back().yeast, "another yeast");
  EXPECT_EQ(both.figures.back().gyles, 1);
}

TEST(Learn, TheMostUsefulReadingComesFirst) {
  const auto useful = [](int days) {
    const KitKnowledge knowledge = learned_from_days(days, 15);
    return useful_readings(planned().brief, whole_days(1, 15).front().state(), knowledge);
  };
  const auto early = useful(1), late = useful(8);
  ASSERT_FALSE(early.empty());
  ASSERT_FALSE(late.empty());
  for (std::size_t i = 0; i < early.size(); ++i) {
    EXPECT_GE(early[i].takes_off, 0.01);
    EXPECT_LE(early[i].takes_off, 1.0);
    EXPECT_LE(early[i].takes_off, i > 0 ? early[i - 1].takes_off : 1.0);
  }
  EXPECT_LT(late.front().takes_off, early.front().takes_off) << "there is less left to learn";
}

// The shares of 500 gyles are counted by bench/learn_bench; here as many as the time allows, with the room that so few need.
TEST(Learn, SimulatedBrewersAreForetoldBetterAndAsSurelyAsSaid) {
  constexpr int brewers = 40, gyles = 6;
  const auto first = hidden::brew_on(planned().brief, planned().recipe, 150, 1, 500000).learned.front();
  const auto [learned, told, apart] = hidden::brew_on(planned().brief, planned().recipe, brewers, gyles, 600000);
  hidden::Tally later;
  for (std::size_t g = 1; g < learned.size(); ++g) later += learned[g];
  const auto expect_held = [](const hidden::Tally& tally, const char* when) {
    for (std::size_t t = 0; t < hidden::tried.size(); ++t) {
      constexpr double deviations = 2.6;  // one in a hundred
      const auto room = [&](double share) { return deviations * std::sqrt(share * (1.0 - share) / tally.all); };
      EXPECT_GE(tally.share_held(t), 0.75 - room(0.75)) << when << ", figure " << t;
      EXPECT_LE(tally.share_held(t), 0.85 + room(0.85)) << when << ", figure " << t;
    }
  };
  expect_held(first, "before");
  expect_held(later, "after");
  // What is left is the days' own scatter: half of the way to somebody who knows the kit is the least that learning must go.
  EXPECT_LT(apart.back(), 0.5 * apart.front());
  EXPECT_LT(later.off[0] / later.all, 0.75 * first.off[0] / first.all);
  EXPECT_LT(later.width[0] / later.all, 0.8 * first.width[0] / first.all);
}

}  // namespace
}  // namespace oddgrist::gyle

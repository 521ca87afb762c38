// Others that really differ: each judged afresh by its own recipe, under the demands of the brief.
#include "compose/alternatives.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "compose/elastic.hpp"
#include "process/forecast.hpp"
#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

struct Composed {
  Brief brief = sample::harvest();
  Answer answer = compose(brief);
  Alternatives alternatives = alternatives_of(brief, answer);
};
const Composed& harvest() {
  static const Composed composed;
  return composed;
}

std::vector<const Proposal*> all_designs(const Composed& composed) {
  std::vector<const Proposal*> all{&composed.answer.proposals.front()};
  for (const Alternative& other : composed.alternatives.others) all.push_back(&other.proposal);
  return all;
}

TEST(Alternatives, ThreeToFiveOfThemWhereThereIsChoice) {
  EXPECT_GE(harvest().alternatives.others.size(), 3u);
  EXPECT_LE(harvest().alternatives.others.size(), 5u);
  EXPECT_TRUE(why_so_few(harvest().alternatives).empty());
}

TEST(Alternatives, EachIsWithinTheStatedLossByTheTrueForecast) {
  const Composed& composed = harvest();
  for (const Alternative& other : composed.alternatives.others) {
    const Proposal again = proposal_of(composed.brief, other.proposal.recipe);  // poured and judged anew
    EXPECT_NEAR(again.loss, other.proposal.loss, 1e-9);
    EXPECT_NEAR(again.loss - composed.answer.proposals.front().loss, other.points_more, 1e-9);
    EXPECT_LE(other.points_more, composed.alternatives.allowance);
    EXPECT_GE(other.points_more, -0.01 * (1.0 + again.loss)) << "better than what the search called best";
    for (const Wish& wish : composed.brief.wishes) {
      const double value = gauges_of(again.forecast)[static_cast<int>(wish.measure)];
      const double slack = 1e-3 * (wish.high - wish.low);
      EXPECT_GE(value, wish.low - slack) << other.proposal.name;
      EXPECT_LE(value, wish.high + slack) << other.proposal.name;
    }
  }
}

TEST(Alternatives, EachTwoDifferByAtLeastAStep) {
  const Composed& composed = harvest();
  const auto all = all_designs(composed);
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const double character =
          steps_between(character_of(composed.brief, *all[i]).traits, character_of(composed.brief, *all[j]).traits);
      EXPECT_GE(std::max(character, ingredient_steps_between(*all[i], *all[j])), 1.0)
          << all[i]->name << " | " << all[j]->name;
    }
  }
}

TEST(Alternatives, MustUseAllStillMeansAll) {
  for (const Proposal* each : all_designs(harvest())) {
    double hops_g = 0.0;
    for (const Addition& addition : each->additions) {
      if (addition.ingredient_id == harvest().brief.given[1].ingredient.id) hops_g += addition.amount.in(gram);
    }
    EXPECT_NEAR(hops_g, 45.0, 1e-6);
  }
}

TEST(Alternatives, AskedForFewerTheFirstFewAreTheSame) {
  const Composed& composed = harvest();
  const Alternatives two = alternatives_of(composed.brief, composed.answer, {.most = 2});
  ASSERT_EQ(two.others.size(), 2u);
  for (std::size_t i = 0; i < 2; ++i)
    EXPECT_EQ(two.others[i].proposal.recipe, composed.alternatives.others[i].proposal.recipe);
}

TEST(Alternatives, ATighterAllowanceIsKept) {
  const Composed& composed = harvest();
  const Alternatives tight = alternatives_of(composed.brief, composed.answer, {.allowance = 0.06});
  for (const Alternative& other : tight.others) EXPECT_LE(other.points_more, 0.06);
  EXPECT_LT(tight.kept_wishes, composed.alternatives.kept_wishes);
}

// One malt, one hop, one yeast and narrow wishes: there is no other beer, and that is said.
TEST(Alternatives, WhereThereIsNoChoiceItSaysSo) {
  Brief brief;
  brief.have = {sample::of("pale ale malt"), sample::of("Cascade"), sample::of("neutral ale yeast", 50.0 * gram)};
  brief.have[1].hop_times = {60.0 * minute};
  brief.rest_low = brief.rest_high = 66.0 * celsius;
  brief.wishes = {{Measure::volume, 9.9, 10.1, 1.0, {}},
                  {Measure::alcohol, 4.9, 5.1, 1.0, {}},
                  {Measure::bitterness, 29.0, 31.0, 1.0, {}}};
  const Answer answer = compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  const Alternatives alternatives = alternatives_of(brief, answer);
  EXPECT_TRUE(alternatives.others.empty());
  EXPECT_FALSE(why_so_few(alternatives).empty());
}

// Nothing but the yeast is free: the other yeast is the other beer.
TEST(Alternatives, AnotherYeastIsAnotherWay) {
  Brief brief;
  brief.have = {sample::of("pale ale malt"), sample::of("Cascade"), sample::of("neutral ale yeast", 50.0 * gram)};
  Supply other = brief.have.back();
  other.ingredient.id = "other-ale-yeast";
  other.ingredient.name = "other ale yeast";
  brief.have.push_back(other);
  brief.have[1].hop_times = {60.0 * minute};
  brief.rest_low = brief.rest_high = 66.0 * celsius;
  brief.wishes = {{Measure::volume, 9.9, 10.1, 1.0, {}},
                  {Measure::alcohol, 4.9, 5.1, 1.0, {}},
                  {Measure::bitterness, 29.0, 31.0, 1.0, {}}};
  const Answer answer = compose(brief);
  const Alternatives alternatives = alternatives_of(brief, answer);
  ASSERT_EQ(alternatives.others.size(), 1u);
  EXPECT_NE(alternatives.others[0].proposal.recipe.yeast, answer.proposals.front().recipe.yeast);
  EXPECT_NE(alternatives.others[0].proposal.name.find("yeast"), std::string::npos);
}

TEST(Alternatives, ARefusedBriefHasNone) {
  Answer refused;
  refused.outcome = Outcome::refused;
  EXPECT_TRUE(alternatives_of(sample::harvest(), refused).others.empty());
}

TEST(Alternatives, IngredientDistanceIsSymmetricAndNothingToItself) {
  const auto all = all_designs(harvest());
  for (const Proposal* one : all) {
    EXPECT_DOUBLE_EQ(ingredient_steps_between(*one, *one), 0.0);
    for (const Proposal* other : all)
      EXPECT_NEAR(ingredient_steps_between(*one, *other), ingredient_steps_between(*other, *one), 1e-12);
  }
}

// Two bags of the same malt under two names, one of them open: that one is emptied first, unless a wish would suffer.
TEST(Open, WhatIsOpenIsUsedFirst) {
  Brief brief;
  Supply fresh = sample::of("pale ale malt", 5.0 * kilogram), open = fresh;
  fresh.ingredient.id = "a-fresh-bag";
  open.ingredient.id = "z-open-bag";
  brief.have = {fresh, open, sample::of("Cascade", 100.0 * gram), sample::of("neutral ale yeast", 50.0 * gram)};
  brief.wishes = {{Measure::volume, 9.8, 10.2, 1.0, {}},
                  {Measure::alcohol, 4.5, 5.5, 1.0, {}},
                  {Measure::bitterness, 25.0, 32.0, 1.0, {}}};
  const auto used_kg = [&](const std::string& id) {
    double kg = 0.0;
    const Answer answer = compose(brief);
    for (const Addition& addition : answer.proposals.at(0).additions) {
      if (addition.ingredient_id == id) kg += addition.amount.in(kilogram);
    }
    EXPECT_EQ(answer.outcome, Outcome::met);
    return kg;
  };
  for (std::size_t which : {0u, 1u}) {
    brief.have[0].open = which == 0;
    brief.have[1].open = which == 1;
    EXPECT_GT(used_kg(brief.have[which].ingredient.id), 1.0);
    EXPECT_EQ(used_kg(brief.have[1 - which].ingredient.id), 0.0);
  }
}

TEST(Cost, WholePacketsArePaidFor) {
  Brief brief;
  Supply malt = sample::of("pale ale malt");
  malt.cost_per_kg = 3.0;
  malt.packet = 2.0 * kilogram;
  brief.have = {malt};
  Proposal proposal;
  proposal.additions.push_back(
      {malt.ingredient.name, malt.ingredient.id, malt.ingredient.kind, 2.1 * kilogram, Route::mash, 0.0, false});
  EXPECT_DOUBLE_EQ(cost_of(brief, proposal), 12.0);  // two packets of 2 kg at 3 a kilogram
  brief.have[0].amount = 5.0 * kilogram;             // in the house: what is used
  EXPECT_DOUBLE_EQ(cost_of(brief, proposal), 6.3);
}

}  // namespace
}  // namespace oddgrist::compose

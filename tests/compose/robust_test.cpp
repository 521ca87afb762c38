// The chance that a beer comes out as wished, and recipes chosen by it.
#include <cmath>

#include <gtest/gtest.h>

#include "compose/doubt.hpp"
#include "compose/robust.hpp"
#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

struct Harvest {
  Brief brief = sample::harvest();
  Answer answer = compose(brief);
  const Proposal& proposal = answer.proposals.at(0);
};

const Harvest& harvest() {
  static const Harvest harvest;
  return harvest;
}

TEST(Chance, OfEverythingIsNoMoreThanOfAnything) {
  const Chance chance = chance_of(harvest().brief, harvest().proposal);
  ASSERT_EQ(chance.each.size(), harvest().brief.wishes.size());
  double missed = 0.0;
  for (double each : chance.each) {
    EXPECT_GE(each, chance.all);
    EXPECT_LE(each, 1.0);
    missed += 1.0 - each;
  }
  EXPECT_GE(chance.all, 1.0 - missed - 1e-12);  // Bonferroni
  EXPECT_GT(chance.all, 0.0);
}

TEST(Chance, IsTheIntervalTurnedRound) {
  Brief brief = harvest().brief;
  const auto interval =
      intervals_of(doubtful_of(brief, harvest().proposal), 8192)[static_cast<std::size_t>(Upshot::bitterness)];
  brief.wishes = {{Measure::bitterness, interval.low, interval.high, 1.0, {}}};
  EXPECT_NEAR(chance_of(brief, harvest().proposal, 8192).all, 0.8, 4.0 * std::sqrt(0.8 * 0.2 / 8192.0));
}

TEST(Chance, GrowsWithTheRange) {
  Brief brief = harvest().brief;
  double before = chance_of(brief, harvest().proposal).all;
  for (int round = 0; round < 3; ++round) {
    for (Wish& wish : brief.wishes) {
      const double more = 0.25 * (wish.high - wish.low);
      wish.low -= more;
      wish.high += more;
    }
    const double after = chance_of(brief, harvest().proposal).all;
    EXPECT_GT(after, before);
    before = after;
  }
}

// Samples are independent of each other and agree within their scatter, which is less than that of throws.
TEST(Chance, SamplesAgree) {
  const double one = chance_of(harvest().brief, harvest().proposal, 4096, 0).all;
  const double other = chance_of(harvest().brief, harvest().proposal, 4096, 7).all;
  EXPECT_NE(one, other);
  EXPECT_NEAR(one, other, 4.0 * std::sqrt(2.0 * one * (1.0 - one) / 4096.0));
}

TEST(Steadiest, IsLikelierOnDaysItHasNotSeen) {
  const Steady steady = steadiest(harvest().brief, harvest().proposal);
  EXPECT_GE(steady.now.all, steady.before.all);
  EXPECT_GE(steady.tried, 2);
  const double before = chance_of(harvest().brief, harvest().proposal, 8192, 77).all;
  const double now = chance_of(harvest().brief, steady.proposal, 8192, 77).all;
  if (steady.changed) {
    EXPECT_GT(now, before);
  } else {
    EXPECT_EQ(now, before);
  }
  // Judged by the brief's own demands it cannot be better on paper than the bound of the first.
  EXPECT_GE(steady.proposal.loss, harvest().proposal.bound - 1e-9);
}

// A recipe at the edge of a wish is brought inside.
TEST(Steadiest, LeavesTheEdge) {
  Brief brief = harvest().brief;
  const double abv = harvest().proposal.forecast.abv_percent;
  brief.wishes = {{Measure::volume, 9.0, 11.0, 1.0, {}}, {Measure::alcohol, abv, abv + 0.8, 1.0, {}}};
  const Proposal edge = proposal_of(brief, harvest().proposal.recipe);
  const Steady steady = steadiest(brief, edge);
  EXPECT_TRUE(steady.changed);
  EXPECT_LT(steady.before.all, 0.6);
  EXPECT_GT(steady.now.all, steady.before.all + 0.2);
  EXPECT_GT(chance_of(brief, steady.proposal, 8192, 77).all, chance_of(brief, edge, 8192, 77).all + 0.2);
}

// Among recipes, it takes the likelier one whichever comes first, and never one that misses what the first keeps.
TEST(Steadiest, NeverWorseThanTheFirst) {
  const SteadyOptions none;
  const Steady once = steadiest(harvest().brief, harvest().proposal);
  const Steady twice = steadiest(harvest().brief, once.proposal, std::vector<Proposal>{harvest().proposal}, none);
  EXPECT_GE(twice.now.all, once.now.all);
  Brief certain = harvest().brief;
  certain.wishes = {{Measure::volume, 5.0, 15.0, 1.0, {}}};
  const Steady kept = steadiest(certain, proposal_of(certain, harvest().proposal.recipe));
  EXPECT_EQ(kept.before.all, 1.0);
  EXPECT_FALSE(kept.changed);
  EXPECT_EQ(kept.proposal.recipe, harvest().proposal.recipe);
}

}  // namespace
}  // namespace oddgrist::compose

// Cures of a clash: nothing is printed that has not been solved, and what is printed can be weighed and written into the brief.
#include "compose/cure.hpp"

#include <cstdio>

#include <gtest/gtest.h>

#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

Brief too_strong() {
  Brief brief;
  brief.have = {sample::of("pale ale malt", 2.0 * kilogram), sample::of("Golding", 50.0 * gram),
                sample::of("neutral ale yeast", 11.5 * gram)};
  brief.wishes = {{Measure::volume, 9.8, 10.2, 1.0, {}}, {Measure::alcohol, 7.8, 8.2, 1.0, {}}};
  return brief;
}

Member stock_of_malt() { return {Member::Kind::stock, 0, "", 0.1, 1.0}; }
Member alcohol() { return {Member::Kind::wish, 1, "", 0.2, 1.0}; }

TEST(Cure, WhatIsNotConfirmedIsNoCure) {
  const Brief brief = too_strong();
  const Unknowns unknowns = unknowns_of(brief);
  int asked = 0;
  const auto never = [&](const Brief&) { return ++asked < 0; };
  EXPECT_FALSE(proved_cure(brief, unknowns, stock_of_malt(), {0.9645, false}, never));
  EXPECT_GT(asked, 1) << "a little more was not tried";
}

TEST(Cure, IsWeighableAndNoMoreThanNeeded) {
  const Brief brief = too_strong();
  const Unknowns unknowns = unknowns_of(brief);
  double taken_kg = 0.0;
  const auto enough = [&](const Brief& changed) {
    taken_kg = changed.have[0].amount->in(kilogram);
    return taken_kg >= 3.05;
  };
  const auto cure = proved_cure(brief, unknowns, stock_of_malt(), {0.9645, false}, enough);
  ASSERT_TRUE(cure);
  ASSERT_EQ(cure->changes.size(), 1u);
  EXPECT_EQ(cure->changes[0].key, "have[1].amount");
  EXPECT_EQ(cure->changes[0].from, "2000 g");
  EXPECT_EQ(cure->changes[0].to, "3100 g");
  EXPECT_DOUBLE_EQ(taken_kg, 3.1);
}

TEST(Cure, AWishOpensOnTheSideItIsMissedOn) {
  const Brief brief = too_strong();
  const Unknowns unknowns = unknowns_of(brief);
  const auto below = [](const Brief& changed) {
    return changed.wishes[1].low <= 5.61 && changed.wishes[1].high == 8.2;
  };
  const auto cure = proved_cure(brief, unknowns, alcohol(), {2.19, true}, below);
  ASSERT_TRUE(cure);
  EXPECT_EQ(cure->changes[0].key, "want.alcohol");
  EXPECT_EQ(cure->changes[0].to, R"(["5.6 %", "8.2 %"])");
  const auto above = [](const Brief& changed) { return changed.wishes[1].low == 7.8 && changed.wishes[1].high >= 9.0; };
  EXPECT_TRUE(proved_cure(brief, unknowns, alcohol(), {0.81, false}, above));
}

// What compose prints has been applied: the same change, asked again by hand, keeps every wish.
TEST(Cure, EveryPrintedOneCures) {
  const Brief brief = too_strong();
  const Answer answer = compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::nearest);
  ASSERT_EQ(answer.clashes.size(), 1u);
  ASSERT_FALSE(answer.clashes[0].cures.empty());
  for (const Cure& cure : answer.clashes[0].cures) {
    ASSERT_EQ(cure.changes.size(), 1u);
    const Change& change = cure.changes[0];
    Brief changed = brief;
    double low = 0.0, high = 0.0;
    if (change.key == "have[1].amount") {
      changed.have[0].amount = std::stod(change.to) * gram;
    } else {
      ASSERT_EQ(std::sscanf(change.to.c_str(), "[\"%lf %*[L%%]\", \"%lf", &low, &high), 2) << change.to;
      Wish& wish = changed.wishes[change.key == "want.volume" ? 0 : 1];
      wish.low = low;
      wish.high = high;
    }
    EXPECT_EQ(compose(changed).outcome, Outcome::met) << cure.words;
  }
}

}  // namespace
}  // namespace oddgrist::compose

// What the reasons say is held against the true forecast and against composing again.
#include "compose/reasons.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <gtest/gtest.h>

#include "compose/loss_terms.hpp"
#include "compose/poured.hpp"
#include "compose/search.hpp"
#include "compose/twists.hpp"
#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

struct Composed {
  explicit Composed(Brief asked) : brief(std::move(asked)), answer(compose(brief)) {}
  Brief brief;
  Answer answer;
  Unknowns unknowns = unknowns_of(brief);
  Demands demands = demands_of(brief, unknowns);
  const Proposal& proposal() const { return answer.proposals.front(); }
  Fermentation fermentation() const { return fermentation_of(brief, proposal().recipe); }
  Design design() const { return design_of(brief, unknowns, proposal().recipe, nullptr); }
};

double of(const OneMore& more, Gauge gauge) {
  switch (gauge) {
    case Gauge::original_gravity: return more.original_gravity_sg;
    case Gauge::final_gravity: return more.final_gravity_sg;
    case Gauge::alcohol: return more.abv_percent;
    case Gauge::bitterness: return more.bitterness_ibu;
    case Gauge::colour: return more.colour_ebc;
    case Gauge::mash_ph: return more.mash_ph;
    default: return more.volume_l;
  }
}

// Half the step makes a quarter of the difference between what is said and what a new forecast gives: nothing but the second order is
// left out.
TEST(OneMore, MatchesANewForecastToSecondOrder) {
  const Composed composed{sample::harvest()};
  const Reasons reasons = reasons_of(composed.brief, composed.proposal(), {.most_checked = 0});
  const Design design = composed.design();
  const Fermentation fermentation = composed.fermentation();
  const auto before = gauges_of(forecast_of(composed.brief, composed.unknowns, design, fermentation));
  std::size_t at = 0;
  int judged = 0;
  for (std::size_t v = 0; v < composed.unknowns.variables.size(); ++v) {
    if (design.amount_kg[v] <= 1e-9) continue;
    ASSERT_LT(at, reasons.one_more.size());
    const OneMore& more = reasons.one_more[at++];
    const auto error = [&](Gauge gauge, double share) {
      Design then = design;
      then.amount_kg[v] += share * more.step_kg;
      const auto after = gauges_of(forecast_of(composed.brief, composed.unknowns, then, fermentation));
      const int g = static_cast<int>(gauge);
      return std::abs(after[g] - before[g] - share * of(more, gauge));
    };
    for (Gauge gauge : {Gauge::original_gravity, Gauge::final_gravity, Gauge::alcohol, Gauge::bitterness, Gauge::colour,
                        Gauge::mash_ph, Gauge::volume_l}) {
      const double whole = error(gauge, 1.0), half = error(gauge, 0.5);
      EXPECT_LE(whole, 0.05 * std::abs(of(more, gauge)) + 1e-6) << more.ingredient << " " << static_cast<int>(gauge);
      if (whole < 1e-7) continue;  // rounding
      EXPECT_LT(half, 0.3 * whole) << more.ingredient << " " << static_cast<int>(gauge);
      ++judged;
    }
  }
  EXPECT_EQ(at, reasons.one_more.size());
  EXPECT_GT(judged, 10);
}

TEST(OneMore, PointsAreTheTrueLossAfterLessBefore) {
  const Composed composed{sample::harvest()};
  const Reasons reasons = reasons_of(composed.brief, composed.proposal(), {.most_checked = 0});
  const Design design = composed.design();
  std::size_t at = 0;
  for (std::size_t v = 0; v < composed.unknowns.variables.size(); ++v) {
    if (design.amount_kg[v] <= 1e-9) continue;
    const OneMore& more = reasons.one_more.at(at++);
    Design then = design;
    then.amount_kg[v] += more.step_kg;
    const auto gauges = gauges_of(forecast_of(composed.brief, composed.unknowns, then, composed.fermentation()));
    const double change = loss_of(composed.demands, then, composed.unknowns, gauges) - composed.proposal().loss;
    EXPECT_NEAR(more.points, change, 1e-6 * (1.0 + std::abs(change))) << more.ingredient;
  }
}

TEST(OneMore, MoreThanThereIsGoesAgainstWhatWasGiven) {
  const Composed composed{sample::harvest()};
  bool seen = false;
  for (const OneMore& more : reasons_of(composed.brief, composed.proposal(), {.most_checked = 0}).one_more) {
    if (more.ingredient_id != composed.brief.given[0].ingredient.id) continue;
    seen = true;
    EXPECT_NE(more.hurts.find("350 g"), std::string::npos) << more.hurts;
    EXPECT_GT(more.points, 100.0);
  }
  EXPECT_TRUE(seen);
}

// Forced in by a search that starts from nothing, not from the recipe.
TEST(LeftOut, ForcedInItIsNoBetterThanTheRecipe) {
  const Composed composed{sample::harvest()};
  const Reasons reasons = reasons_of(composed.brief, composed.proposal());
  ASSERT_FALSE(reasons.left_out.empty());
  const double best = composed.proposal().loss;
  int forced_in = 0;
  for (const LeftOut& out : reasons.left_out) {
    EXPECT_TRUE(out.checked);
    EXPECT_FALSE(out.reason.empty());
    for (int s = 0; s < static_cast<int>(composed.unknowns.supplies.size()); ++s) {
      if (composed.unknowns.supplies[s]->ingredient.id != out.ingredient_id) continue;
      EXPECT_FALSE(is_used(composed.design(), composed.unknowns, s)) << out.ingredient << " is in the recipe";
      Demands forced = composed.demands;
      forced.elastics.push_back(held_at(composed.unknowns, s, out.tried_kg, 1e9));
      const Found found = search(composed.brief, composed.unknowns, forced, composed.fermentation());
      ASSERT_GE(amount_of(composed.unknowns, found.design, s), out.tried_kg * 0.99) << out.ingredient;
      const double loss = loss_of(composed.demands, found.design, composed.unknowns, found.gauges);
      EXPECT_GE(loss, best - 0.01 * (1.0 + best)) << out.ingredient;  // the search promises half a per cent
      EXPECT_NEAR(loss - best, out.points, 0.02 * (1.0 + best)) << out.ingredient;
      ++forced_in;
    }
  }
  EXPECT_GE(forced_in, 2);
}

// Everything in the house is either in the recipe or has a reason, once.
TEST(LeftOut, NothingIsForgotten) {
  const Composed composed{sample::harvest()};
  const Reasons reasons = reasons_of(composed.brief, composed.proposal(), {.most_checked = 1});
  for (const Supply& supply : composed.brief.have) {
    const std::string& id = supply.ingredient.id;
    const auto& additions = composed.proposal().additions;
    const bool used =
        std::any_of(additions.begin(), additions.end(), [&](const Addition& a) { return a.ingredient_id == id; });
    const auto told = std::count_if(reasons.left_out.begin(), reasons.left_out.end(),
                                    [&](const LeftOut& out) { return out.ingredient_id == id; });
    EXPECT_EQ(told, used ? 0 : 1) << id;
  }
}

// A roasted malt in a pale beer: the least of it throws the colour off, and that is the reason given.
TEST(LeftOut, WhatWouldHurtAWishSaysWhich) {
  Brief brief;
  brief.have = {sample::of("pilsner malt"), sample::of("chocolate malt"), sample::of("Saaz"),
                sample::of("neutral ale yeast", 50.0 * gram)};
  brief.wishes = {{Measure::volume, 9.8, 10.2, 1.0, {}},
                  {Measure::alcohol, 4.5, 5.0, 1.0, {}},
                  {Measure::bitterness, 20.0, 26.0, 1.0, {}},
                  {Measure::colour, 4.0, 8.0, 1.0, {}}};
  const Composed composed{brief};
  ASSERT_EQ(composed.answer.outcome, Outcome::met);
  for (int most_checked : {6, 0}) {  // by composing again, and from the derivatives
    const Reasons reasons = reasons_of(composed.brief, composed.proposal(), {.most_checked = most_checked});
    ASSERT_EQ(reasons.left_out.size(), 1u);
    EXPECT_EQ(reasons.left_out[0].cause, LeftOut::Cause::hurts);
    EXPECT_NE(reasons.left_out[0].reason.find("colour"), std::string::npos) << reasons.left_out[0].reason;
    EXPECT_EQ(reasons.left_out[0].checked, most_checked > 0);
    EXPECT_GT(reasons.left_out[0].points, 1.0);
  }
}

// Two malts are allowed and both are given: a third has no room.
TEST(LeftOut, WhereTheNumberOfMaltsIsLimitedItSaysSo) {
  Brief brief = sample::harvest();
  brief.most_malts = 2;
  const Composed composed{brief};
  int limited = 0;
  for (const LeftOut& out : reasons_of(composed.brief, composed.proposal(), {.most_checked = 0}).left_out)
    limited += out.cause == LeftOut::Cause::limit ? 1 : 0;
  EXPECT_GE(limited, 2);
}

TEST(LossTerms, AddUpToTheLoss) {
  const Composed composed{sample::harvest()};
  const Design design = composed.design();
  const auto gauges = gauges_of(composed.proposal().forecast);
  const auto terms = loss_terms(composed.demands, design, composed.unknowns, gauges);
  const double sum = std::accumulate(terms.begin(), terms.end(), 0.0,
                                     [](double total, const LossTerm& term) { return total + term.points; });
  EXPECT_NEAR(sum, loss_of(composed.demands, design, composed.unknowns, gauges), 1e-9);
}

}  // namespace
}  // namespace oddgrist::compose

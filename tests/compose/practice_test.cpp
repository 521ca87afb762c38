// Everyday briefs whose answer a brewer knows beforehand: what was wrong once, and bounds from practice, not from what the program prints.
#include <gtest/gtest.h>

#include "compose/practice_demands.hpp"
#include "compose/robust.hpp"
#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

using larder::IngredientClass;
using larder::IngredientKind;

Brief house(double litres) {
  Brief brief;
  brief.wishes = {{Measure::volume, 0.98 * litres, 1.02 * litres, 1.0, {}}};
  brief.have = {sample::of("pale ale malt", 8.0 * kilogram), sample::of("neutral ale yeast", 23.0 * gram),
                sample::of("Golding", 100.0 * gram)};
  return brief;
}

double kg_of(const Proposal& proposal, const std::string& id) {
  double sum = 0.0;
  for (const Addition& each : proposal.additions) sum += each.ingredient_id == id ? each.amount.in(kilogram) : 0.0;
  return sum;
}
double kg_of_kind(const Proposal& proposal, IngredientKind kind) {
  double sum = 0.0;
  for (const Addition& each : proposal.additions) sum += each.kind == kind ? each.amount.in(kilogram) : 0.0;
  return sum;
}
bool leaves(const Proposal& proposal, const std::string& practice) {
  return std::any_of(proposal.departures.begin(), proposal.departures.end(),
                     [&](const Departure& each) { return each.practice == practice; });
}

TEST(Practice, VolumeAloneIsAnOrdinaryBeer) {
  Brief brief = house(10.0);
  brief.have.push_back(sample::of("white sugar", 1.0 * kilogram));
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  const Proposal& beer = answer.proposals.at(0);
  EXPECT_GE(beer.forecast.abv_percent, 4.0);
  EXPECT_LE(beer.forecast.abv_percent, 6.0);
  EXPECT_GE(beer.forecast.bitterness_ibu, 13.0);
  EXPECT_LE(beer.forecast.bitterness_ibu, 35.0);
  EXPECT_GE(beer.forecast.final_gravity_sg, 1.007);
  EXPECT_LE(beer.forecast.final_gravity_sg, 1.014);
  EXPECT_GE(beer.recipe.yeast_kg, 4e-3);
  EXPECT_EQ(kg_of_kind(beer, IngredientKind::sugar), 0.0);
  EXPECT_GE(beer.recipe.rest_temperature_c, 65.0);
  EXPECT_LE(beer.recipe.rest_temperature_c, 68.0);
}

// No bitterness wished: neither none nor 85.
TEST(Practice, BitternessFollowsGravityWhereNoneIsWished) {
  Brief brief = house(10.0);
  brief.wishes.push_back({Measure::alcohol, 4.8, 5.2, 1.0, {}});
  brief.have.push_back(sample::of("Magnum", 100.0 * gram));
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  EXPECT_GE(answer.proposals.at(0).forecast.bitterness_ibu, 13.0);
  EXPECT_LE(answer.proposals.at(0).forecast.bitterness_ibu, 38.0);
}

// 25 g of a strong hop to be used up in 10 L: most of it late, so that the beer stays in balance.
TEST(Practice, AStrongHopToBeUsedUpGoesInLate) {
  Brief brief = house(10.0);
  brief.wishes.push_back({Measure::alcohol, 4.8, 5.2, 1.0, {}});
  brief.given = {sample::all_of("Magnum", 25.0 * gram)};
  const Answer answer = compose::compose(brief);
  ASSERT_FALSE(answer.proposals.empty());
  EXPECT_LE(answer.proposals.at(0).forecast.bitterness_ibu, 50.0);
}

TEST(Practice, MaltBeforeSugarForAStrongBeer) {
  Brief brief = house(10.0);
  brief.kit.kettle = 25.0 * litre;
  brief.wishes.push_back({Measure::alcohol, 11.5, 12.5, 1.0, {}});
  brief.have = {sample::of("pale ale malt", 10.0 * kilogram), sample::of("white sugar", 3.0 * kilogram),
                sample::of("Golding", 200.0 * gram), sample::of("Belgian ale yeast", 60.0 * gram)};
  const Answer answer = compose::compose(brief);
  ASSERT_FALSE(answer.proposals.empty());
  const Proposal& beer = answer.proposals.at(0);
  const double sugar = kg_of_kind(beer, IngredientKind::sugar), malt = kg_of_kind(beer, IngredientKind::malt);
  EXPECT_LE(sugar, 0.41 * (sugar + 0.8 * malt));
  if (sugar > 0.25 * (sugar + 0.8 * malt)) EXPECT_TRUE(leaves(beer, "sugar-share"));
}

// Half a per cent is not water with priming sugar in it.
TEST(Practice, NoBeerWithoutMalt) {
  Brief brief = house(10.0);
  brief.wishes.push_back({Measure::alcohol, 0.4, 0.5, 1.0, {}});
  brief.have.push_back(sample::of("white sugar", 1.0 * kilogram));
  const Answer answer = compose::compose(brief);
  EXPECT_NE(answer.outcome, Outcome::met);
  for (const Proposal& beer : answer.proposals) EXPECT_GE(kg_of_kind(beer, IngredientKind::malt), 0.38);
}

// 2 kg of roasted malt in 5 L: no porridge, no scalding strike, and no silence about it.
TEST(Practice, MuchRoastedMaltIsMashedPossiblyOrNotAtAll) {
  Brief brief = house(5.0);
  brief.kit.kettle = 10.0 * litre;
  brief.given = {sample::all_of("chocolate malt", 2.0 * kilogram)};
  brief.wishes.push_back({Measure::alcohol, 5.0, 6.0, 1.0, {}});
  const Answer answer = compose::compose(brief);
  for (const Proposal& beer : answer.proposals) {
    EXPECT_LE(beer.forecast.strike_temperature_c, 82.1);
    EXPECT_GE(beer.forecast.mash_liquor_l, 1.69 * beer.forecast.grist_kg);
    EXPECT_TRUE(leaves(beer, "roasted-share") || leaves(beer, "grain-share"));
  }
  if (answer.proposals.empty()) EXPECT_FALSE(answer.broken_limits.empty());
}

// Hops are no sponge.
TEST(Practice, HopsDoNotMendAVolume) {
  Brief brief = house(10.0);
  brief.wishes = {{Measure::volume, 7.0, 7.2, 1.0, {}}, {Measure::original_gravity, 1.0300, 1.0302, 1.0, {}}};
  brief.given = {sample::all_of("pale ale malt", 1.5 * kilogram)};
  brief.have = {sample::of("Golding", 1.0 * kilogram), sample::of("neutral ale yeast", 11.5 * gram)};
  const Answer answer = compose::compose(brief);
  for (const Proposal& beer : answer.proposals) EXPECT_LE(kg_of_kind(beer, IngredientKind::hop), 0.08);
}

TEST(Practice, AnAromaHopIsNotBoiledHalfAnHour) {
  Brief brief = house(20.0);
  brief.kit.kettle = 35.0 * litre;
  brief.given = {sample::all_of("Cascade", 113.0 * gram)};
  brief.wishes.push_back({Measure::alcohol, 5.0, 5.5, 1.0, {}});
  brief.wishes.push_back({Measure::bitterness, 35.0, 42.0, 1.0, {}});
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  double late = 0.0, neither = 0.0;
  for (const Addition& each : answer.proposals.at(0).additions) {
    if (each.kind != IngredientKind::hop) continue;
    const bool at_flame_out = each.route == Route::flame_out || each.route == Route::fermenter;
    late += at_flame_out || each.minutes_before_boil_end <= 15.0 ? each.amount.in(gram) : 0.0;
    neither += !at_flame_out && each.minutes_before_boil_end > 20.0 && each.minutes_before_boil_end < 40.0
                   ? each.amount.in(gram)
                   : 0.0;
  }
  EXPECT_GE(late, 0.5 * 113.0);
  EXPECT_LE(neither, 0.1 * 113.0);
}

TEST(Practice, GrainWithoutEnzymesIsNoMash) {
  Brief brief = house(10.0);
  brief.wishes.push_back({Measure::alcohol, 4.5, 5.0, 1.0, {}});
  brief.have = {sample::of("raw barley", 5.0 * kilogram), sample::of("pale ale malt", 200.0 * gram),
                sample::of("Golding", 100.0 * gram), sample::of("neutral ale yeast", 11.5 * gram)};
  const Answer answer = compose::compose(brief);
  EXPECT_NE(answer.outcome, Outcome::met);
  for (const Proposal& beer : answer.proposals)
    EXPECT_LE(kg_of(beer, "raw-barley"), 2.5 * kg_of(beer, "pale-ale-malt"));
}

TEST(Practice, SaltInKilogramsIsNeverMet) {
  Brief brief = house(10.0);
  brief.given = {sample::all_of("table salt", 1.5 * kilogram)};
  EXPECT_NE(compose::compose(brief).outcome, Outcome::met);
}

TEST(Practice, ALimitHoldsOnEitherSide) {
  const Brief brief = house(10.0);
  const Unknowns unknowns = unknowns_of(brief);
  const Demands demands = demands_of(brief, unknowns);
  Design design;
  design.amount_kg.assign(unknowns.variables.size(), 0.0);
  std::array<double, gauge_count> gauges{};
  const auto grist = static_cast<std::size_t>(unknowns.variables_of_supply[0].front());
  design.amount_kg[grist] = 2.0;
  design.amount_kg[0] = 2.0 * 1.75;
  EXPECT_TRUE(broken_limits(demands, unknowns, design, gauges).empty());
  design.amount_kg[0] = 2.0 * 1.65;
  EXPECT_FALSE(broken_limits(demands, unknowns, design, gauges).empty());
  design.amount_kg[0] = 6.0;
  gauges[static_cast<std::size_t>(Gauge::strike_temperature)] = 81.9;
  EXPECT_TRUE(broken_limits(demands, unknowns, design, gauges).empty());
  gauges[static_cast<std::size_t>(Gauge::strike_temperature)] = 82.1;
  EXPECT_FALSE(broken_limits(demands, unknowns, design, gauges).empty());
}

TEST(Practice, TheLikeliestComesFirstAndItsChanceIsSaid) {
  Brief brief = sample::harvest();
  brief.likely_first = true;
  const Answer likely = compose::compose(brief);
  ASSERT_TRUE(likely.likelihood);
  brief.likely_first = false;
  const Answer paper = compose::compose(brief);
  EXPECT_FALSE(paper.likelihood);
  // On days neither has been chosen by.
  const double now = chance_of(brief, likely.proposals.at(0), 4096, 77).all;
  const double before = chance_of(brief, paper.proposals.at(0), 4096, 77).all;
  EXPECT_GE(now, before - 0.01);
  EXPECT_NEAR(likely.likelihood->chance, now, 0.1);
}

TEST(PracticeTable, RefusesWhatItDoesNotKnow) {
  for (const char* text :
       {"[[practice]]\nid = \"x\"\n", "[[practice]]\nid = \"x\"\nof = \"mood\"\n", "practice = 1\n", "[[practice"})
    EXPECT_ANY_THROW(larder::PracticeTable({"data/practice.toml", text})) << text;
  EXPECT_GT(larder::practice_table().rows().size(), 20U);
}

}  // namespace
}  // namespace oddgrist::compose

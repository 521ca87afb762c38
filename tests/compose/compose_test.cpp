// The inversion as a whole, judged by the true forecast and by hand-made briefs whose answer is known in words.
#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "compose/search.hpp"
#include "compose/yeast_choice.hpp"
#include "process/forecast.hpp"
#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

double used_g(const Proposal& proposal, const std::string& id) {
  double sum = 0.0;
  for (const Addition& addition : proposal.additions) {
    if (addition.ingredient_id == id) sum += addition.amount.in(gram);
  }
  return sum;
}

std::string id_of(const std::string& name) { return larder::catalogue().find(name)->id; }

void expect_wishes_met(const Brief& brief, const Proposal& proposal) {
  // Judged afresh: the plan the proposal carries is run again, not its stored forecast.
  const auto out = process::forecast(proposal.plan);
  for (const Wish& wish : brief.wishes) {
    double value = 0.0;
    switch (wish.measure) {
      case Measure::volume: value = out.fermenter_volume_l; break;
      case Measure::original_gravity: value = out.original_gravity_sg; break;
      case Measure::final_gravity: value = out.final_gravity_sg; break;
      case Measure::alcohol: value = out.abv_percent; break;
      case Measure::bitterness: value = out.bitterness_ibu; break;
      case Measure::colour: value = out.colour_ebc; break;
      case Measure::mash_ph: value = out.mash_ph; break;
      default: FAIL() << "not judged here";
    }
    EXPECT_GE(value, wish.low) << static_cast<int>(wish.measure);
    EXPECT_LE(value, wish.high) << static_cast<int>(wish.measure);
  }
}

TEST(Compose, HarvestBriefIsMetWithAllOfTheParcel) {
  const Brief brief = sample::harvest();
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  const Proposal& proposal = answer.proposals.at(0);
  expect_wishes_met(brief, proposal);
  EXPECT_NEAR(used_g(proposal, id_of("smoked wheat malt")), 350.0, 1e-6);
  EXPECT_NEAR(used_g(proposal, id_of("home-dried hops")), 45.0, 1e-6);
  EXPECT_LE(proposal.bound_gap, 0.01);
  EXPECT_LE(proposal.forecast.mash_volume_hot_l, 16.0 * 0.95 + 1e-6);
  EXPECT_TRUE(answer.clashes.empty());
}

// Ends of bags, each less than is worth opening a bag for, where the house holds too little for the strength.
TEST(Compose, UsesUpEndsOfBagsWhereTheHouseHoldsTooLittle) {
  const std::vector<std::string> ends = {"light Munich malt", "wheat malt"};
  Brief brief = sample::harvest();
  brief.have = {sample::of("pale ale malt", 0.9 * kilogram), sample::of("neutral ale yeast", 11.5 * gram)};
  for (const std::string& name : ends) brief.have.push_back(sample::of(name, 30.0 * gram));
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::nearest);
  for (const std::string& name : ends) EXPECT_NEAR(used_g(answer.proposals.at(0), id_of(name)), 30.0, 1e-6) << name;
}

// A second yeast is only looked into where it could do better than the first.
TEST(Compose, SearchGivesUpWhereNothingPromisesLess) {
  const Brief brief = sample::harvest();
  const Unknowns unknowns = unknowns_of(brief);
  const Demands demands = demands_of(brief, unknowns);
  const Fermentation fermentation = ferment_with(brief, yeasts_of(brief).at(0));
  const Found free = search_thoroughly(brief, unknowns, demands, fermentation);
  const Found above = search_thoroughly(brief, unknowns, demands, fermentation, 1.5 * free.loss);
  EXPECT_NEAR(above.loss, free.loss, 0.02 * free.loss);
  const Found below = search_thoroughly(brief, unknowns, demands, fermentation, 0.5 * free.loss);
  EXPECT_GE(below.loss, 0.5 * free.loss);
  EXPECT_LT(below.linearisations, free.linearisations);
}

TEST(Compose, SameBriefSameAnswer) {
  const Proposal first = compose::compose(sample::harvest()).proposals.at(0);
  const Proposal second = compose::compose(sample::harvest()).proposals.at(0);
  ASSERT_EQ(first.additions.size(), second.additions.size());
  for (std::size_t i = 0; i < first.additions.size(); ++i)
    EXPECT_EQ(first.additions[i].amount, second.additions[i].amount);
}

TEST(Compose, AmountsCanBeWeighed) {
  const Answer answer = compose::compose(sample::harvest());
  for (const Addition& addition : answer.proposals.at(0).additions) {
    if (addition.kind == larder::IngredientKind::yeast) continue;
    const double steps =
        addition.amount.in(kilogram) / larder::catalogue().find(addition.ingredient_id)->weighable_step_kg;
    EXPECT_NEAR(steps, std::round(steps), 1e-6) << addition.ingredient;
  }
}

TEST(Compose, NoMoreMaltsThanAllowed) {
  Brief brief = sample::harvest();
  brief.most_malts = 3;
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  const auto& additions = answer.proposals.at(0).additions;
  EXPECT_LE(std::count_if(additions.begin(), additions.end(), [](const Addition& a) { return a.route == Route::mash; }),
            3);
}

TEST(Compose, SugarAloneNeedsNoMash) {
  Brief brief;
  brief.have = {sample::of("white sugar"), sample::of("Cascade", 100.0 * gram),
                sample::of("neutral ale yeast", 50.0 * gram)};
  brief.wishes = {{Measure::volume, 4.9, 5.1, 1.0, {}}, {Measure::alcohol, 4.5, 5.5, 1.0, {}}};
  const Answer answer = compose::compose(brief);
  EXPECT_EQ(answer.outcome, Outcome::met);
  expect_wishes_met(brief, answer.proposals.at(0));
}

TEST(Compose, HopsFromTheHouseBitterIt) {
  Brief brief = sample::harvest();
  brief.given.pop_back();
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  expect_wishes_met(brief, answer.proposals.at(0));
  EXPECT_GT(used_g(answer.proposals.at(0), id_of("Northern Brewer")), 0.0);
}

// Two malts that serve alike; one is sold by the kilogram, the other in sacks of 25 kg at the same price a kilogram. Two kilograms
// are needed: nobody should be told to buy the sack.
TEST(Compose, BuysWholePacketsAndNotMoreThanNeeded) {
  Brief brief = sample::harvest();
  brief.have.erase(brief.have.begin(), brief.have.begin() + 4);
  Supply loose = sample::of("pale ale malt"), sack = sample::of("pilsner malt");
  loose.packet = 1.0 * kilogram;
  sack.packet = 25.0 * kilogram;
  loose.cost_per_kg = sack.cost_per_kg = 3.0;
  brief.have.push_back(loose);
  brief.have.push_back(sack);
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  const auto& purchases = answer.proposals.at(0).purchases;
  ASSERT_EQ(purchases.size(), 1u);
  EXPECT_EQ(purchases[0].ingredient, loose.ingredient.name);
  EXPECT_EQ(purchases[0].packets, std::ceil(purchases[0].needed.in(kilogram)-1e-9));
  EXPECT_LE(answer.proposals.at(0).bound_gap, 0.01);
}

TEST(Compose, SmallKettleIsToppedUpAfterTheMash) {
  Brief brief = sample::harvest();
  brief.kit.kettle = 15.0 * litre;  // grain and all the water would stand at about 14.7 L, above 95 % of this
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  expect_wishes_met(brief, answer.proposals.at(0));
  EXPECT_LE(answer.proposals.at(0).forecast.mash_volume_hot_l, 15.0 * 0.95 + 1e-6);
  EXPECT_GT(process::total_mass_kg(answer.proposals.at(0).charge.top_up), 0.0);
}

// Hard tap water and a pale grist: the mash would stand above pH 5.6; salts or acid in the house must bring it into range.
TEST(Compose, TreatsTheWaterForMashPhAndIons) {
  Brief brief = sample::harvest();
  brief.waters = {
      {"tap", {.calcium_mg_per_l = 60.0, .sulphate_mg_per_l = 40.0, .alkalinity_meq_per_l = 3.5}, std::nullopt, {}}};
  const double untreated = compose::compose(brief).proposals.at(0).forecast.mash_ph;
  brief.have.push_back(sample::of("lactic acid 80 %", 100.0 * gram));
  brief.have.push_back(sample::of("calcium chloride dihydrate", 50.0 * gram));
  brief.have.push_back(sample::of("gypsum", 50.0 * gram));
  brief.wishes.push_back({Measure::mash_ph, 5.3, 5.45, 1.0, {}});
  brief.wishes.push_back({Measure::chloride, 60.0, 90.0, 1.0, {}});
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::met);
  const auto& forecast = answer.proposals.at(0).forecast;
  EXPECT_GT(untreated, 5.5);
  EXPECT_GE(forecast.mash_ph, 5.3);
  EXPECT_LE(forecast.mash_ph, 5.45);
  EXPECT_GE(forecast.liquor_ions_mg_per_l[3], 60.0);
  EXPECT_LE(forecast.liquor_ions_mg_per_l[3], 90.0);
  EXPECT_GT(used_g(answer.proposals.at(0), id_of("calcium chloride dihydrate")), 0.0);
}

TEST(Clash, TooStrongForTheMaltInTheHouse) {
  Brief brief;
  brief.have = {sample::of("pale ale malt", 2.0 * kilogram), sample::of("Cascade"),
                sample::of("neutral ale yeast", 50.0 * gram)};
  brief.wishes = {{Measure::volume, 9.8, 10.2, 1.0, {}},
                  {Measure::alcohol, 8.0, 9.0, 1.0, {}},
                  {Measure::bitterness, 20, 30, 1.0, {}}};
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::nearest);
  ASSERT_EQ(answer.proposals.size(), 1u);
  ASSERT_EQ(answer.clashes.size(), 1u);
  std::string all;
  for (const std::string& wish : answer.clashes[0].wishes) all += wish + "\n";
  EXPECT_EQ(answer.clashes[0].wishes.size(), 3u) << all;
  EXPECT_NE(all.find("volume"), std::string::npos);
  EXPECT_NE(all.find("alcohol"), std::string::npos);
  EXPECT_NE(all.find("no more than 2 kg of pale ale malt"), std::string::npos) << all;
  EXPECT_EQ(all.find("bitterness"), std::string::npos);
  EXPECT_FALSE(answer.clashes[0].least_change.empty());
}

TEST(Clash, KettleTooSmall) {
  Brief brief = sample::harvest();
  brief.kit.kettle = 9.0 * litre;
  const Answer answer = compose::compose(brief);
  ASSERT_EQ(answer.outcome, Outcome::nearest);
  ASSERT_EQ(answer.clashes.size(), 1u);
  const auto& wishes = answer.clashes[0].wishes;
  const auto names = [&](const char* word) {
    return std::any_of(wishes.begin(), wishes.end(),
                       [&](const std::string& w) { return w.find(word) != std::string::npos; });
  };
  EXPECT_TRUE(names("kettle"));
  EXPECT_TRUE(names("volume"));
  EXPECT_EQ(wishes.size(), 2u);
}

TEST(Refusal, KernelsMakeNoRecipe) {
  Brief brief = sample::harvest();
  Supply kernels;
  kernels.ingredient.id = "kernels";
  kernels.ingredient.name = "apricot kernels";
  kernels.amount = 100.0 * gram;
  kernels.must = Must{Must::Sense::all, 100.0 * gram, 100.0 * gram};
  brief.given.push_back(kernels);
  const Answer answer = compose::compose(brief);
  EXPECT_EQ(answer.outcome, Outcome::refused);
  EXPECT_TRUE(answer.proposals.empty());
  ASSERT_FALSE(answer.cautions.empty());
  EXPECT_EQ(answer.cautions[0].severity, Severity::refuse);
}

}  // namespace
}  // namespace oddgrist::compose

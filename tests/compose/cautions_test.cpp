#include "compose/cautions.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

Supply named(const std::string& name, Mass amount, Must::Sense sense = Must::Sense::all) {
  Supply supply = sample::of("honey");
  supply.ingredient.id = name;
  supply.ingredient.name = name;
  supply.amount = amount;
  supply.must = Must{sense, sense == Must::Sense::at_most ? 0.0 * gram : amount, amount};
  return supply;
}

Answer answer_with(std::vector<Supply> given) {
  Brief brief = sample::harvest();
  for (Supply& supply : given) brief.given.push_back(std::move(supply));
  return compose(brief);
}

bool says(const std::vector<Caution>& cautions, Severity severity, const std::string& words) {
  return std::any_of(cautions.begin(), cautions.end(), [&](const Caution& caution) {
    return caution.severity == severity && caution.text.find(words) != std::string::npos;
  });
}

TEST(Cautions, ThreeDeadlyPlantsAreThreeReasonsAndNoRecipe) {
  const Answer answer = answer_with({named("foxglove leaves", 1.0 * gram, Must::Sense::at_most),
                                     named("D. stramonium, seeds", 1.0 * gram), named("Eibennadeln", 1.0 * gram)});
  EXPECT_EQ(answer.outcome, Outcome::refused);
  EXPECT_TRUE(answer.proposals.empty());
  for (const char* name : {"foxglove", "stramonium", "Eibennadeln"})
    EXPECT_TRUE(says(answer.cautions, Severity::refuse, name)) << name;
}

TEST(Cautions, PoisonInTheHouseRefusesAsMuchAsPoisonGiven) {
  Brief brief = sample::harvest();
  brief.have.push_back(named("red kidney beans, dried", 500.0 * gram));
  brief.have.back().must.reset();
  EXPECT_EQ(compose(brief).outcome, Outcome::refused);
}

// Found as milk, but the brief says raw milk.
TEST(Cautions, TheBriefsOwnWordsAreLookedUpToo) {
  Brief brief = sample::harvest();
  brief.given.push_back(named("milk", 100.0 * gram));
  brief.given.back().ingredient.also_called = {"apricot kernel milk"};
  EXPECT_EQ(compose(brief).outcome, Outcome::refused);
}

// 0.05 g/L of nutmeg is the limit: half a gram in 10 L.
TEST(Cautions, ADoseAboveALimitOfSafetyIsNoRecipeAndOneBelowIs) {
  const Answer above = answer_with({named("nutmeg", 0.6 * gram)});
  EXPECT_EQ(above.outcome, Outcome::refused);
  EXPECT_TRUE(above.proposals.empty());
  EXPECT_TRUE(says(above.cautions, Severity::refuse, "In this batch that is at most 0.5 g."));
  const Answer below = answer_with({named("nutmeg", 0.4 * gram)});
  EXPECT_NE(below.outcome, Outcome::refused);
  EXPECT_FALSE(says(below.cautions, Severity::refuse, ""));
}

// The catalogue's own limit: turmeric and the like have one, too.
TEST(Cautions, ALimitOfTheCatalogueHoldsAsWell) {
  Supply root = named("golden root", 10.0 * gram);
  root.ingredient.dose = larder::Dose{};
  root.ingredient.dose->usual_high_g_per_l = 0.5;
  root.ingredient.dose->most_by_safety_g_per_l = 0.9;
  root.ingredient.dose->harm = "makes blue";
  const Answer above = answer_with({root});
  EXPECT_EQ(above.outcome, Outcome::refused);
  EXPECT_TRUE(says(above.cautions, Severity::refuse, "golden root: makes blue"));
  root.ingredient.dose->most_by_safety_g_per_l = 1.1;
  EXPECT_NE(answer_with({root}).outcome, Outcome::refused);
}

// Above 12 g/L coffee is to be named on a label, and that is all.
TEST(Cautions, ADoseThatIsOnlyToBeNamedRefusesNothing) {
  const Answer answer = answer_with({named("coffee beans", 150.0 * gram)});
  EXPECT_NE(answer.outcome, Outcome::refused);
  EXPECT_TRUE(says(answer.cautions, Severity::caution, "high caffeine content"));
}

TEST(Cautions, AnOilOnASweetsListIsNoDanger) {
  Supply sweets = named("boiled mints", 50.0 * gram);
  sweets.ingredient.declared_ingredients = "sugar, glucose syrup, peppermint oil, eucalyptus oil";
  const Answer answer = answer_with({sweets});
  EXPECT_NE(answer.outcome, Outcome::refused);
  for (const Caution& caution : answer.cautions)
    EXPECT_EQ(caution.text.find("ssential oil"), std::string::npos) << caution.text;
}

TEST(Cautions, WhatTheTablesDoNotKnowIsCalledUnknown) {
  Supply relish = named("grannys relish", 20.0 * gram);
  relish.ingredient.kind = larder::IngredientKind::food;
  const Answer answer = answer_with({relish, named("honey", 20.0 * gram)});
  ASSERT_FALSE(answer.proposals.empty());
  EXPECT_TRUE(says(answer.cautions, Severity::caution, "grannys relish: not known here: nothing was checked"));
  EXPECT_FALSE(says(answer.cautions, Severity::caution, "honey: not known here"));
}

TEST(Cautions, WhatIsSpecialStandsBeforeWhatIsAlwaysTrue) {
  const Answer answer = answer_with({named("tonka beans", 1.0 * gram), named("star fruit", 20.0 * gram)});
  const auto place = [&](const std::string& words) {
    const auto found = std::find_if(answer.cautions.begin(), answer.cautions.end(), [&](const Caution& caution) {
      return caution.text.find(words) != std::string::npos;
    });
    EXPECT_NE(found, answer.cautions.end()) << words;
    return found - answer.cautions.begin();
  };
  EXPECT_LT(place("tonka"), place("star fruit: Star fruit harms"));
  EXPECT_LT(place("star fruit: Star fruit harms"), place("Scald"));
  EXPECT_LT(place("Allergens"), place("Scald"));
  EXPECT_LT(place("Pressure"), place("Carbon dioxide"));
  EXPECT_GT(place("can kill dogs"), place("Pressure"));
}

}  // namespace
}  // namespace oddgrist::compose

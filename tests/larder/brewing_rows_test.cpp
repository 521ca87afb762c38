// What the rows of malts, hops, yeasts, bacteria and enzymes say, held against each other and against plain sense.
#include <algorithm>
#include <set>

#include <gtest/gtest.h>

#include "larder/catalogue.hpp"
#include "larder/class_names.hpp"
#include "science/yeast_uptake.hpp"

namespace oddgrist::larder {
namespace {

std::vector<const Ingredient*> of_kind(IngredientKind kind) {
  std::vector<const Ingredient*> found;
  for (const Ingredient& ingredient : catalogue().all())
    if (ingredient.kind == kind) found.push_back(&ingredient);
  return found;
}

const Ingredient& known(std::string_view name) {
  const Ingredient* found = catalogue().find(name);
  if (found == nullptr) throw std::runtime_error("not in the catalogue: " + std::string(name));
  return *found;
}

TEST(BrewingRows, ThereAreEnoughOfEach) {
  EXPECT_GE(of_kind(IngredientKind::hop).size(), 120u);
  EXPECT_GE(of_kind(IngredientKind::malt).size() + of_kind(IngredientKind::adjunct).size(), 80u);
  EXPECT_GE(of_kind(IngredientKind::yeast).size() + of_kind(IngredientKind::bacterium).size(), 40u);
  EXPECT_GE(of_kind(IngredientKind::fining).size(), 20u);
}

TEST(BrewingRows, HopsSayWhatTheyAreFor) {
  for (const Ingredient* hop : of_kind(IngredientKind::hop)) {
    const HopTraits& traits = *hop->hop;
    EXPECT_LT(traits.alpha_low, traits.alpha_high) << hop->id;
    EXPECT_LE(traits.alpha_high, 0.23) << hop->id;
    EXPECT_NE(traits.use, HopUse::unknown) << hop->id;
    EXPECT_FALSE(hop->brings.empty()) << hop->id;
    if (traits.home_dried) continue;
    EXPECT_GT(traits.beta_low, 0.0) << hop->id;
    EXPECT_LE(traits.beta_high, 0.14) << hop->id;
    EXPECT_TRUE(0.1 <= traits.cohumulone_low && traits.cohumulone_high <= 0.6) << hop->id;
    EXPECT_TRUE(3.0 <= traits.oil_low_ml_per_kg && traits.oil_high_ml_per_kg <= 50.0) << hop->id;
    const double middle = 0.5 * (traits.alpha_low + traits.alpha_high);
    if (traits.use == HopUse::bittering) {
      EXPECT_GE(middle, 0.055) << hop->id;
    }
    if (traits.use == HopUse::aroma) {
      EXPECT_LE(middle, 0.08) << hop->id;
    }
  }
}

TEST(BrewingRows, GrainSaysWhetherAMashOpensIt) {
  for (const IngredientKind kind : {IngredientKind::malt, IngredientKind::adjunct})
    for (const Ingredient* grain : of_kind(kind)) {
      const MaltTraits& traits = *grain->malt;
      const IngredientClass is = grain->ingredient_class;
      const bool raw = is == IngredientClass::raw;
      const bool opened = is == IngredientClass::crystal || is == IngredientClass::roasted ||
                          is == IngredientClass::flaked || is == IngredientClass::torrefied ||
                          is == IngredientClass::husk;
      EXPECT_NE(is, IngredientClass::none) << grain->id;
      EXPECT_EQ(traits.gelatinisation_high_c == 0.0, opened) << grain->id;
      if (!opened) {
        EXPECT_TRUE(50.0 <= traits.gelatinisation_low_c && traits.gelatinisation_high_c <= 85.0) << grain->id;
      }
      if (kind == IngredientKind::adjunct) {
        EXPECT_EQ(traits.diastatic_power_wk, 0.0) << grain->id;
      }
      if (opened) {
        EXPECT_EQ(traits.diastatic_power_wk, 0.0) << grain->id;
      }
      if (raw) {
        EXPECT_TRUE(traits.needs_mash) << grain->id;
      }
      if (is == IngredientClass::base) {
        EXPECT_GT(traits.diastatic_power_wk, 0.0) << grain->id;
      }
      // Maize, rice, sorghum and millet are cooked before a mash; wheat, barley, rye, spelt and oats are not.
      const bool says_cook = grain->mind.find("boil it soft") != std::string::npos;
      if (raw && traits.gelatinisation_high_c > 72.0) {
        EXPECT_TRUE(says_cook) << grain->id;
      }
      if (raw && traits.gelatinisation_high_c <= 70.0) {
        EXPECT_FALSE(says_cook) << grain->id;
      }
    }
}

// The attenuation a row states must hold what the model makes of its uptakes.
TEST(BrewingRows, AttenuationAgreesWithTheSugarsTaken) {
  for (const Ingredient* yeast : of_kind(IngredientKind::yeast)) {
    const YeastTraits& is = *yeast->yeast;
    ASSERT_GT(is.attenuation_low, 0.0) << yeast->id;
    const double apparent =
        science::attenuation_of_uptakes({is.maltose_uptake, is.maltotriose_uptake, is.dextrin_uptake});
    EXPECT_GE(apparent, is.attenuation_low - 0.005) << yeast->id;
    EXPECT_LE(apparent, is.attenuation_high + 0.005) << yeast->id;
  }
}

TEST(BrewingRows, WhatGoesOnInTheBottleSaysSo) {
  for (const Ingredient* yeast : of_kind(IngredientKind::yeast)) {
    const YeastTraits& is = *yeast->yeast;
    EXPECT_EQ(is.diastatic, is.dextrin_uptake > 0.0 || yeast->id == "distillers-yeast") << yeast->id;
    if (is.diastatic) {
      EXPECT_NE(yeast->mind.find("burst"), std::string::npos) << yeast->id;
    }
    if (is.maltose_uptake == 0.0) {
      EXPECT_NE(yeast->mind.find("burst"), std::string::npos) << yeast->id;
    }
    EXPECT_EQ(is.lager, yeast->ingredient_class == IngredientClass::lager_yeast) << yeast->id;
    EXPECT_GT(is.pitch_million_per_ml_plato, 0.0) << yeast->id;
  }
  for (const Ingredient* aid : of_kind(IngredientKind::fining)) {
    EXPECT_EQ(aid->enzyme.has_value(), aid->ingredient_class == IngredientClass::enzyme) << aid->id;
    if (aid->enzyme && aid->enzyme->target == EnzymeTarget::dextrin && aid->enzyme->acts_in_fermenter) {
      EXPECT_NE(aid->mind.find("burst"), std::string::npos) << aid->id;
    }
  }
}

TEST(BrewingRows, SpoiledKettleSoursAreThrownAway) {
  EXPECT_GE(of_kind(IngredientKind::bacterium).size(), 5u);
  for (const Ingredient* culture : of_kind(IngredientKind::bacterium)) {
    ASSERT_TRUE(culture->bacterium) << culture->id;
    EXPECT_FALSE(culture->yeast) << culture->id << ": it is never the yeast of a beer";
    EXPECT_FALSE(culture->mind.empty()) << culture->id;
    EXPECT_LT(culture->bacterium->ph_low, culture->bacterium->ph_high) << culture->id;
  }
}

// Wort of malt extract and ordinary ale yeast: 75 to 80 % apparent (common practice, no source).
TEST(BrewingRows, MaltExtractFermentsAsExtractDoes) {
  const YeastTraits& yeast = *known("American ale yeast").yeast;
  int rows = 0;
  for (const Ingredient* sugar : of_kind(IngredientKind::sugar)) {
    if (sugar->ingredient_class != IngredientClass::malt_extract) continue;
    const Composition& is = sugar->composition;
    const double eaten = is[Component::glucose] + is[Component::fructose] + is[Component::sucrose] +
                         yeast.maltose_uptake * is[Component::maltose] +
                         yeast.maltotriose_uptake * is[Component::maltotriose];
    const double apparent = eaten / (1.0 - is[Component::water]) / 0.81;  // Balling, ordinary strength
    EXPECT_GE(apparent, 0.75) << sugar->id;
    EXPECT_LE(apparent, 0.80) << sugar->id;
    ++rows;
  }
  EXPECT_GE(rows, 9);
}

TEST(BrewingRows, EveryClassHasItsWord) {
  std::set<std::string_view> words;
  for (const auto& [word, value] : class_words) {
    EXPECT_TRUE(words.insert(word).second) << word;
    EXPECT_EQ(named(class_words, word), value);
    EXPECT_EQ(word_for(class_words, value), word);
  }
  EXPECT_FALSE(named(class_words, "porridge"));
}

}  // namespace
}  // namespace oddgrist::larder

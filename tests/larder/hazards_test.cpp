#include "larder/hazards.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "larder/catalogue.hpp"

namespace oddgrist::larder {
namespace {

Ingredient food(std::string name, std::string list = "") {
  Ingredient ingredient;
  ingredient.name = std::move(name);
  ingredient.declared_ingredients = std::move(list);
  return ingredient;
}

bool refused(const Ingredient& ingredient) {
  const std::vector<Hazard> hazards = hazards_in(ingredient);
  return !hazards.empty() && hazards.front().severity == HazardSeverity::refuse;
}

bool has(const std::vector<Hazard>& hazards, std::string_view id) {
  return std::any_of(hazards.begin(), hazards.end(), [&](const Hazard& hazard) { return hazard.id == id; });
}

TEST(Hazards, RefusesWhatPoisons) {
  for (const char* name : {"apricot kernels",
                           "ground apricot kernels",
                           "Apricot seeds, bitter",
                           "bitter almonds",
                           "kernels of apricots",
                           "peach kernels",
                           "raw elderberries",
                           "elder leaves",
                           "yew berries",
                           "Lily-of-the-valley flowers",
                           "foxglove",
                           "hemlock root",
                           "rhubarb leaves",
                           "green potatoes",
                           "tobacco leaf",
                           "methylated spirits",
                           "wood alcohol",
                           "raw kidney beans",
                           "wild mushrooms",
                           "calamus root",
                           "sassafras bark",
                           "datura",
                           "oleander",
                           "antifreeze",
                           "caffeine powder",
                           "Japanese star anise",
                           "hash-free cannabis butter",
                           "unknown berries",
                           "mouldy bread"})
    EXPECT_TRUE(refused(food(name))) << name;
}

TEST(Hazards, FindsThemInTheDeclaredListToo) {
  EXPECT_TRUE(refused(food("nut crunch", "sugar, hazelnuts, apricot kernels (5 %), salt")));
  EXPECT_TRUE(refused(food("old bitters", "spirit, gentian; calamus")));
}

TEST(Hazards, DoesNotRefuseTheHarmlessCousin) {
  for (const char* name : {"sweet almonds",
                           "almonds",
                           "apricot jam",
                           "apricots, stoned",
                           "peach slices",
                           "cherry jam",
                           "bitter almond flavouring",
                           "elderflowers",
                           "potatoes",
                           "cooked potato",
                           "rhubarb stalks",
                           "tobacco-free pipe mix",
                           "kidney bean, tinned",
                           "oyster mushrooms",
                           "hemlock spruce tips",
                           "lettuce leaf",
                           "chocolate malt",
                           "bitter orange peel",
                           "barley malt",
                           "apricot and almond kernel paste",
                           "alcohol-free beer",
                           "sweet cherries with stones removed",
                           "truestar",
                           "rueben sauce",
                           "screwpine leaf",
                           "yewtree farm honey",
                           "cherry tomatoes",
                           "peach, almond kernel",
                           "no apricot kernels",
                           "free from bitter almonds"})
    EXPECT_FALSE(refused(food(name))) << name;
}

TEST(Hazards, SaysNothingAboutWhatTheLabelDenies) {
  for (const char* name : {"nutmeg-free spice", "spice without nutmeg", "nutmeg free mix", "free from nutmeg"})
    EXPECT_TRUE(hazards_in(food(name)).empty()) << name;
  EXPECT_TRUE(has(hazards_in(food("ground nutmeg")), "nutmeg"));
  EXPECT_TRUE(hazards_in(food("blood orange juice")).empty());
  EXPECT_TRUE(hazards_in(food("blackcurrant cordial")).empty());
  EXPECT_TRUE(hazards_in(food("Ceylon cinnamon")).empty());
}

TEST(Hazards, NoOrdinaryCatalogueRowIsRefused) {
  for (const Ingredient& ingredient : catalogue().all()) {
    EXPECT_FALSE(refused(ingredient)) << ingredient.id;
    for (const std::string& name : ingredient.also_called) EXPECT_FALSE(refused(food(name))) << name;
  }
}

TEST(Hazards, DoseDecidesForSpices) {
  const Ingredient nutmeg = food("nutmeg");
  EXPECT_FALSE(has(hazards_in(nutmeg, 0.0005, 20.0), "nutmeg"));  // half a gram in 20 L
  const std::vector<Hazard> over = hazards_in(nutmeg, 0.010, 20.0);
  ASSERT_TRUE(has(over, "nutmeg"));
  EXPECT_EQ(over.front().severity, HazardSeverity::danger);
  EXPECT_NE(over.front().text.find("0.5 g/L"), std::string::npos) << over.front().text;
  // 200 g of arabica in 20 L, fully extracted, gives 120 mg/L of caffeine: below the EU's 150 mg/L notice.
  EXPECT_TRUE(hazards_in(food("coffee beans"), 0.2, 20.0).empty());
  EXPECT_TRUE(has(hazards_in(food("coffee beans"), 0.3, 20.0), "coffee-caffeine"));
  // A dose never talks a poison away.
  EXPECT_TRUE(has(hazards_in(food("apricot kernels"), 0.0001, 100.0), "cyanogenic-kernels"));
}

TEST(Hazards, HopsAndDogsByKind) {
  EXPECT_TRUE(has(hazards_in(*catalogue().find("Fuggle")), "dogs-hops"));
  EXPECT_TRUE(has(hazards_in(*catalogue().find("home-dried hops")), "dogs-hops"));
}

TEST(Hazards, DiastaticYeastAndIsinglass) {
  EXPECT_TRUE(has(hazards_in(*catalogue().find("saison yeast")), "diastatic-yeast"));
  EXPECT_FALSE(has(hazards_in(*catalogue().find("neutral ale yeast")), "diastatic-yeast"));
  EXPECT_TRUE(has(hazards_in(*catalogue().find("isinglass")), "isinglass-fish"));
}

TEST(Hazards, GravestFirst) {
  const std::vector<Hazard> hazards = hazards_in(food("festive mix", "raisins, nutmeg, tonka beans, bitter almonds"));
  ASSERT_GE(hazards.size(), 4u);
  EXPECT_EQ(hazards.front().id, "cyanogenic-kernels");
  EXPECT_EQ(hazards.front().found, "bitter almond");
  for (std::size_t i = 1; i < hazards.size(); ++i) EXPECT_GE(hazards[i - 1].severity, hazards[i].severity);
}

TEST(Hazards, EveryRuleIsWholeAndFindsItsOwnWords) {
  ASSERT_GE(hazard_table().rules().size(), 35u);
  std::vector<std::string> ids;
  for (const HazardRule& rule : hazard_table().rules()) {
    ids.push_back(rule.hazard.id);
    EXPECT_FALSE(rule.hazard.text.empty() || rule.hazard.instead.empty() || rule.hazard.source.empty())
        << rule.hazard.id;
    for (const WordPattern& pattern : rule.patterns)
      for (const std::string& words : pattern.examples())
        EXPECT_TRUE(has(hazards_in(food(words)), rule.hazard.id)) << rule.hazard.id << ": " << words;
  }
  std::sort(ids.begin(), ids.end());
  EXPECT_EQ(std::adjacent_find(ids.begin(), ids.end()), ids.end());
  EXPECT_NE(hazard_notice.find("incomplete"), std::string_view::npos);
}

TEST(Hazards, BrokenRuleNamesFileAndRow) {
  const auto message = [](std::string_view text) -> std::string {
    try {
      HazardTable table(EmbeddedFile{"data/hazards.toml", text});
    } catch (const CatalogueError& error) {
      return error.what();
    }
    return "";
  };
  const std::string good =
      "[[hazard]]\nid = \"x\"\nseverity = \"danger\"\nwords = [\"a thing\"]\ntext = \"t\"\ninstead = \"i\"\nsource = "
      "\"s\"\n";
  EXPECT_EQ(message(good), "");
  for (const auto& [from, to] : {std::pair{"danger", "awful"},
                                 {"source = \"s\"\n", ""},
                                 {"[\"a thing\"]", "[]"},
                                 {"words", "wordz"},
                                 {"\"i\"", "3"}}) {
    std::string text = good;
    text.replace(text.find(from), std::string_view(from).size(), to);
    EXPECT_NE(message(text).find("data/hazards.toml: line 1: x"), std::string::npos) << from << " -> " << message(text);
  }
}

}  // namespace
}  // namespace oddgrist::larder

// Doses on catalogue rows: how they are read, and that a limit of safety stands where it must.
#include "larder/dose.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include <gtest/gtest.h>

#include "larder/catalogue.hpp"
#include "larder/hazards.hpp"

namespace oddgrist::larder {
namespace {

constexpr std::string_view row_head = R"([sources]
book = "A. Cook, On Spice, 1900"
law = "A. Judge, On Poison, 1901"
[[food]]
id = "one-spice"
name = "one spice"
percent = { water = 10 }
rest = "solids"
source = "book"
)";

// The message of a row with `line` added, or "".
std::string message_with(std::string_view line) {
  const std::string text = std::string(row_head) + std::string(line) + "\n";
  const EmbeddedFile file{"data/catalogue/one.toml", text};
  try {
    Catalogue one{std::span(&file, 1)};
  } catch (const CatalogueError& error) {
    return error.what();
  }
  return "";
}

TEST(Dose, IsReadWhole) {
  const std::string text =
      std::string(row_head) +
      "code = \"Z001\"\nbrings = \"warmth\"\npectin_percent = [1, 2, 3]\n"
      "dose = { threshold = 0.1, usual = [0.2, 1], most_by_taste = 3, most_by_safety = 2, harm = \"it hurts\", "
      "source = \"book\", safety_source = \"law\" }\n";
  const EmbeddedFile file{"data/catalogue/one.toml", text};
  const Catalogue one{std::span(&file, 1)};
  const Ingredient& spice = *one.find("one spice");
  EXPECT_EQ(spice.source, "A. Cook, On Spice, 1900, food Z001");
  EXPECT_EQ(spice.brings, "warmth");
  ASSERT_TRUE(spice.pectin && spice.dose);
  EXPECT_DOUBLE_EQ(spice.pectin->low, 0.01);
  EXPECT_DOUBLE_EQ(spice.pectin->high, 0.03);
  EXPECT_DOUBLE_EQ(spice.dose->threshold_g_per_l.value(), 0.1);
  EXPECT_DOUBLE_EQ(spice.dose->usual_low_g_per_l, 0.2);
  EXPECT_DOUBLE_EQ(spice.dose->usual_high_g_per_l, 1.0);
  EXPECT_DOUBLE_EQ(spice.dose->most_by_taste_g_per_l.value(), 3.0);
  EXPECT_DOUBLE_EQ(spice.dose->most_by_safety_g_per_l.value(), 2.0);
  EXPECT_EQ(spice.dose->harm, "it hurts");
  EXPECT_EQ(spice.dose->source, "A. Cook, On Spice, 1900");
  EXPECT_EQ(spice.dose->safety_source, "A. Judge, On Poison, 1901");
}

TEST(Dose, BrokenOneNamesTheFieldAndTheRow) {
  ASSERT_EQ(message_with(R"(dose = { usual = [0.2, 1], source = "book" })"), "");
  struct Case {
    const char *line, *field;
  };
  for (const Case& one :
       {Case{R"(dose = { usual = [1, 0.2], source = "book" })", "usual"},
        {R"(dose = { usual = [-1, 0.2], source = "book" })", "usual"},
        {R"(dose = { usual = 1, source = "book" })", "usual"},
        {R"(dose = { usual = [0, 1] })", "source"},
        {R"(dose = { usual = [0, 1], source = "rumour" })", "rumour"},
        {R"(dose = { usual = [0, 1], most_by_taste = 0.9, source = "book" })", "usual"},
        {R"(dose = { usual = [0, 1], threshold = 1.1, source = "book" })", "threshold"},
        {R"(dose = { usual = [0, 1], most_by_safety = 2, source = "book" })", "harm"},
        {R"(dose = { usual = [0, 1], most_by_safety = 2, harm = "x", source = "book" })", "safety_source"},
        {R"(dose = { usual = [0, 1], most_by_safty = 2, source = "book" })", "most_by_safty"},
        {R"(dose = { usual = [0, 1], most_by_taste = [1, 2, 3], source = "book" })", "most_by_taste"},
        {R"(dose = 3)", "dose"}}) {
    const std::string message = message_with(one.line);
    EXPECT_NE(message.find("one-spice"), std::string::npos) << one.line << " -> " << message;
    EXPECT_NE(message.find(one.field), std::string::npos) << one.line << " -> " << message;
  }
}

const Ingredient& known(std::string_view name) {
  const Ingredient* found = catalogue().find(name);
  if (found == nullptr) throw std::runtime_error("not in the catalogue: " + std::string(name));
  return *found;
}

DoseVerdict verdict(std::string_view name, double kg, double batch_l) {
  return judge_dose(known(name).dose.value(), 1000.0 * kg / batch_l);
}

TEST(Dose, EveryFoodHasOneAndSaysWhatItBrings) {
  int foods = 0;
  for (const Ingredient& ingredient : catalogue().all()) {
    if (ingredient.kind != IngredientKind::food) continue;
    ++foods;
    EXPECT_TRUE(ingredient.dose && ingredient.dose->most_by_taste_g_per_l) << ingredient.id;
    EXPECT_FALSE(ingredient.brings.empty()) << ingredient.id;
  }
  EXPECT_GE(foods, 250);
}

TEST(Dose, VerdictsOnEitherSideOfEachLimit) {
  Dose dose;
  dose.threshold_g_per_l = 0.1;
  dose.usual_low_g_per_l = 0.5;
  dose.usual_high_g_per_l = 2.0;
  dose.most_by_taste_g_per_l = 5.0;
  dose.most_by_safety_g_per_l = 8.0;
  for (const auto& [g_per_l, expected] : {std::pair{0.0, DoseVerdict::hardly_noticed},
                                          {0.099, DoseVerdict::hardly_noticed},
                                          {0.1, DoseVerdict::less_than_usual},
                                          {0.499, DoseVerdict::less_than_usual},
                                          {0.5, DoseVerdict::usual},
                                          {2.0, DoseVerdict::usual},
                                          {2.001, DoseVerdict::more_than_usual},
                                          {5.0, DoseVerdict::more_than_usual},
                                          {5.001, DoseVerdict::too_much_by_taste},
                                          {8.0, DoseVerdict::too_much_by_taste},
                                          {8.001, DoseVerdict::unsafe},
                                          {1e9, DoseVerdict::unsafe},
                                          {std::nan(""), DoseVerdict::unsafe}})
    EXPECT_EQ(judge_dose(dose, g_per_l), expected) << g_per_l;
  dose.most_by_taste_g_per_l = 20.0;  // safety comes first where it is the lower one
  EXPECT_EQ(judge_dose(dose, 8.001), DoseVerdict::unsafe);
}

TEST(Dose, EverySafetyLimitHoldsOnBothSides) {
  int limits = 0;
  for (const Ingredient& ingredient : catalogue().all()) {
    if (!ingredient.dose || !ingredient.dose->most_by_safety_g_per_l) continue;
    ++limits;
    const double most = *ingredient.dose->most_by_safety_g_per_l;
    EXPECT_NE(judge_dose(*ingredient.dose, most), DoseVerdict::unsafe) << ingredient.id;
    EXPECT_EQ(judge_dose(*ingredient.dose, most * 1.001), DoseVerdict::unsafe) << ingredient.id;
    EXPECT_LE(ingredient.dose->usual_high_g_per_l, most) << ingredient.id;
    EXPECT_GE(ingredient.dose->harm.size(), 4u) << ingredient.id;
  }
  EXPECT_GE(limits, 40);
}

// What a person asked for in earnest: none of it may pass as an ordinary dose.
TEST(Dose, AbsurdAmountsAreCalledOut) {
  EXPECT_EQ(verdict("dried chilli", 0.5, 10.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("vanilla", 0.2, 10.0), DoseVerdict::too_much_by_taste);
  EXPECT_EQ(verdict("coriander seed", 1.0, 10.0), DoseVerdict::too_much_by_taste);
  EXPECT_EQ(verdict("table salt", 1.5, 10.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("nutmeg", 0.005, 10.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("cinnamon", 0.050, 10.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("liquorice", 0.030, 10.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("coffee", 0.3, 20.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("wormwood", 0.02, 20.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("woodruff", 0.1, 20.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("cloves", 0.05, 20.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("poppy seed", 1.0, 20.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("rhubarb", 6.0, 20.0), DoseVerdict::unsafe);
  EXPECT_EQ(verdict("kombu", 0.1, 20.0), DoseVerdict::unsafe);
}

// 20 L of ordinary spiced and fruited beers stay ordinary.
TEST(Dose, OrdinaryAmountsPass) {
  for (const auto& [name, kg] : {std::pair{"coriander seed", 0.015},
                                 {"bitter orange peel", 0.02},
                                 {"raspberries", 2.0},
                                 {"coffee beans", 0.15},
                                 {"vanilla pods", 0.006},
                                 {"table salt", 0.015},
                                 {"dried chilli", 0.01},
                                 {"cinnamon", 0.01},
                                 {"nutmeg", 0.001},
                                 {"spruce tips", 0.25},
                                 {"ginger", 0.1},
                                 {"pumpkin", 2.0},
                                 {"cocoa powder", 0.2},
                                 {"star anise", 0.008},
                                 {"elderflowers", 0.2},
                                 {"hibiscus", 0.12},
                                 {"oak chips", 0.04}})
    EXPECT_EQ(verdict(name, kg, 20.0), DoseVerdict::usual) << name;
}

// Where the hazard table speaks up above some dose of a thing, its row must not allow more. What holds only a little of
// the thing in its name is measured by its own row; there the table errs on the safe side.
TEST(Dose, NoRowAllowsMoreThanTheHazardTable) {
  const std::set<std::string> holds_a_little = {"coffee-brewed", "coffee-liqueur", "woodruff-syrup", "liquorice-sweets",
                                                "salmiak-liquorice"};
  const auto dangers = [](const Ingredient& ingredient, double g_per_l) {
    const std::vector<Hazard> found = hazards_in(ingredient, g_per_l / 1000.0, 1.0);
    return std::count_if(found.begin(), found.end(),
                         [](const Hazard& hazard) { return hazard.severity >= HazardSeverity::danger; });
  };
  for (const Ingredient& ingredient : catalogue().all()) {
    if (!ingredient.dose || holds_a_little.contains(ingredient.id)) continue;
    const double most = ingredient.dose->most_by_safety_g_per_l.value_or(ingredient.dose->usual_high_g_per_l);
    EXPECT_EQ(dangers(ingredient, most), dangers(ingredient, 1e-6)) << ingredient.id << " at " << most << " g/L";
  }
}

}  // namespace
}  // namespace oddgrist::larder

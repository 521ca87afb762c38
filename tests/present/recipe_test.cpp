#include "present/recipe.hpp"

#include <limits>
#include <string>

#include <gtest/gtest.h>

#include "example.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using namespace example;

TEST(recipe, the_outcome_is_the_first_line) {
  Answer answer = nearest();
  EXPECT_EQ(rows(recipe_text(brief(), answer)).front().substr(0, 8), "Nearest:");
  answer.outcome = Outcome::met;
  EXPECT_EQ(rows(recipe_text(brief(), answer)).front().substr(0, 4), "Met:");
}

TEST(recipe, a_refused_brief_gets_reasons_and_no_recipe) {
  Answer answer = nearest();  // proposals in a refused answer must not be printed either
  answer.outcome = Outcome::refused;
  answer.cautions.insert(answer.cautions.begin(), {Severity::refuse, "Apricot kernels give off hydrogen cyanide.",
                                                   "EFSA Journal 14(4):4424 (2016)"});
  const std::string text = recipe_text(brief(), answer);
  EXPECT_EQ(rows(text).front().substr(0, 8), "Refused:");
  EXPECT_EQ(count(unwrapped(text), "Apricot kernels give off hydrogen cyanide. [EFSA Journal 14(4):4424 (2016)]"), 1U);
  EXPECT_LT(text.find("Apricot"), text.find("Dangerous thing."));
  for (const Addition& addition : proposal().additions)
    EXPECT_EQ(count(text, addition.ingredient + ":"), 0U) << addition.ingredient;
  EXPECT_EQ(count(text, "What goes in"), 0U);
  EXPECT_EQ(count(text, "strike"), 0U);
}

TEST(recipe, every_addition_stands_once_with_its_amount_place_and_time) {
  const std::string text = unwrapped(recipe_text(brief(), nearest()));
  for (const Addition& addition : proposal().additions)
    EXPECT_EQ(count(text, addition.ingredient + ": "), 1U) << addition.ingredient;
  EXPECT_EQ(count(text, "* 350 g (12.3 oz) smoked wheat malt: mash"), 1U);
  EXPECT_EQ(count(text, "* 45.0 g (1.59 oz) home-dried hops: boil, from its start"), 1U);
  EXPECT_EQ(count(text, "15.0 g (0.53 oz) late leaf hops: boil, 10 minutes before its end"), 1U);
  EXPECT_EQ(count(text, "gypsum: into the mash water"), 1U);
  EXPECT_EQ(count(text, "nut paste: infusion, dosed after the first fermentation"), 1U);
  EXPECT_EQ(count(text, "ale yeast: fermenter, at 19.0 °C (66.2 °F)"), 1U);
  EXPECT_EQ(count(text, "* "), 4U);  // three given, and the key
}

TEST(recipe, what_it_costs_is_told_where_prices_are_stated) {
  Brief priced = brief();
  EXPECT_EQ(count(recipe_text(priced, nearest()), "Costs"), 0U);
  for (compose::Supply& supply : priced.given) {
    if (supply.ingredient.name == "smoked wheat malt") supply.cost_per_kg = 4.0;  // 350 g of it go in
  }
  EXPECT_EQ(count(unwrapped(recipe_text(priced, nearest())), "Costs 1.40 in all, at the prices the brief states."), 1U);
}

TEST(recipe, each_wish_is_answered) {
  const std::string text = unwrapped(recipe_text(brief(), nearest()));
  EXPECT_EQ(count(text, "alcohol 6.0 % vol, wished 5.8 to 6.2 % vol: yes"), 1U);
  EXPECT_EQ(count(text, "volume 10.0 L (2.65 US gal), wished 9.8 to 10.2 L (2.59 to 2.69 US gal): yes"), 1U);
  EXPECT_EQ(count(text, "bitterness 21 IBU, wished 25 to 30 IBU: NO, 4 IBU too low"), 1U);
  EXPECT_EQ(count(text, "original gravity 1.058 SG"), 1U);
  EXPECT_EQ(count(text, "wished 1.056 to 1.0605 SG"), 1U);  // a wish is printed as it was wished
  EXPECT_EQ(count(text, "final gravity 1.013 SG (3.3 °P), no wish"), 1U);
  EXPECT_EQ(count(text, "colour 24 EBC (12 SRM), no wish"), 1U);
}

TEST(recipe, a_likely_range_is_told_where_there_is_one) {
  Answer answer = nearest();
  answer.proposals[0].abv_percent = {5.97, 5.61, 6.34};
  EXPECT_EQ(count(unwrapped(recipe_text(brief(), answer)), "alcohol 6.0 % vol, likely 5.6 to 6.3 % vol, wished"), 1U);
}

TEST(recipe, a_miss_never_reads_as_nothing) {
  Brief asked = brief();
  asked.wishes = {{Measure::alcohol, 6.04, 6.2, 1.0, {}}};  // 5.97 prints as 6.0: below 6.04 by 0.04
  EXPECT_EQ(count(unwrapped(recipe_text(asked, nearest())), "wished 6.04 to 6.2 % vol: NO, 0.04 % vol too low"), 1U);
  asked.wishes = {{Measure::alcohol, 5.0, 5.5, 1.0, {}}};
  EXPECT_EQ(count(unwrapped(recipe_text(asked, nearest())), "NO, 0.5 % vol too high"), 1U);
}

TEST(recipe, clashes_and_bindings_are_told_in_words) {
  const std::string text = unwrapped(recipe_text(brief(), nearest()));
  EXPECT_EQ(
      count(text,
            "\"bitterness 25 to 30\" and \"all of the home-dried hops\". Least change that cures it: let bitterness go "
            "down to 21"),
      1U);
  EXPECT_EQ(count(text, "bitterness, low end: one more gram of hops would bring 0.6 IBU"), 1U);
}

TEST(recipe, cautions_stand_as_the_answer_has_them_with_their_sources) {
  const std::string text = recipe_text(brief(), nearest());
  const auto danger = text.find("DANGER  Dangerous thing. [Some Journal 1 (2000)]");
  const auto caution = text.find("CAUTION Careful thing. [from memory]");
  const auto note = text.find("Note    Noted thing. [common practice, no source]");
  ASSERT_NE(note, std::string::npos);
  EXPECT_LT(danger, caution);
  EXPECT_LT(caution, note);
}

TEST(recipe, fits_eighty_columns_and_prints_no_nan) {
  Answer answer = nearest();
  answer.proposals.push_back(proposal());
  answer.proposals[1].name =
      "a second design whose name goes on for much longer than any name of a design ever should go on for";
  answer.proposals[1].forecast.abv_percent = std::numeric_limits<double>::quiet_NaN();
  const std::string text = recipe_text(brief(), answer);
  for (const std::string& row : rows(text)) EXPECT_LE(columns(row), recipe_columns) << row;
  EXPECT_EQ(count(text, "nan"), 0U);
  EXPECT_EQ(count(text, "not known"), 1U);
  EXPECT_EQ(count(text, "Another way: a second design"), 1U);
}

TEST(recipe, us_units_may_stand_first) {
  Brief asked = brief();
  asked.us_units_first = true;
  const std::string text = unwrapped(recipe_text(asked, nearest()));
  EXPECT_EQ(count(text, "12.3 oz (350 g) smoked wheat malt"), 1U);
  EXPECT_EQ(count(text, "volume 2.65 US gal (10.0 L), wished 2.59 to 2.69 US gal (9.8 to 10.2 L): yes"), 1U);
}

TEST(recipe, an_answer_without_any_proposal_says_so) {
  Answer answer = nearest();
  answer.proposals.clear();
  EXPECT_EQ(count(recipe_text(brief(), answer), "No recipe was found."), 1U);
}

TEST(recipe, the_same_answer_gives_the_same_text) {
  EXPECT_EQ(recipe_text(brief(), nearest()), recipe_text(brief(), nearest()));
}

}  // namespace
}  // namespace oddgrist::present

#include "files/answer_json.hpp"

#include <limits>

#include <gtest/gtest.h>

namespace oddgrist::files {
namespace {

compose::Answer small_answer() {
  compose::Proposal proposal;
  proposal.name = "first";
  proposal.original_gravity_sg = {1.0581234, 1.0561, 1.0602};
  proposal.additions.push_back({"smoked wheat malt", "smoked-wheat-malt", larder::IngredientKind::malt, 350.0 * gram,
                                compose::Route::mash, 0.0, true});
  proposal.additions.push_back(
      {"Golding", "golding", larder::IngredientKind::hop, 20.0 * gram, compose::Route::boil, 60.0, false});
  compose::Answer answer;
  answer.proposals.push_back(proposal);
  answer.clashes.push_back({{"alcohol", "colour"}, "let the colour be 31 EBC"});
  answer.cautions.push_back({compose::Severity::danger, "boiling wort scalds", "common practice, no source"});
  return answer;
}

// Programs of other people read these paths.
TEST(AnswerJson, KeepsItsPaths) {
  const Json json = answer_json(compose::Brief{}, small_answer());
  const Json& proposal = json.at("proposals").at(0);
  for (const char* figure : {"original_gravity_sg", "final_gravity_sg", "abv_percent", "bitterness_ibu", "colour_ebc",
                             "fermenter_volume_l"}) {
    for (const char* part : {"value", "low", "high"})
      EXPECT_TRUE(proposal.at("forecast").at(figure).at(part).is_number()) << figure;
  }
  EXPECT_EQ(proposal.at("forecast").at("original_gravity_sg").at("value"), 1.05812);
  EXPECT_EQ(proposal.at("additions").at(0).at("ingredient"), "smoked wheat malt");
  EXPECT_EQ(proposal.at("additions").at(0).at("amount"), 350.0);
  EXPECT_EQ(proposal.at("additions").at(0).at("unit"), "g");
  EXPECT_EQ(proposal.at("additions").at(0).at("step"), "mash");
  EXPECT_FALSE(proposal.at("additions").at(0).contains("minutes_before_boil_end"));
  EXPECT_EQ(proposal.at("additions").at(1).at("minutes_before_boil_end"), 60.0);
  EXPECT_TRUE(proposal.at("bound_gap").is_number());
  EXPECT_EQ(json.at("clashes").at(0).at("wishes").size(), 2U);
  EXPECT_EQ(json.at("clashes").at(0).at("least_change"), "let the colour be 31 EBC");
  EXPECT_EQ(json.at("cautions").at(0).at("severity"), "danger");
}

TEST(AnswerJson, RefusalHoldsNoRecipe) {
  compose::Answer answer = small_answer();
  answer.outcome = compose::Outcome::refused;
  EXPECT_TRUE(answer_json(compose::Brief{}, answer).at("proposals").empty());
}

// JSON has no word for what is not a number: it must come out as null, which the schema then refuses, and not as broken text.
TEST(AnswerJson, NotANumberIsNull) {
  compose::Answer answer = small_answer();
  answer.proposals[0].abv_percent.value = std::numeric_limits<double>::quiet_NaN();
  const std::string text = json_text(answer_json(compose::Brief{}, answer));
  const Json back = Json::parse(text);
  EXPECT_TRUE(back.at("proposals").at(0).at("forecast").at("abv_percent").at("value").is_null());
}

TEST(AnswerJson, TextThatIsNotUtf8IsMended) {
  compose::Brief brief;
  brief.name = "caf\xE9";
  const Json back = Json::parse(json_text(answer_json(brief, compose::Answer{})), nullptr, false);
  ASSERT_FALSE(back.is_discarded());
  EXPECT_EQ(back.at("name"), "caf\uFFFD");
}

std::string line_for(int line, int column, const std::string& what, const std::string& remedy) {
  Problem problem;
  problem.place = Place{"b.toml", line, column};
  problem.what = what;
  problem.remedy = remedy;
  return problem_line(problem);
}

TEST(ProblemLine, IsPathLineColumnWhatAndRemedy) {
  EXPECT_EQ(line_for(3, 9, "kit.kettle has no unit", "Write \"16 L\""),
            "b.toml:3:9: kit.kettle has no unit. Write \"16 L\".");
  EXPECT_EQ(line_for(0, 0, "the file is empty", ""), "b.toml: the file is empty.");
  EXPECT_EQ(line_for(1, 1, "no such key", "Did you mean \"boil\"?"), "b.toml:1:1: no such key. Did you mean \"boil\"?");
}

}  // namespace
}  // namespace oddgrist::files

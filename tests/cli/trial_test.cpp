// The verb trial: what it refuses, and that seed and picks mean what they say.
#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

TEST(TrialVerb, RefusesWhatCannotBe) {
  const std::vector<std::vector<std::string>> wrong = {
      {},
      {"--liquor-strength", "120 %"},
      {"--liquor-strength", "40 %", "--liquor-sugar=-5 g/L"},
      {"--liquor-strength", "95 %", "--liquor-sugar", "800 g/L"},
      {"--liquor-strength", "40 %", "--doses=-1 mL"},
      {"--liquor-strength", "40 %", "--doses", "1 mL, 200 mL"},
      {"--liquor-strength", "40 %", "--doses", "1 mL,,2 mL"},
      {"--liquor-strength", "40 %", "--batch", "0 L"},
      {"--liquor-strength", "40 %", "--pick", "Z"},
      {"--liquor-strength", "40 %", "--beer-gravity", "0.85"},
  };
  for (std::vector<std::string> arguments : wrong) {
    arguments.insert(arguments.begin(), "trial");
    const ProgramRun result = oddgrist(arguments);
    EXPECT_EQ(result.exit_code, 2) << testing::PrintToString(arguments);
    EXPECT_EQ(result.out, "");
    EXPECT_NE(result.err, "");
  }
}

TEST(TrialVerb, TheSameSeedIsTheSameTableAndAPickIsOneOfItsGlasses) {
  const std::vector<std::string> command = {
      "trial", "--beer-brief", "examples/walnut-spirit.toml", "--seed", "7", "--pick", "C, C, E", "--json"};
  const ProgramRun once = oddgrist(command);
  ASSERT_EQ(once.exit_code, 0) << once.err;
  EXPECT_EQ(oddgrist(command).out, once.out);
  const auto document = nlohmann::json::parse(once.out);
  EXPECT_EQ(document.at("picked").at("letter"), "C");
  EXPECT_EQ(document.at("glasses").at(0).at("dose_ml"), 0.0);
  EXPECT_NEAR(document.at("liquor").at("abv_percent").get<double>(), 34.0,
              5.0);  // 40 % vol, thinned by what it dissolved
}

TEST(TrialVerb, SpiritOfABriefIsRefusedWhenItCannotBe) {
  const Scratch scratch;
  std::string text = file_text(std::filesystem::path(ODDGRIST_SOURCE_DIR) / "examples/walnut-spirit.toml");
  const auto refused = [&](const std::string& from, const std::string& to, const std::string& words) {
    std::string changed = text;
    changed.replace(changed.find(from), from.size(), to);
    write_text(scratch / "brief.toml", changed);
    const ProgramRun result = oddgrist({"compose", scratch / "brief.toml"});
    EXPECT_EQ(result.exit_code, 65) << to;
    EXPECT_NE(result.err.find(words), std::string::npos) << result.err;
  };
  refused("\"40 %\"", "\"120 %\"", "from 15 % to 96 %");
  refused("strength = \"40 %\"\n", "", "how strong");
  refused("\"spirit\"", "\"water\"", "what it steeps in is water");
  refused("\"spirit\"", "\"petrol\"", "\"water\" or \"spirit\"");
  refused("route = \"infusion\"", "route = \"boil\"", "only for what is steeped");
  refused("\"3 L/kg\"", "\"-3 L/kg\"", "negative");
}

}  // namespace
}  // namespace oddgrist::test

// oddgrist water, as it is typed.
#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

TEST(WaterVerb, ExamplesSayWhatTheyAreFor) {
  const ProgramRun well = oddgrist({"water", "examples/waters/hard-well.toml"});
  EXPECT_EQ(well.exit_code, 0) << well.err;
  EXPECT_NE(well.out.find("agrees"), std::string::npos);
  const ProgramRun slip = oddgrist({"water", "examples/waters/sulphur-slip.toml"});
  EXPECT_EQ(slip.exit_code, 65) << slip.err;
  EXPECT_NE(slip.out.find("printed as sulphur"), std::string::npos);
  const ProgramRun blend = oddgrist({"water", "examples/waters/blend.toml", "--units", "us"});
  EXPECT_EQ(blend.exit_code, 0) << blend.err;
  EXPECT_NE(blend.out.find("3.96 US gal (15.0 L)"), std::string::npos);
}

TEST(WaterVerb, JsonOfABlend) {
  const ProgramRun run = oddgrist({"water", "examples/waters/blend.toml", "--json"});
  ASSERT_EQ(run.exit_code, 0) << run.err;
  const auto document = nlohmann::json::parse(run.out);
  ASSERT_EQ(document.at("waters").size(), 2U);
  // Calcium 78 mg/L in 9 of 15 litres.
  EXPECT_NEAR(document.at("blend").at("ions").at("calcium").at("mg_per_l").get<double>(), 46.8, 1e-3);
}

TEST(WaterVerb, ProblemsAreNamed) {
  const Scratch scratch;
  write_text(scratch / "w.toml", "[water]\nalkalinity = \"125 mg/L\"\n");
  const ProgramRun vague = oddgrist({"water", scratch / "w.toml"});
  EXPECT_EQ(vague.exit_code, 65);
  EXPECT_EQ(vague.out, "");
  EXPECT_NE(vague.err.find(":2:14: water.alkalinity: mg/L of what?"), std::string::npos) << vague.err;
  EXPECT_EQ(oddgrist({"water", "no-such-file.toml"}).exit_code, 66);
  EXPECT_EQ(oddgrist({"water"}).exit_code, 2);
}

}  // namespace
}  // namespace oddgrist::test

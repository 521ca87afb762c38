// The ferment verb: agrees with compose, in words and as JSON.
#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

using nlohmann::json;

TEST(FermentVerb, EndsAtTheGravityOfTheRecipe) {
  for (const std::string brief :
       {"examples/saltmarsh-round.toml", "examples/quince.toml", "examples/community-200l.toml"}) {
    const json course = json::parse(oddgrist({"ferment", brief, "--json"}).out);
    const json forecast = json::parse(oddgrist({"compose", brief, "--json"}).out).at("proposals")[0].at("forecast");
    EXPECT_NEAR(course.at("end_sg").at("usual").get<double>(),
                forecast.at("final_gravity_sg").at("value").get<double>(), 1e-5);
    EXPECT_NEAR(course.at("points").back().at("gravity_sg").at("usual").get<double>(),
                forecast.at("final_gravity_sg").at("value").get<double>(), 0.0005);
    EXPECT_NEAR(course.at("original_gravity_sg").get<double>(),
                forecast.at("original_gravity_sg").at("value").get<double>(), 1e-5);
  }
}

TEST(FermentVerb, ASmallRoomIsADanger) {
  const ProgramRun result = oddgrist({"ferment", "examples/community-200l.toml", "--room-m3", "12"});
  EXPECT_EQ(result.exit_code, oddgrist({"compose", "examples/community-200l.toml"}).exit_code);
  EXPECT_NE(result.out.find("DANGER: the gas"), std::string::npos) << result.out;
  EXPECT_EQ(oddgrist({"ferment", "examples/quince.toml", "--room-m3", "10000"}).out.find("DANGER"), std::string::npos);
}

TEST(FermentVerb, WrongUsageIsExit2AndARefusedBriefStaysRefused) {
  for (const std::string room : {"0", "-3", "nan", "twelve", "12 m3"}) {
    const ProgramRun result = oddgrist({"ferment", "examples/quince.toml", "--room-m3", room});
    EXPECT_EQ(result.exit_code, 2) << room << result.out;
    EXPECT_NE(result.err, "");
  }
  EXPECT_EQ(oddgrist({"ferment", "examples/quince.toml", "--proposal", "99"}).exit_code, 2);
  const ProgramRun kernels = oddgrist({"ferment", "examples/kernels.toml"});
  EXPECT_EQ(kernels.exit_code, 4);
  EXPECT_EQ(kernels.out, "");
}

}  // namespace
}  // namespace oddgrist::test

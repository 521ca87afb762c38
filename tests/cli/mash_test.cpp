// oddgrist mash, as it is typed.
#include <cmath>

#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

const std::string brief = "examples/saltmarsh-round.toml";

nlohmann::json json_of(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), {"mash", brief, "--json"});
  const ProgramRun run = oddgrist(arguments);
  EXPECT_EQ(run.exit_code, 0) << run.out.substr(0, 500) << run.err;
  return nlohmann::json::parse(run.out, nullptr, false);
}

TEST(MashVerb, AgreesWithTheRunSheet) {
  const auto mash = json_of({});
  const auto answer = nlohmann::json::parse(oddgrist({"compose", brief, "--json"}).out);
  const auto& proposal = answer.at("proposals").at(0);
  EXPECT_NEAR(mash.at("course").at("strike_c").get<double>(),
              proposal.at("run_sheet").at("strike_temperature_c").get<double>(), 0.011);
  EXPECT_NEAR(mash.at("mash_ph_20c").at("value").get<double>(),
              proposal.at("forecast").at("mash_ph").at("value").get<double>(), 0.0011);
}

TEST(MashVerb, EnergyOfThePrintedCourseBalances) {
  for (const std::string step : {"infusion", "decoction", "direct"}) {
    const auto course = json_of({"--rest", "52 °C 15 min", "--rest", "149 °F 1 h", "--step", step, "--power", "2.5 kW",
                                 "--cooled", "66 °C, 63.5 °C, 60 min"})
                            .at("course");
    const double in = course.at("brought_kj").get<double>() + course.at("heated_kj").get<double>();
    EXPECT_NEAR(in, course.at("lost_kj").get<double>() + course.at("stored_kj").get<double>(), 0.021)
        << step;  // four figures rounded to 0.01
    // 66 to 63.5 C in an hour, room 18 C: 60/ln(48/45.5) = 1121.6 min.
    EXPECT_NEAR(course.at("time_constant_minutes").get<double>(), 60.0 / std::log(48.0 / 45.5), 0.051);
    EXPECT_TRUE(course.at("time_constant_measured").get<bool>());
    EXPECT_EQ(course.at("legs").at(2).at("kind"), step);
    EXPECT_NEAR(course.at("legs").at(2).at("end_c").get<double>(), 65.0, 1e-3);
  }
}

// What is refused, with which exit code, and a word of the reason.
TEST(MashVerb, RefusesWithAReasonAndARemedy) {
  struct Case {
    std::vector<std::string> options;
    int exit_code;
    std::string reason;
  };
  const std::vector<Case> cases = {
      {{"--rest", "-300 °C 60 min"}, 2, "absolute zero"},
      {{"--grain", "-1 K"}, 2, "absolute zero"},
      {{"--rest", "65 60"}, 2, "not a temperature and a time"},
      {{"--rest", "95 °C 60 min"}, 65, "outside"},
      {{"--rest", "65 °C 20 h"}, 65, "longer"},
      {{"--rest", "66 °C 30 min", "--rest", "52 °C 30 min"}, 65, "not above"},
      {{"--rest", "52 °C 30 min", "--rest", "66 °C 30 min", "--step", "direct"}, 65, "power"},
      {{"--rest", "52 °C 30 min", "--rest", "66 °C 30 min", "--infusion", "120 °C"}, 65, "boiling point"},
      {{"--cooled", "66 °C, 67 °C, 60 min"}, 2, "must cool"},
      {{"--cooled", "66 °C"}, 2, "two temperatures"},
      {{"--step", "magic"}, 2, "step"},
      {{"--proposal", "9"}, 2, "there "},
  };
  for (const Case& each : cases) {
    std::vector<std::string> arguments = {"mash", brief};
    arguments.insert(arguments.end(), each.options.begin(), each.options.end());
    const ProgramRun run = oddgrist(arguments);
    EXPECT_EQ(run.exit_code, each.exit_code) << testing::PrintToString(each.options) << run.err;
    EXPECT_EQ(run.out, "");
    EXPECT_NE(run.err.find(each.reason), std::string::npos) << run.err;
  }
}

// A kettle of sugar and hops: no grain, so nothing to mash.
TEST(MashVerb, NothingToMash) {
  const Scratch scratch;
  write_text(scratch / "b.toml",
             "[kit]\nkettle = \"16 L\"\n[want]\nvolume = \"10 L\"\n[[have]]\nitem = \"table sugar\"\n[[have]]\nitem = "
             "\"neutral ale yeast\"\n");
  const ProgramRun run = oddgrist({"mash", scratch / "b.toml"});
  EXPECT_EQ(run.exit_code, 65) << run.out << run.err;
  EXPECT_NE(run.err.find("no mash"), std::string::npos) << run.err;
}

TEST(MashVerb, RefusedBriefGetsNoMash) {
  const ProgramRun run = oddgrist({"mash", "examples/kernels.toml"});
  EXPECT_EQ(run.exit_code, 4);
  EXPECT_EQ(run.out, "");
}

}  // namespace
}  // namespace oddgrist::test

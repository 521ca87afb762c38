// The carbonate verb: from a brief and from options; what it refuses, and what it cannot read.
#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

using nlohmann::json;

ProgramRun carbonate(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), "carbonate");
  return oddgrist(arguments);
}

TEST(CarbonateVerb, FromABriefTableSugarIsThatOfTheRunSheet) {
  const json gas = json::parse(carbonate({"examples/saltmarsh-round.toml", "--json"}).out);
  const json sheet = json::parse(oddgrist({"sheet", "examples/saltmarsh-round.toml", "--json"}).out);
  const double sheet_g = sheet.at("proposals")[0].at("run_sheet").at("priming_sucrose_g");
  // The sheet counts pure sucrose, the catalogue's white sugar is 99.9 % of it (Codex Alimentarius, CXS 212-1999).
  EXPECT_NEAR(gas.at("priming")[0].at("total_g").get<double>(), sheet_g / 0.999, 0.01);
  EXPECT_EQ(gas.at("priming")[0].at("sugar"), "white sugar");
  EXPECT_TRUE(gas.at("facts").at("per_100_ml").contains("protein_g"));
  EXPECT_FALSE(gas.contains("forced"));
}

TEST(CarbonateVerb, UnitsOfBothSystemsMeanTheSame) {
  const json metric = json::parse(carbonate({"--beer", "9.463529460 L", "--high", "2.757902917 bar", "--json"}).out);
  const json us = json::parse(carbonate({"--beer", "2.5 US gal", "--high", "40 psi", "--json"}).out);
  EXPECT_NEAR(metric.at("priming")[0].at("total_g").get<double>(), us.at("priming")[0].at("total_g").get<double>(),
              1e-4);
  EXPECT_NEAR(metric.at("forced").at("turn_down_hours").get<double>(),
              us.at("forced").at("turn_down_hours").get<double>(), 1e-4);
}

TEST(CarbonateVerb, AboveTheRatingIsRefusedWithTheTemperature) {
  const std::vector<std::string> much = {"--beer", "9.5 L",       "--volumes", "3.6 vol",  "--bottle",
                                         "0.5 L",  "--headspace", "20 mL",     "--rating", "3 bar"};
  const ProgramRun result = carbonate(much);
  EXPECT_EQ(result.exit_code, 4);
  EXPECT_EQ(result.out.rfind("Refused: at 30.0 °C", 0), 0U) << result.out;
  EXPECT_NE(result.out.find("The rating is passed from"), std::string::npos);
  EXPECT_EQ(result.out.find("white sugar"), std::string::npos);
  std::vector<std::string> cold = much;
  cold.insert(cold.end(), {"--warmest", "4 °C"});
  EXPECT_EQ(carbonate(cold).exit_code, 0);
  EXPECT_EQ(carbonate({"--beer", "9.5 L", "--rating", "5 bar", "--high", "6 bar"}).exit_code, 4);
}

TEST(CarbonateVerb, BottledEarlyAddsPressure) {
  const std::vector<std::string> done = {"--beer", "9.5 L", "--alcohol", "5 %", "--gravity", "1.010", "--json"};
  std::vector<std::string> early = done;
  early.insert(early.end(), {"--bottled-at", "1.014"});
  const json before = json::parse(carbonate(done).out).at("bottle"),
             after = json::parse(carbonate(early).out).at("bottle");
  EXPECT_NEAR(after.at("gravity_points_left").get<double>(), 4.0, 1e-6);
  EXPECT_GT(after.at("leftover_volumes").get<double>(), 1.5);
  EXPECT_GT(after.at("warmest").at("gauge_bar").get<double>(),
            before.at("warmest").at("gauge_bar").get<double>() + 1.0);
  early.insert(early.end(), {"--rating", "4.5 bar"});
  EXPECT_EQ(carbonate(early).exit_code, 4);
}

TEST(CarbonateVerb, WhatCannotBeIsExit2AndNamesTheOption) {
  const std::vector<std::vector<std::string>> wrong = {
      {"--temperature", "-5 K"}, {"--temperature", "60 °C"}, {"--headspace", "0 mL"}, {"--headspace", "1 L"},
      {"--volumes", "NaN vol"},  {"--volumes", "0 vol"},     {"--volumes", "nan"},    {"--rating", "3"},
      {"--rating", "-3 bar"},    {"--rating", "inf bar"},    {"--high", "40"},        {"--hours", "24"},
      {"--bottle", "0 L"},       {"--altitude", "9000 m"},   {"--alcohol", "5 %"},    {"--bottled-at", "1.014"},
      {"--warmest", "55 °C"},    {"--start", "20 vol"},      {"--by", "stirring"},    {"--fermented-at", "-1 K"}};
  for (std::vector<std::string> arguments : wrong) {
    const std::string option = arguments[0];
    arguments.insert(arguments.begin(), {"--beer", "9.5 L"});
    const ProgramRun result = carbonate(arguments);
    EXPECT_EQ(result.exit_code, 2) << testing::PrintToString(arguments) << result.out;
    EXPECT_EQ(result.out, "");
    EXPECT_NE(result.err.find(option), std::string::npos) << result.err;
  }
  EXPECT_EQ(carbonate({}).exit_code, 2);
  EXPECT_EQ(carbonate({"--beer", "9.5 gal"}).exit_code, 2);
  EXPECT_EQ(carbonate({"--beer", "9.5 L", "--alcohol", "9 %", "--gravity", "0.981"}).exit_code, 2);
  EXPECT_EQ(carbonate({"no-such-file.toml"}).exit_code, 66);
  EXPECT_EQ(carbonate({"examples/kernels.toml"}).exit_code, 4);
}

TEST(CarbonateVerb, NoFigureIsNotANumber) {
  for (const std::vector<std::string>& arguments :
       {std::vector<std::string>{"--beer", "0.05 L", "--volumes", "0.2 vol", "--high", "0 bar", "--hours", "0 h"},
        std::vector<std::string>{"--beer", "100000 L", "--volumes", "8 vol", "--temperature", "40 °C", "--by",
                                 "shaken"}}) {
    for (const bool as_json : {false, true}) {
      std::vector<std::string> all = arguments;
      if (as_json) all.push_back("--json");
      const ProgramRun result = carbonate(all);
      EXPECT_EQ(result.exit_code, 0) << result.err;
      EXPECT_EQ(result.out.find("nan"), std::string::npos);
      EXPECT_EQ(result.out.find("?"), std::string::npos);
    }
  }
}

}  // namespace
}  // namespace oddgrist::test

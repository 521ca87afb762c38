// A water report as a brewer types it: what it means, and where and why it is refused.
#include "files/water_file.hpp"

#include <gtest/gtest.h>

namespace oddgrist::files {
namespace {

std::vector<ReportedWater> read(const std::string& text) {
  const auto waters = read_water_text(text, "report.toml");
  if (waters) return waters.value();
  for (const Problem& problem : waters.problems()) ADD_FAILURE() << problem_line(problem);
  return {};
}

std::string problems(const std::string& text) {
  const auto waters = read_water_text(text, "report.toml");
  if (waters) return "";
  std::string lines;
  for (const Problem& problem : waters.problems()) lines += problem_line(problem) + "\n";
  return lines;
}

double meq_of(const std::string& text, HardnessSense sense) {
  std::string fault;
  const auto hardness = parse_hardness(text, sense, fault);
  if (!hardness) return -1.0;
  return hardness->value * science::meq_per_l_per_unit(hardness->unit);
}

// One water in every unit. 1 mEq/L = 50.04 mg/L CaCO3 = 61.02 mg/L HCO3 = 2.804 °dH (DIN 38409-6) = 5.004 °fH = 3.511 °e = 2.921 gpg; from
// the molar masses and the definitions of the degrees. Tolerance: the last digit typed.
TEST(WaterFile, HardnessInEveryUnit) {
  for (const char* text : {"2.5 mEq/L", "2.5 meq/l", "125.1 mg/L CaCO3", "125.1 mg/L as CaCO3", "125.1 ppm CaCO3",
                           "7.01 °dH", "7.01 dH", "12.51 °fH", "8.78 °e", "7.31 gpg"}) {
    EXPECT_NEAR(meq_of(text, HardnessSense::hardness), 2.5, 0.002) << text;
    EXPECT_NEAR(meq_of(text, HardnessSense::alkalinity), 2.5, 0.002) << text;
  }
  EXPECT_NEAR(meq_of("152.5 mg/L HCO3", HardnessSense::alkalinity), 2.5, 0.002);
  EXPECT_NEAR(meq_of("152.5 mg/L HCO3-", HardnessSense::alkalinity), 2.5, 0.002);
  EXPECT_NEAR(meq_of("1.25 mmol/L", HardnessSense::hardness), 2.5, 1e-9);
}

TEST(WaterFile, UnitsThatMayMeanTwoThingsAreRefused) {
  std::string fault;
  for (const char* text : {"125 mg/L", "125 ppm", "125", "", "7 °P", "-1 mEq/L", "nan mEq/L", "1e9 mEq/L", "mEq/L"}) {
    fault.clear();
    EXPECT_FALSE(parse_hardness(text, HardnessSense::alkalinity, fault)) << text;
    EXPECT_FALSE(fault.empty()) << text;
  }
  EXPECT_FALSE(parse_hardness("2 mmol/L", HardnessSense::alkalinity, fault));
  EXPECT_FALSE(parse_hardness("152 mg/L HCO3", HardnessSense::hardness, fault));
}

TEST(WaterFile, OneWaterWithAllThatAReportSays) {
  const auto waters = read(R"(
[water]
name = "well"
calcium = "118 mg/L"
sodium = "0.021 g/L"
alkalinity = "15.4 °dH"
hardness = "20.4 °dH"
ph = 7.3
temperature = "54 °F"
chlorine = "0.3 ppm"
)");
  ASSERT_EQ(waters.size(), 1U);
  const ReportedWater& water = waters[0];
  EXPECT_EQ(water.name, "well");
  EXPECT_EQ(water.place.line, 2);
  EXPECT_FALSE(water.distilled);
  EXPECT_NEAR(*water.report.sodium_mg_per_l, 21.0, 1e-9);
  EXPECT_FALSE(water.report.magnesium_mg_per_l);
  EXPECT_NEAR(water.report.temperature_c, 12.22, 0.01);
  EXPECT_NEAR(water.chlorine->in(milligram_per_litre), 0.3, 1e-9);
  EXPECT_NEAR(water.reading.ions.alkalinity_meq_per_l, 5.49, 0.005);  // 15.4 / 2.804
  // Magnesium is what hardness leaves: 20.4/2.804 - 118/20.039 = 1.387 mEq/L, times 12.1525 = 16.9 mg/L.
  EXPECT_NEAR(water.reading.ions.magnesium_mg_per_l, 16.9, 0.1);
  ASSERT_EQ(water.reading.filled_in.size(), 1U);
  EXPECT_EQ(water.reading.filled_in[0], science::WaterIon::magnesium);
}

TEST(WaterFile, WatersOfABriefAndADistilledOne) {
  const auto waters = read(R"(
[want]
volume = "10 L"
[[water]]
name = "tap"
amount = "9 L"
calcium = "78 mg/L"
alkalinity-as-caco3 = "190 mg/L"
[[water]]
name = "rain"
amount = "6 L"
)");
  ASSERT_EQ(waters.size(), 2U);
  EXPECT_NEAR(waters[0].reading.ions.alkalinity_meq_per_l, 190.0 / 50.043, 1e-3);
  EXPECT_NEAR(waters[0].amount->in(litre), 9.0, 1e-12);
  EXPECT_TRUE(waters[1].distilled);
}

// Bicarbonate is the ion itself: with a pH the alkalinity is a little more (carbonate counts twice).
TEST(WaterFile, BicarbonateWithPh) {
  const auto waters = read("[water]\nbicarbonate = \"183.05 mg/L\"\nph = 8.3\n");
  ASSERT_EQ(waters.size(), 1U);
  EXPECT_GT(waters[0].reading.ions.alkalinity_meq_per_l, 3.0);
  EXPECT_LT(waters[0].reading.ions.alkalinity_meq_per_l, 3.1);
}

TEST(WaterFile, ProblemsHavePlaceReasonAndRemedy) {
  EXPECT_NE(problems("[water]\ncalcium = \"62 mg/L\"\nalkalinity = \"125 mg/L\"\n")
                .find("report.toml:3:14: water.alkalinity: mg/L of what?"),
            std::string::npos)
      << problems("[water]\ncalcium = \"62 mg/L\"\nalkalinity = \"125 mg/L\"\n");
  EXPECT_NE(problems("[water]\nph = 17\n").find("report.toml:2:6: water.ph is 17"), std::string::npos);
  EXPECT_NE(problems("[water]\ncalcium = \"62 mg/L\"\ncalcum = \"62 mg/L\"\n").find("Did you mean \"calcium\"?"),
            std::string::npos);
  EXPECT_NE(problems("[water]\nbicarbonate = \"62 mg/L\"\nalkalinity = \"7 °dH\"\n").find("both given"),
            std::string::npos);
  EXPECT_NE(problems("[water]\ncalcium = \"118 mg/L\"\nhardness = \"2 °dH\"\n")
                .find("report.toml:1:1: \"water\": hardness is less"),
            std::string::npos)
      << problems("[water]\ncalcium = \"118 mg/L\"\nhardness = \"2 °dH\"\n");
  EXPECT_NE(problems("[water]\nname = \"x\"\n").find("has no figure"), std::string::npos);
  EXPECT_NE(problems("name = \"x\"\n").find("there is no [water]"), std::string::npos);
  EXPECT_NE(problems("water = 3\n").find("there is no [water]"), std::string::npos);
  EXPECT_NE(problems("[water]\nalkalinity = 7\n").find("a whole number"), std::string::npos);
  EXPECT_NE(problems("[water]\ntemperature = \"-300 °C\"\n").find("absolute zero"), std::string::npos);
  EXPECT_NE(problems("[[water]]\nname = \"a\"\n[[water]]\nname = \"a\"\n").find("a second water"), std::string::npos);
  EXPECT_NE(problems("[water\n").find("not TOML"), std::string::npos);
}

}  // namespace
}  // namespace oddgrist::files

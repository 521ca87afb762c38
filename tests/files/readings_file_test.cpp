#include <gtest/gtest.h>

#include "files/readings_file.hpp"
#include "gyle/local_time.hpp"

namespace oddgrist::files {
namespace {

TEST(ReadingsFile, EveryKindIsReadInItsOwnUnit) {
  const auto read = read_readings_text(
      "# shed\ntime,kind,value,at,error,note\n2026-11-02T17:30,pitched,,,,\n2026-11-02 17:40,gravity,12.5 \u00b0P,75 "
      "\u00b0F,0.002,\n"
      "2026-11-04T08:00,refraction,8.2 \u00b0Bx,,,\"foam, to the lid\"\n2026-11-04T08:00:30,temperature,68 \u00b0F,,,\n"
      "2026-11-05,ph,4.4,,,\n2026-11-06T08:00,pressure,14.5 psi,,,\n2026-11-07T08:00,dosed\n",
      "r.csv");
  ASSERT_TRUE(read);
  const ReadingsFile& file = read.value();
  ASSERT_EQ(file.readings.size(), 5u);
  EXPECT_NEAR(file.readings[0].reading.value, 1.0505, 0.0005);  // 12.5 P, ASBC wort table
  EXPECT_NEAR(file.readings[0].reading.at_celsius.value_or(0.0), 23.89, 0.01);
  EXPECT_EQ(file.readings[0].reading.deviation, 0.002);
  EXPECT_EQ(file.readings[1].reading.value, 8.2);
  EXPECT_NEAR(file.readings[2].reading.value, 20.0, 1e-9);
  EXPECT_EQ(file.readings[3].reading.sight, gyle::Sight::ph);
  EXPECT_NEAR(file.readings[4].reading.value, 1.0, 0.001);
  EXPECT_EQ(file.lines, (std::vector<int>{4, 5, 6, 7, 8}));
  ASSERT_TRUE(file.pitched && file.dosed);
  EXPECT_EQ(gyle::local_time_text(*file.pitched), "2026-11-02T17:30");
  EXPECT_EQ(gyle::local_time_words(*file.dosed), "Sat 7 Nov, 08:00");
}

TEST(ReadingsFile, AFigureNoBeerHasIsNotRefused) {
  const auto read = read_readings_text("time,kind,value\n2026-11-02,gravity,1.502\n2026-11-03,gravity,12.5\n", "r.csv");
  ASSERT_TRUE(read);
  EXPECT_EQ(read.value().readings[0].reading.value, 1.502);
  EXPECT_EQ(read.value().readings[1].reading.value, 12.5);
}

TEST(ReadingsFile, EveryProblemHasItsLineAndColumn) {
  const auto read = read_readings_text(
      "time,kind,value,at\n2026-13-01,gravty,1.0,\n2026-10-11T10:00Z,ph,x,\n2026-10-12,temperature,19,\n"
      "2026-10-12,pitched,,\n2026-10-13,pitched,5,\n2026-10-13,gravity,,\n2026-10-13,gravity,1,0,5\n",
      "r.csv");
  ASSERT_FALSE(read);
  std::vector<std::pair<int, int>> places;
  for (const Problem& problem : read.problems()) {
    places.emplace_back(problem.place.line, problem.place.column);
    EXPECT_FALSE(problem.remedy.empty()) << problem.what;
  }
  const std::vector<std::pair<int, int>> expected = {{2, 1},  {2, 12}, {3, 1},  {3, 22}, {4, 26},
                                                     {6, 12}, {6, 20}, {7, 20}, {8, 24}};
  EXPECT_EQ(places, expected);
}

TEST(ReadingsFile, AHeaderIsNeeded) {
  EXPECT_FALSE(read_readings_text("2026-11-02,gravity,1.050\n", "r.csv"));
  EXPECT_FALSE(read_readings_text("kind,value\ngravity,1.050\n", "r.csv"));
  EXPECT_FALSE(read_readings_text("# nothing\n", "r.csv"));
}

TEST(LocalTime, GoesThereAndBackAndTakesNoZone) {
  for (const char* text : {"2026-11-25T18:30", "2024-02-29T00:00", "1999-12-31T23:59"}) {
    const auto at = gyle::parse_local_time(text);
    ASSERT_TRUE(at) << text;
    EXPECT_EQ(gyle::local_time_text(*at), text);
  }
  for (const char* text :
       {"", "2026", "2026-02-30", "2026-11-25T24:00", "2026-11-25T18:30Z", "2026-11-25T18:30+01:00", "25.11.2026"}) {
    EXPECT_FALSE(gyle::parse_local_time(text)) << text;
  }
}

}  // namespace
}  // namespace oddgrist::files

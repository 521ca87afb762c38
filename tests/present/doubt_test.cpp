// The table of what moves a beer most.
#include "present/doubt.hpp"

#include <algorithm>
#include <sstream>

#include <gtest/gtest.h>

#include "../compose/sample_briefs.hpp"

namespace oddgrist::present {
namespace {

using compose::Doubt;
using compose::Topic;
using compose::Upshot;

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

std::string table(bool us_first = false) {
  compose::Brief brief = compose::sample::harvest();
  brief.us_units_first = us_first;
  const compose::Answer answer = compose::compose(brief);
  return doubt_text(brief, answer.proposals.at(0));
}

TEST(DoubtText, FitsEightyColumnsAndNamesEachFigure) {
  for (bool us_first : {false, true}) {
    const std::string text = table(us_first);
    for (const std::string& line : lines_of(text)) {
      EXPECT_LE(columns(line), doubt_columns) << line;
      EXPECT_TRUE(line.empty() || line.back() != ' ') << line;
    }
    for (const char* figure : {"\nOriginal gravity ", "\nBitterness ", "\nColour ", "\nMash pH ", "\nCarbonation "}) {
      EXPECT_NE(text.find(figure), std::string::npos) << figure;
    }
    EXPECT_EQ(text.find("nan"), std::string::npos);
    EXPECT_EQ(text.find(" ?"), std::string::npos);
  }
}

TEST(DoubtText, BitternessIsAboutTheHopsNobodyMeasured) {
  const auto lines = lines_of(table());
  const auto head =
      std::find_if(lines.begin(), lines.end(), [](const auto& line) { return line.starts_with("Bitterness "); });
  ASSERT_NE(head, lines.end());
  EXPECT_NE(head[1].find("alpha acid of home-dried hops"), std::string::npos) << head[1];
  EXPECT_NE(head[1].find("3 to 8 %"), std::string::npos) << head[1];
}

// At most three rows each, then the advice.
TEST(DoubtText, NeverMoreThanThreeMovers) {
  std::size_t rows = 0, advice = 0;
  for (const std::string& line : lines_of(table())) {
    if (line.starts_with("  ") && line.ends_with(" %") && line[2] != ' ') ++rows;
    if (line.find("Measure first: ") != std::string::npos) {
      EXPECT_GE(rows, 1U);
      EXPECT_LE(rows, doubt_rows);
      rows = 0;
      ++advice;
    }
  }
  EXPECT_EQ(advice, 5U);
}

// What is worth measuring is what was wished and can be narrowed: the unknown hops first, and nothing of what nobody asked for.
TEST(DoubtText, SaysWhatIsWorthMeasuring) {
  const std::string text = table();
  const auto list = text.find("Worth measuring");
  ASSERT_NE(list, std::string::npos);
  const auto first = text.find("  1. the alpha acid of home-dried hops", list);
  ASSERT_NE(first, std::string::npos) << text;
  EXPECT_NE(text.find("bitterness ± ", first), std::string::npos);
  EXPECT_EQ(text.find("mash pH ±", list), std::string::npos);  // not wished
  EXPECT_NE(text.find("Of 100 such brews "), std::string::npos);
}

TEST(DoubtText, EveryMeasuringHasWords) {
  for (int by = 0; by <= static_cast<int>(compose::Gauging::lees_measured); ++by) {
    const std::string words = measuring_words({static_cast<compose::Gauging>(by), "oats", {}, {}, 0.0});
    EXPECT_GT(words.size(), 8U) << by;
    EXPECT_EQ(words.find('?'), std::string::npos) << by;
  }
}

// A beer without hops or mash has nothing to say of bitterness or mash pH.
TEST(DoubtText, LeavesOutWhatTheBeerHasNot) {
  compose::Brief brief;
  brief.name = "honey wine";
  brief.given = {compose::sample::all_of("honey", 2.0 * kilogram)};
  brief.wishes = {{compose::Measure::volume, 9.0, 11.0, 1.0, {}}};
  const compose::Answer answer = compose::compose(brief);
  ASSERT_FALSE(answer.proposals.empty());
  const std::string text = doubt_text(brief, answer.proposals[0]);
  EXPECT_NE(text.find("Original gravity "), std::string::npos) << text;
  EXPECT_EQ(text.find("Mash pH"), std::string::npos) << text;
  EXPECT_EQ(text.find("Bitterness"), std::string::npos) << text;
}

TEST(DoubtText, EffectsCarrySignsAndUnits) {
  EXPECT_EQ(effect_words(Upshot::bitterness, -12.2, 11.7, false), "-12 to +12 IBU");
  EXPECT_EQ(effect_words(Upshot::original_gravity, -0.0016, 0.0017, false), "-1.6 to +1.7 points");
  EXPECT_EQ(effect_words(Upshot::mash_ph, 0.0, 0.052, false), "0.00 to +0.05");
  EXPECT_EQ(effect_words(Upshot::mash_ph, -0.0001, 0.052, false), "0.00 to +0.05");
  EXPECT_EQ(upshot_words(Upshot::original_gravity, 1.0554, false), "1.055");
}

TEST(DoubtText, RangesReadAsABrewerSaysThem) {
  Doubt doubt;
  const auto words = [&](const char* unit, double low, double high, bool us_first = false) {
    doubt.unit = unit;
    doubt.low = low;
    doubt.high = high;
    return range_words(doubt, us_first);
  };
  EXPECT_EQ(words("kg/kg", 0.03, 0.08), "3 to 8 %");
  EXPECT_EQ(words("kg/kg", 0.748, 0.8251), "75 to 83 %");
  EXPECT_EQ(words("factor", 0.85, 1.15), "± 15 %");
  EXPECT_EQ(words("K off", -1.0, 1.0), "± 1 °C");
  EXPECT_EQ(words("K off", -1.0, 1.0, true), "± 1.8 °F");
  EXPECT_EQ(words("volumes off", -0.15, 0.05), "-0.15 to +0.05 vol");
  EXPECT_EQ(words("g off", -0.5, 0.5), "± 0.5 g");
  EXPECT_EQ(words("g off", -0.05, 0.05), "± 0.05 g");
  EXPECT_EQ(words("L/h", 1.87, 2.53), "1.9 to 2.5 L/h");
}

TEST(DoubtText, EveryTopicHasAdvice) {
  Doubt doubt;
  doubt.group = "oats";
  for (int topic = 0; topic <= static_cast<int>(Topic::still_gas); ++topic) {
    doubt.topic = static_cast<Topic>(topic);
    const std::string advice = measure_first(doubt);
    EXPECT_GT(advice.size(), 20U) << topic;
    EXPECT_EQ(advice.back(), '.') << topic;
  }
}

}  // namespace
}  // namespace oddgrist::present

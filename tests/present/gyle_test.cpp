// A gyle in words.
#include <gtest/gtest.h>

#include "../gyle/hidden_gyle.hpp"
#include "present/gyle.hpp"

namespace oddgrist::present {
namespace {

using namespace gyle;
using gyle::hidden::Mishap;

hidden::Day spilled_day(Stage stage) {
  return hidden::day_of(hidden::planned().brief, hidden::planned().recipe, 7, Mishap::boil_over, stage);
}

bool holds(const std::string& text, std::string_view words) { return text.find(words) != std::string::npos; }

void expect_tidy(const std::string& text) {
  EXPECT_FALSE(holds(text, "nan"));
  EXPECT_FALSE(holds(text, "inf"));
  std::size_t begin = 0;
  for (std::size_t end = text.find('\n'); end != std::string::npos; begin = end + 1, end = text.find('\n', begin))
    EXPECT_LE(columns(text.substr(begin, end - begin)), gyle_columns + 20) << text.substr(begin, end - begin);
}

TEST(GyleText, SaysWhereItIs) {
  auto day = spilled_day(Stage::after_boil);
  Reading odd;
  odd.stage = Stage::after_boil;
  odd.value = 1.120;
  day.log.write(odd);
  const std::string text = standing_text(*day.brief, standing_of(*day.brief, day.state()));
  EXPECT_TRUE(holds(text, "after the boil"));
  EXPECT_TRUE(holds(text, "original gravity"));
  EXPECT_TRUE(holds(text, "1.120"));
  EXPECT_TRUE(holds(text, "hardly counts"));
  expect_tidy(text);
}

TEST(GyleText, EveryMoveIsAnOrder) {
  for (Stage stage : {Stage::before_boil, Stage::boil, Stage::after_boil, Stage::fermenter, Stage::package}) {
    const auto day = spilled_day(stage);
    const Replan plan = replan(*day.brief, day.state(), hidden::minute_of_day(day.log.now_minutes));
    const std::string text = replan_text(*day.brief, plan);
    EXPECT_TRUE(holds(text, "Do nothing."));
    for (const Move& move : plan.moves) EXPECT_TRUE(move_words(move, false).ends_with("."));
    expect_tidy(text);
  }
}

TEST(GyleText, PartsInWords) {
  Part part;
  part.kind = Part::Kind::boil;
  part.change = 15.0;
  part.planned = 60.0;
  EXPECT_EQ(part_words(part, false), "Boil 15 minutes longer, 75 minutes in all.");
  part.change = -10.0;
  EXPECT_EQ(part_words(part, false), "Boil 10 minutes less, 50 minutes in all.");
  part.kind = Part::Kind::prime;
  part.planned = 60.0;
  EXPECT_TRUE(holds(part_words(part, false), "50.0 g"));
  EXPECT_TRUE(holds(part_words(part, false), "less than the recipe says"));
}

}  // namespace
}  // namespace oddgrist::present

#include "present/side_by_side.hpp"

#include <sstream>

#include <gtest/gtest.h>

#include "example.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using namespace example;
using compose::Alternative;
using compose::Alternatives;
using compose::Axis;
using compose::Character;

Character character(double colour_ebc, std::string_view word) {
  Character typed;
  typed.traits = {{Axis::strength, 5.97, 8.5, 0.6, "middling"}, {Axis::colour, colour_ebc, 5.0, 0.5, word}};
  return typed;
}

Answer answer() {
  Answer typed;
  typed.proposals = {proposal()};
  return typed;
}

Alternatives alternatives(std::size_t count) {
  Alternatives typed;
  typed.first = character(24.0, "amber");
  typed.allowance = 1.0;
  typed.tried = 20;
  typed.kept_wishes = 9;
  for (std::size_t i = 0; i < count; ++i) {
    Alternative other;
    other.proposal = proposal();
    other.proposal.name = "darker, with a rather long-winded malt that needs a second line";
    other.proposal.additions.push_back(addition("burnt malt", IngredientKind::malt, 70.0 + double(i), Route::mash));
    other.character = character(48.0 + double(i), "brown");
    other.points_more = 0.25;
    other.gains = {"1.20 cheaper (4.10 in all)"};
    other.gives_up = {"bitterness nearer the edge of its range (31 IBU, first 28 IBU)"};
    typed.others.push_back(other);
  }
  return typed;
}

std::size_t widest(const std::string& text) {
  std::istringstream lines(text);
  std::size_t most = 0;
  for (std::string line; std::getline(lines, line);) most = std::max(most, columns(line));
  return most;
}

TEST(side_by_side, fits_the_screen_it_is_made_for) {
  for (std::size_t width : {80u, 60u, 40u}) {
    for (std::size_t count : {1u, 3u, 5u})
      EXPECT_LE(widest(side_by_side_text(brief(), answer(), alternatives(count), width)), width);
  }
  EXPECT_LE(widest(side_by_side_text(brief(), answer(), alternatives(5), 10)), least_table_columns);
}

TEST(side_by_side, every_figure_stands_at_every_width) {
  for (std::size_t width : {80u, 40u}) {
    const std::string text = side_by_side_text(brief(), answer(), alternatives(5), width);
    for (const char* figure : {"24 EBC", "48 EBC", "52 EBC", "70.0 g", "74.0 g", "+0.25", "amber", "brown"})
      EXPECT_NE(text.find(figure), std::string::npos) << figure << " at " << width;
    for (const char* letter : {"B  ", "C  ", "D  ", "E  ", "F  "}) EXPECT_NE(text.find(letter), std::string::npos);
    EXPECT_NE(text.find("gains: "), std::string::npos);
    EXPECT_NE(text.find("gives up: "), std::string::npos);
  }
}

TEST(side_by_side, what_one_lacks_is_a_dash) {
  const std::string text = side_by_side_text(brief(), answer(), alternatives(1), 80);
  const std::size_t row = text.find("burnt malt");
  ASSERT_NE(row, std::string::npos);
  const std::string line = text.substr(row, text.find('\n', row) - row);
  EXPECT_LT(line.find(" -"), line.find("70.0 g"));
}

TEST(side_by_side, fewer_than_three_are_excused) {
  EXPECT_NE(side_by_side_text(brief(), answer(), alternatives(1), 80).find("20 others tried"), std::string::npos);
  EXPECT_EQ(side_by_side_text(brief(), answer(), alternatives(3), 80).find("20 others tried"), std::string::npos);
  EXPECT_NE(side_by_side_text(brief(), answer(), alternatives(0), 80).find("20 others tried"), std::string::npos);
}

TEST(side_by_side, a_refused_brief_gets_none) {
  Answer refused = answer();
  refused.outcome = Outcome::refused;
  EXPECT_EQ(side_by_side_text(brief(), refused, alternatives(3), 80), "");
}

}  // namespace
}  // namespace oddgrist::present

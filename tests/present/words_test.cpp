#include "present/words.hpp"

#include <limits>
#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace oddgrist::present {
namespace {

TEST(words, columns_are_code_points_not_bytes) {
  EXPECT_EQ(columns("66 °C"), 5U);
  EXPECT_EQ(columns("Märzen"), 6U);
  EXPECT_EQ(columns(""), 0U);
  EXPECT_EQ(columns(padded("°", 4)), 4U);
}

TEST(words, a_number_stays_with_its_unit) {
  const auto lines = wrapped("pour in about 13.4 L of water", 17);
  ASSERT_EQ(lines.size(), 2U);
  EXPECT_EQ(lines[0], "pour in about");
  EXPECT_EQ(lines[1], "13.4 L of water");
}

TEST(words, a_word_longer_than_the_line_is_cut_between_code_points) {
  const auto lines = wrapped("°°°°°", 2);
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_EQ(lines[0], "°°");
  EXPECT_EQ(lines[2], "°");
}

TEST(words, control_characters_become_spaces) {
  const auto lines = wrapped("red\x1b[31m\tale\n", 40);
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_EQ(lines[0], "red [31m ale");
}

TEST(words, the_brewers_own_system_stands_first) {
  // 10 L / 3.785411784 L per US gallon = 2.64 (231 cubic inches, NIST Handbook 44, appendix C).
  EXPECT_EQ(Units(false).volume(10.0 * litre), "10.0 L (2.64 US gal)");
  EXPECT_EQ(Units(true).volume(10.0 * litre), "2.64 US gal (10.0 L)");
  // 6 g/L * 3.785411784 L/gal / 28.349523125 g/oz = 0.80 oz/gal.
  EXPECT_EQ(Units(false).dose(6.0 * gram_per_litre), "6.0 g/L (0.80 oz/US gal)");
}

TEST(words, what_is_not_a_number_is_a_question_mark) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(number(nan, 1), "?");
  EXPECT_EQ(fixed(std::numeric_limits<double>::infinity(), 1), "?");
  EXPECT_EQ(Units(false).mass(nan * kilogram), "?");
  EXPECT_EQ(Units(true).volume(nan * litre), "?");
  EXPECT_EQ(Units(false).temperature(nan * celsius), "?");
  EXPECT_EQ(Units(false).gravity(nan * specific_gravity), "?");
  EXPECT_EQ(Units(false).colour(nan * ebc), "?");
  EXPECT_EQ(Units(false).dose(nan * gram_per_litre), "?");
}

TEST(words, numbers_lose_trailing_zeros_only_after_the_point) {
  EXPECT_EQ(number(60.0, 1), "60");
  EXPECT_EQ(number(0.5, 2), "0.5");
  EXPECT_EQ(number(100.0, 0), "100");
  EXPECT_EQ(fixed(-0.001, 1), "0.0");
}

RC_GTEST_PROP(words, wrapping_keeps_every_printable_character_and_the_width, ()) {
  const auto text = *rc::gen::container<std::string>(rc::gen::elementOf(std::string("ab 7.(\n  xyz")));
  const auto width = *rc::gen::inRange<std::size_t>(1, 30);
  std::string kept, wanted;
  for (const std::string& line : wrapped(text, width)) {
    RC_ASSERT(columns(line) <= width);
    RC_ASSERT(!line.empty());
    for (const char c : line) kept += c == ' ' ? "" : std::string(1, c);
  }
  for (const char c : text) wanted += c == ' ' || c == '\n' ? "" : std::string(1, c);
  RC_ASSERT(kept == wanted);
}

}  // namespace
}  // namespace oddgrist::present

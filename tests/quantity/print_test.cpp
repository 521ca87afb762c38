#include "quantity/print.hpp"

#include <cmath>
#include <limits>
#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "quantity/gravity.hpp"
#include "quantity/number.hpp"
#include "quantity/parse.hpp"
#include "quantity/text.hpp"

namespace oddgrist {
namespace {

TEST(print, rounds_as_the_row_says) {
  EXPECT_EQ(print(9.5 * litre, litre), "9.5 L");
  EXPECT_EQ(print(200.04 * litre, litre), "200 L");
  EXPECT_EQ(print(9.5 * litre, us_gallon), "2.51 US gal");
  EXPECT_EQ(print(9.5 * litre, us_gallon, 4), "2.5096 US gal");
  EXPECT_EQ(print(1.069 * specific_gravity, specific_gravity), "1.069");
  EXPECT_EQ(print(0.998 * specific_gravity, specific_gravity), "0.998");
  EXPECT_EQ(print(1.069 * specific_gravity, specific_gravity, 2), "1.07 SG");
  EXPECT_EQ(print(-0.001 * celsius, celsius, 1), "0.0 °C");
  EXPECT_EQ(print(0.058 * ratio, percent), "5.8 %");
}

TEST(print, in_both_systems) {
  EXPECT_EQ(both(9.5 * litre), "9.5 L (2.51 US gal)");
  EXPECT_EQ(both(9.5 * litre, UnitSystem::us), "2.51 US gal (9.5 L)");
  EXPECT_EQ(both(250.0 * millilitre), "250 mL (8.45 US fl oz)");
  EXPECT_EQ(both(1.2 * kilogram), "1.20 kg (2 lb 10.3 oz)");
  EXPECT_EQ(both(1.2 * kilogram, UnitSystem::us), "2 lb 10.3 oz (1.20 kg)");
  EXPECT_EQ(both(45.0 * gram), "45.0 g (1.59 oz)");
  EXPECT_EQ(both(40.0 * milligram), "40 mg (0.00 oz)");
  EXPECT_EQ(both(70.0 * celsius), "70.0 °C (158 °F)");
  EXPECT_EQ(both(70.0 * celsius, UnitSystem::us), "158 °F (70.0 °C)");
  EXPECT_EQ(both(1.069 * specific_gravity), "1.069 (16.8 °P)");
  EXPECT_EQ(both(40.0 * psi), "2.76 bar (40.0 psi)");
  EXPECT_EQ(both(35.0 * ebc), "35.0 EBC (17.8 SRM)");
}

TEST(print, ounces_go_over_into_the_next_pound) {
  EXPECT_EQ(both(1.9999 * pound, UnitSystem::us), "2 lb 0.0 oz (907 g)");
}

// A value of this unit that its kind allows, with up to six digits after the point.
double any_value(const UnitRow& row) {
  if (row.kind == KindId::gravity) {
    return row.curve == UnitCurve::plato ? *rc::gen::inRange(-5000000, 43000000) / 1e6
                                         : *rc::gen::inRange(980000, 1200001) / 1e6;
  }
  const double value = *rc::gen::inRange(0, 1000000000) / 1e6;
  if (row.kind == KindId::temperature && row.symbol != "K") return value - 270.0;
  if (row.kind == KindId::temperature_rise) return value - 500.0;
  return row.symbol == "°L" ? value + 1.0 : value;  // below 0.56 °L a colour is negative
}

RC_GTEST_PROP(print, is_read_back_to_the_printed_digits, ()) {
  const auto rows = unit_rows();
  const UnitRow& row = rows[*rc::gen::inRange<std::size_t>(0, rows.size())];
  const double value = any_value(row);
  const int decimals = *rc::gen::inRange(0, 10);
  const double base = row.to_base(value);
  const std::string printed = print_base(base, row, decimals);
  if (row.kind == KindId::gravity && row.symbol == "SG")
    RC_PRE(std::stod(printed) >= 0.98 && std::stod(printed) <= 1.2);
  const auto parsed = parse_measured(printed, row.kind);
  RC_ASSERT(parsed.ok());
  const double half_a_digit = 0.5 * std::pow(10.0, -decimals);
  const double size = std::max(300.0, std::abs(value));
  RC_ASSERT(std::abs(row.from_base(parsed.value().base) - value) <= half_a_digit + 1e-12 * size);
  // Read and printed once more, it is the same text.
  RC_ASSERT(print_base(parsed.value().base, row, decimals) == printed);
}

RC_GTEST_PROP(print, pounds_and_ounces_are_read_back, ()) {
  const Mass mass = (*rc::gen::inRange(454000, 50000000) / 1e6) * kilogram;
  const std::string text = both(mass, UnitSystem::us);
  const auto parsed = parse<MassKind>(text.substr(0, text.find(" (")));
  RC_ASSERT(parsed.ok());
  RC_ASSERT(std::abs(parsed.value().in(ounce)-mass.in(ounce)) <= 0.05 + 1e-9);
}

TEST(digits, read_back_at_both_ends_of_what_a_number_holds) {
  EXPECT_EQ(number_of_digits("-12.5"), -12.5);
  EXPECT_EQ(number_of_digits("1e-400"), 0.0);
  EXPECT_EQ(number_of_digits("1e400"), std::numeric_limits<double>::infinity());
  EXPECT_EQ(number_of_digits("-1e400"), -std::numeric_limits<double>::infinity());
  for (const std::string_view text : {"", "x", "1x", " 1"}) EXPECT_TRUE(std::isnan(number_of_digits(text))) << text;
  EXPECT_EQ(rounded_to_digits(0.0123456789, 6), 0.0123457);
  EXPECT_FALSE(std::signbit(rounded_to_digits(-0.0, 6)));
  EXPECT_EQ(rounded_to_digits(5e-324, 6), 5e-324);
}

TEST(harmless, leaves_words_and_takes_commands) {
  EXPECT_EQ(text::harmless("5 °P,\n\t“wort”"), "5 °P,\n\t“wort”");
  EXPECT_EQ(text::harmless("a\x1b[2Jb"), "a\\u001b[2Jb");
  EXPECT_EQ(text::harmless("\xc2\x9b"), "\\u009b");
  EXPECT_EQ(text::harmless("\xe2\x80\xae"), "\\u202e");
  EXPECT_EQ(text::harmless("a\xff"), "a\xef\xbf\xbd");
  EXPECT_EQ(text::harmless("\r"), "\\u000d");
}

}  // namespace
}  // namespace oddgrist

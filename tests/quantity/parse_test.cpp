#include "quantity/parse.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "quantity/gravity.hpp"
#include "quantity/text.hpp"

namespace oddgrist {
namespace {

using namespace std::string_literals;

template <class Kind>
void expect_value(std::string_view text, Quantity<Kind> wanted, NumberStyle style = NumberStyle::point) {
  const auto parsed = parse<Kind>(text, style);
  ASSERT_TRUE(parsed) << text << ": " << parsed.error().text();
  const double base = wanted.in(Unit<Kind>{});
  EXPECT_NEAR(parsed.value().in(Unit<Kind>{}), base, 1e-13 * std::max(1.0, std::abs(base))) << text;
}

template <class Kind>
void expect_error(std::string_view text, std::size_t offset, std::string_view words,
                  NumberStyle style = NumberStyle::point) {
  const auto parsed = parse<Kind>(text, style);
  ASSERT_FALSE(parsed) << text;
  EXPECT_EQ(parsed.error().offset, offset) << parsed.error().text();
  EXPECT_NE(parsed.error().text().find(words), std::string::npos) << parsed.error().text();
}

TEST(parse, what_brewers_write) {
  expect_value("2.5 US gal", 2.5 * us_gallon);
  expect_value("9.5 L", 9.5 * litre);
  expect_value("158 °F", 70.0 * celsius);
  expect_value("1.069", 1.069 * specific_gravity);
  expect_value("16.8 °P", gravity_from_plato(16.8));
  expect_value("8 oz", 226.796185 * gram);
  expect_value("0.5 lb", 226.796185 * gram);
  expect_value("35 EBC", 35.0 * ebc);
  expect_value("40 psi", 2.757902917267344 * bar);
  expect_value("2.4 vol", 2.4 * volumes_co2);
  expect_value("150 mg/L", 150.0 * milligram_per_litre);
}

TEST(parse, spelling_is_forgiving_where_nothing_is_doubtful) {
  expect_value("9.5L", 9.5 * litre);
  expect_value("  9.5   litres  ", 9.5 * litre);
  expect_value("9.5\u00A0L", 9.5 * litre);
  expect_value("12 KG", 12.0 * kilogram);
  expect_value("8 U.S. fl. oz.", 8.0 * us_fluid_ounce);
  expect_value("70 º C", 70.0 * celsius);
  expect_value("-18 °C", -18.0 * celsius);
  expect_value("\u221218 °C", -18.0 * celsius);
  expect_value("2 L / kg", 2.0 * litre_per_kilogram);
  expect_value("2.4 volumes of CO2", 2.4 * volumes_co2);
  expect_value("1e3 g", 1.0 * kilogram);
  expect_value("1e+3 g", 1.0 * kilogram);
  expect_value(".5 lb", 0.5 * pound);
  expect_value("+5 K", 5.0 * kelvin_rise);
  expect_value("-5 °F", -5.0 * fahrenheit_rise);
}

TEST(parse, fractions) {
  for (const char* text : {"1/2 oz", "½ oz", "½oz", "1⁄2 oz", "0.5 oz"}) expect_value(text, 0.5 * ounce);
  for (const char* text : {"1½ lb", "1 ½ lb", "1 1/2 lb", "3/2 lb"}) expect_value(text, 1.5 * pound);
  expect_error<MassKind>("1/0 oz", 0, "divides by zero");
  expect_error<MassKind>("1e999 g", 0, "too large");
  expect_error<MassKind>("1e-999 g", 0, "too small");
  expect_error<MassKind>("0.0001e-330 g", 0, "too small");
  expect_error<MassKind>("1/ oz", 2, "must follow the fraction stroke");
  expect_error<MassKind>("1/2/3 oz", 3, "one stroke");
  expect_error<MassKind>("1/2.5 oz", 3, "mixes a fraction with decimals");
}

TEST(parse, larger_and_smaller_unit_together) {
  expect_value("2 lb 10.3 oz", 2.0 * pound + 10.3 * ounce);
  expect_value("1 h 30 min", 90.0 * minute);
  expect_value("1h30min", 90.0 * minute);
  expect_error<MassKind>("3 oz 2 lb", 5, "from the larger unit to the smaller");
  expect_error<MassKind>("2 lb 2 lb", 5, "from the larger unit to the smaller");
  expect_error<MassKind>("2 lb 3", 6, "“3” has no unit");
  expect_error<TemperatureKind>("20 °C 3 K", 6, "more than one quantity");
  expect_error<MassKind>("1 lb.5 oz", 2, "no unit known here");
}

TEST(parse, a_bare_number_is_refused_with_what_to_write) {
  const auto parsed = parse<VolumeKind>("9.5");
  ASSERT_FALSE(parsed);
  EXPECT_EQ(parsed.error().text(), "“9.5” has no unit: write for example 9.5 L, 9.5 US gal or 9.5 imp gal");
  EXPECT_EQ(parsed.error().offset, 3U);
  expect_error<MassKind>("1/2", 3, "write for example 1/2 kg, 1/2 g or 1/2 lb");
  expect_error<MassKind>("1.069", 5, "has no unit");
  expect_error<TemperatureKind>("", 0, "nothing is written here");
}

TEST(parse, gravity_has_one_form_without_unit) {
  expect_value("1.069 SG", 1.069 * specific_gravity);
  expect_value("0.998", 0.998 * specific_gravity);
  expect_value("1.0484", 1.0484 * specific_gravity);
  expect_value("16.8 P", gravity_from_plato(16.8));
  expect_value("17 °Bx", gravity_from_plato(17.0));
  expect_value("-0.5 °P", gravity_from_plato(-0.5));
  for (const char* text : {"1.07", "1069", "12", "1.300", "0.900", "1"}) {
    expect_error<GravityKind>(text, std::string(text).size(), "write for example 1.048, 1.048 SG or 11.9 °P");
  }
  expect_error<GravityKind>("-1.069", 6, "has no unit");
  expect_error<GravityKind>("1.3 SG", 0, "from 0.980 to 1.200");
  expect_error<GravityKind>("70 °Bx", 0, "from 0.980 to 1.200");
}

TEST(parse, shared_names_are_refused_with_the_choices) {
  expect_error<VolumeKind>("2.5 gal", 4, "write 2.5 US gal or 2.5 imp gal");
  expect_error<VolumeKind>("2 Gallons", 2, "write 2 US gal or 2 imp gal");
  expect_error<VolumeKind>("3 qt", 2, "write 3 US qt or 3 imp qt");
  expect_error<VolumeKind>("8 fl oz", 2, "write 8 US fl oz or 8 imp fl oz");
  expect_error<VolumeKind>("1 pint", 2, "write 1 US pt or 1 imp pt");
}

TEST(parse, wrong_kind_and_unknown_unit) {
  expect_error<MassKind>("20 °C", 3, "a mass is wanted here, but °C is a temperature");
  expect_error<VolumeKind>("8 oz", 2, "a volume is wanted here, but oz is a mass");
  expect_error<MassKind>("2 gal", 2, "a mass is wanted here, but gal is a volume");
  expect_error<MassKind>("2 stone", 2, "units of mass: kg, g, mg, lb, oz");
  expect_error<LengthKind>("3 M", 2, "no unit known here");  // one letter means what it says
}

TEST(parse, what_the_kind_forbids) {
  expect_error<MassKind>("-1 kg", 0, "a mass cannot be negative");
  expect_error<VolumeKind>("-0.001 L", 0, "a volume cannot be negative");
  expect_error<DurationKind>("\u22125 min", 0, "a duration cannot be negative");
  expect_error<TemperatureKind>("-273.16 °C", 0, "below absolute zero");
  expect_error<TemperatureKind>("-459.68 °F", 0, "below absolute zero");
  expect_error<TemperatureKind>("-0.01 K", 0, "below absolute zero");
  expect_value("-459.67 °F", 0.0 * kelvin);
  expect_value("0 K", 0.0 * kelvin);
  const auto nothing = parse<MassKind>("-0 kg");
  ASSERT_TRUE(nothing);
  EXPECT_FALSE(std::signbit(nothing.value().in(kilogram)));
}

TEST(parse, what_is_no_number) {
  for (const char* text : {"nan kg", "inf kg", "-inf kg", "kg", "- kg", "x5 kg", "0x10 kg"})
    EXPECT_FALSE(parse<MassKind>(text)) << text;
  expect_error<MassKind>("nan kg", 0, "does not begin with a number");
  expect_error<MassKind>("1e400 kg", 0, "too large to mean anything");
  expect_error<MassKind>("1e10 kg", 0, "far beyond anything brewed");
  expect_error<MassKind>(std::string(150, '9') + " kg", 0, "far beyond anything brewed");
  expect_error<MassKind>(std::string(500, '9') + " kg", 0, "too long");
}

TEST(parse, decimal_comma_only_when_asked) {
  expect_value("9,5 L", 9.5 * litre, NumberStyle::comma);
  expect_value("1,069", 1.069 * specific_gravity, NumberStyle::comma);
  expect_error<VolumeKind>("9,5 L", 1, "has a comma in its number");
  expect_error<VolumeKind>("9.5 L", 1, "has a point in its number", NumberStyle::comma);
  expect_error<VolumeKind>("1,000 L", 1, "thousands take no separator");
  expect_error<VolumeKind>("1.000.000 L", 5, "two decimal marks");
  expect_error<VolumeKind>("1 000 L", 1, "space inside its number");
  expect_error<VolumeKind>("9. L", 1, "a digit must follow the decimal point");
  expect_value("9.5 L", 9.5 * litre);  // asking for a comma before has left nothing behind
}

TEST(parse, characters_that_do_not_belong) {
  expect_error<MassKind>("5\0 kg"s, 1, "“5\\x00 kg”");
  expect_error<MassKind>("5 kg\n"s, 4, "\\x0A");
  expect_error<MassKind>("\x1b[31m5 kg", 0, "\\x1B");
  expect_error<MassKind>("½\t kg", 1, "\\x09");
  expect_error<MassKind>("5 k\xFFg", 3, "\\xFF");
  expect_error<MassKind>("5 \u202Ekg", 2, "\\xE2\\x80\\xAE");
  expect_error<MassKind>("5 \xC0\xAF kg", 2, "\\xC0");  // overlong
}

TEST(parse_range, with_the_unit_once_or_twice) {
  for (const char* text : {"5.8 % to 6.2 %", "5.8 to 6.2 %", "5.8–6.2 %", "5.8-6.2 %", "5.8 % - 6.2 %"}) {
    const auto range = parse_range<FractionKind>(text);
    ASSERT_TRUE(range) << text << ": " << range.error().text();
    EXPECT_NEAR(range.value().low.in(percent), 5.8, 1e-12) << text;
    EXPECT_NEAR(range.value().high.in(percent), 6.2, 1e-12) << text;
  }
  const auto cold = parse_range<TemperatureKind>("-2 to -1 °C");
  ASSERT_TRUE(cold) << cold.error().text();
  EXPECT_DOUBLE_EQ(cold.value().low.in(celsius), -2.0);
  EXPECT_DOUBLE_EQ(cold.value().high.in(celsius), -1.0);
  const auto gravity = parse_range<GravityKind>("1.060 to 1.070");
  ASSERT_TRUE(gravity) << gravity.error().text();
  EXPECT_DOUBLE_EQ(gravity.value().low.in(specific_gravity), 1.060);
  const auto mixed = parse_range<MassKind>("8 oz to 1 lb 2 oz");
  ASSERT_TRUE(mixed) << mixed.error().text();
  EXPECT_DOUBLE_EQ(mixed.value().high.in(ounce), 18.0);
  const auto plato = parse_range<GravityKind>("14 to 16.5 °P");
  ASSERT_TRUE(plato) << plato.error().text();
  EXPECT_DOUBLE_EQ(plato.value().low.in(specific_gravity), gravity_from_plato(14.0).in(specific_gravity));
}

template <class Kind>
void expect_range_error(std::string_view text, std::size_t offset, std::string_view words) {
  const auto range = parse_range<Kind>(text);
  ASSERT_FALSE(range) << text;
  EXPECT_EQ(range.error().offset, offset) << range.error().text();
  EXPECT_NE(range.error().text().find(words), std::string::npos) << range.error().text();
}

TEST(parse_range, refusals) {
  expect_range_error<FractionKind>("6.2 to 5.8 %", 0, "runs backwards");
  expect_range_error<FractionKind>("6 %", 0, "is not a range");
  expect_range_error<FractionKind>("5 % to 6", 8, "has no unit");
  expect_range_error<FractionKind>("5 kg to 6 %", 2, "a share is wanted here, but kg is a mass");
  expect_range_error<FractionKind>("5 to 6 kg", 7, "a share is wanted here, but kg is a mass");
  expect_range_error<GravityKind>("1.060 to 17 °P", 0, "may be a specific gravity");
  expect_range_error<MassKind>("-2 to 5 kg", 0, "a mass cannot be negative");
  expect_range_error<MassKind>("to 5 kg", 0, "is not a range");
  expect_range_error<MassKind>("2 kg to ", 7, "nothing is written here");
}

// Whatever comes in, an answer comes out: a value within the kind's limits, or words without control characters.
RC_GTEST_PROP(parse, any_text_gets_an_answer, (const std::string& text)) {
  for (const KindRow& kind : kind_rows()) {
    const auto parsed = parse_measured(text, kind.id);
    if (parsed) {
      RC_ASSERT(std::isfinite(parsed.value().base));
      continue;
    }
    const std::string words = parsed.error().text();
    RC_ASSERT(!words.empty());
    for (std::size_t at = 0; at < words.size(); at += text::character_at(words, at).size) {
      RC_ASSERT(!text::is_unwelcome(text::character_at(words, at)));
    }
    RC_ASSERT(parsed.error().offset <= text.size());
  }
}

// The same with the letters that quantities are made of, which reach further into the parser.
RC_GTEST_PROP(parse, nearly_right_text_gets_an_answer, ()) {
  const auto parts = *rc::gen::container<std::vector<std::string>>(
      rc::gen::element<std::string>("1", "0", "9.5", ".", ",", "/", "½", " ", "-", "–", "to", "e", "1e9", "L", "US",
                                    "gal", "lb", "oz", "°", "C", "P", "%", "fl", "\u00A0"));
  std::string text;
  for (const std::string& part : parts) text += part;
  for (const KindRow& kind : kind_rows()) {
    if (const auto parsed = parse_measured(text, kind.id)) {
      RC_ASSERT(parsed.value().base >= kind.lowest_base - 1e-9);
      RC_ASSERT(parsed.value().base <= kind.highest_base * 1.000001);
    }
    if (const auto range = parse_measured_range(text, kind.id)) {
      RC_ASSERT(range.value().low.base <= range.value().high.base);
    }
  }
}

}  // namespace
}  // namespace oddgrist

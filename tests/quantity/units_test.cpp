#include "quantity/units.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "quantity/parse.hpp"

namespace oddgrist {
namespace {

std::vector<std::string> spellings_of(const UnitRow& row) {
  std::vector<std::string> out{std::string(row.symbol)};
  any_part(row.spellings, [&](std::string_view spelling) {
    out.emplace_back(spelling);
    return false;
  });
  return out;
}

std::string lowered(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

TEST(units, every_row_is_complete) {
  for (const UnitRow& row : unit_rows()) {
    SCOPED_TRACE(row.symbol);
    EXPECT_FALSE(row.symbol.empty());
    EXPECT_FALSE(row.source.empty());
    EXPECT_TRUE(row.json_suffix.starts_with('_'));
    EXPECT_GT(row.digits, 0);
    EXPECT_GE(row.decimals, 0);
    EXPECT_GT(row.scale.numerator, 0);
    EXPECT_GT(row.scale.denominator, 0);
    EXPECT_GT(row.offset.denominator, 0);
  }
}

TEST(units, ratios_are_exact_in_lowest_terms_and_below_two_to_the_53) {
  for (const UnitRow& row : unit_rows()) {
    for (const ExactRatio& ratio : {row.scale, row.offset}) {
      EXPECT_EQ(std::gcd(ratio.numerator, ratio.denominator), 1) << row.symbol;
      EXPECT_LT(std::abs(ratio.numerator), std::int64_t{1} << 53) << row.symbol;
      EXPECT_LT(ratio.denominator, std::int64_t{1} << 53) << row.symbol;
    }
  }
}

TEST(units, every_kind_has_a_row_for_its_base_unit) {
  for (const KindRow& kind : kind_rows()) {
    const auto is_base = [&](const UnitRow& row) {
      return row.kind == kind.id && row.curve == UnitCurve::straight && row.scale.value() == 1.0 &&
             row.offset.numerator == 0;
    };
    const auto rows = unit_rows();
    const bool fraction = kind.id == KindId::fraction;  // its base is the bare ratio, which is never written
    EXPECT_EQ(std::any_of(rows.begin(), rows.end(), is_base), !fraction) << kind.noun;
  }
}

TEST(units, no_spelling_means_two_units_of_a_kind) {
  std::map<std::pair<KindId, std::string>, std::string_view> seen;
  std::set<std::string> suffixes;
  for (const UnitRow& row : unit_rows()) {
    EXPECT_TRUE(suffixes.insert(std::string(row.json_suffix)).second) << row.json_suffix;
    for (const std::string& spelling : spellings_of(row)) {
      const std::string key = spelling.size() == 1 ? spelling : lowered(spelling);
      const auto [place, fresh] = seen.emplace(std::pair(row.kind, key), row.symbol);
      EXPECT_TRUE(fresh || place->second == row.symbol) << spelling << ": " << row.symbol << " and " << place->second;
    }
  }
  for (const AmbiguousSpelling& shared : ambiguous_spellings()) {
    any_part(shared.spellings, [&](std::string_view spelling) {
      EXPECT_FALSE(seen.contains(std::pair(shared.kind, std::string(spelling)))) << spelling;
      return false;
    });
    any_part(shared.choices, [&](std::string_view choice) {
      EXPECT_EQ(unit_row(shared.kind, choice).symbol, choice);
      return false;
    });
  }
}

TEST(units, every_spelling_is_read_as_its_unit) {
  for (const UnitRow& row : unit_rows()) {
    for (const std::string& spelling : spellings_of(row)) {
      const auto unit = parse_unit(spelling, row.kind);
      ASSERT_TRUE(unit) << spelling << ": " << unit.error().text();
      EXPECT_EQ(unit.value()->symbol, row.symbol) << spelling;
    }
  }
}

TEST(units, examples_of_every_kind_are_units_of_it) {
  for (const KindRow& kind : kind_rows()) {
    any_part(kind.examples, [&](std::string_view symbol) {
      EXPECT_EQ(unit_row(kind.id, symbol).kind, kind.id);
      return false;
    });
  }
}

// The compiler's units and the table's rows are written separately; here they must be the same.
template <class Kind>
void expect_row(Unit<Kind> unit, std::string_view symbol) {
  const UnitRow& row = unit_row(kind_id<Kind>, symbol);
  ASSERT_DOUBLE_EQ(row.scale.value(), unit.scale) << symbol;
  ASSERT_DOUBLE_EQ(row.offset.value(), unit.offset) << symbol;
  EXPECT_EQ(&unit_row(unit), &row) << symbol;
}

TEST(units, compiled_units_are_the_rows) {
  expect_row(kilogram, "kg"), expect_row(gram, "g"), expect_row(milligram, "mg"), expect_row(pound, "lb"),
      expect_row(ounce, "oz");
  expect_row(litre, "L"), expect_row(millilitre, "mL"), expect_row(us_gallon, "US gal"), expect_row(us_quart, "US qt");
  expect_row(us_pint, "US pt"), expect_row(us_fluid_ounce, "US fl oz"), expect_row(imperial_gallon, "imp gal");
  expect_row(imperial_quart, "imp qt"), expect_row(imperial_pint, "imp pt"),
      expect_row(imperial_fluid_ounce, "imp fl oz");
  expect_row(celsius, "°C"), expect_row(fahrenheit, "°F"), expect_row(kelvin, "K");
  expect_row(kelvin_rise, "K"), expect_row(fahrenheit_rise, "°F");
  expect_row(minute, "min"), expect_row(second, "s"), expect_row(hour, "h"), expect_row(day, "day");
  expect_row(bar, "bar"), expect_row(kilopascal, "kPa"), expect_row(psi, "psi");
  expect_row(specific_gravity, "SG"), expect_row(ebc, "EBC"), expect_row(srm, "SRM"), expect_row(ibu, "IBU");
  expect_row(volumes_co2, "vol"), expect_row(milligram_per_litre, "mg/L"), expect_row(gram_per_litre, "g/L");
  expect_row(percent, "%"), expect_row(kilojoule, "kJ"), expect_row(kilocalorie, "kcal"), expect_row(watt, "W");
  expect_row(kilowatt, "kW"), expect_row(litre_per_hour, "L/h"), expect_row(us_gallon_per_hour, "US gal/h");
  expect_row(litre_per_kilogram, "L/kg"), expect_row(us_quart_per_pound, "US qt/lb");
  expect_row(metre, "m"), expect_row(centimetre, "cm"), expect_row(inch, "in");
}

TEST(units, colour_by_two_methods) {
  // An absorbance of 1 at 430 nm is 25 EBC (EBC Analytica 9.6) and 12.7 SRM (ASBC Beer-10A).
  EXPECT_DOUBLE_EQ((25.0 * ebc).in(srm), 12.7);
}

RC_GTEST_PROP(units, there_and_back, ()) {
  const auto rows = unit_rows();
  const UnitRow& row = rows[*rc::gen::inRange<std::size_t>(0, rows.size())];
  const double value = row.kind != KindId::gravity     ? *rc::gen::inRange(-1000000, 1000000) / 1000.0
                       : row.curve == UnitCurve::plato ? *rc::gen::inRange(-5000, 43000) / 1000.0
                                                       : *rc::gen::inRange(980, 1200) / 1000.0;
  const double back = row.from_base(row.to_base(value));
  // Where an offset is added, the size that counts is that of the larger of the two; on the Plato curve, that of 1 in
  // gravity.
  const double size = row.curve == UnitCurve::plato
                          ? 258.6
                          : std::max(std::abs(value), std::abs(row.offset.value() / row.scale.value()));
  RC_ASSERT(std::abs(back - value) <= 1e-12 * size);
}

}  // namespace
}  // namespace oddgrist

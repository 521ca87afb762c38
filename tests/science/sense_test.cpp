// Colour on a screen, flavours, foam, infusions, nutrition.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "science/foam.hpp"
#include "science/infusion.hpp"
#include "science/nutrition.hpp"
#include "science/senses.hpp"
#include "science/swatch.hpp"

namespace {

using namespace oddgrist::science;

double between(double low, double high, const char* what) {
  return low + (high - low) * (*rc::gen::inRange(0, 1'000'001).as(what)) / 1e6;
}

TEST(Swatch, NoBeerIsWhite) { EXPECT_EQ(beer_swatch(0.0).hex(), "#ffffff"); }

RC_GTEST_PROP(Swatch, OnlyColourTimesPathMatters, ()) {
  const double ebc = between(1, 100, "ebc"), path = between(1, 8, "path");
  const Tristimulus glass = beer_tristimulus(ebc, path), slice = beer_tristimulus(ebc * path, 1.0);
  RC_ASSERT(std::abs(glass.y - slice.y) < 1e-12);
}

RC_GTEST_PROP(Swatch, DarkerBeerIsDarkerAndInsideTheScreen, ()) {
  const double ebc = between(1, 150, "ebc");  // paler than any beer, the four digits of the sRGB matrix decide
  RC_ASSERT(beer_tristimulus(ebc + 1.0, 5.0).y < beer_tristimulus(ebc, 5.0).y);
  const ScreenColour colour = beer_swatch(ebc);
  for (const double channel : {colour.red, colour.green, colour.blue}) RC_ASSERT(channel >= 0.0 && channel <= 1.0);
  RC_ASSERT(colour.red >= colour.green);
  RC_ASSERT(colour.green >= colour.blue);
}

TEST(Swatch, SpectrumOfAClearBeer) {
  EXPECT_NEAR(beer_absorbance_ratio_delange(430.0), 1.0, 1e-12);
  EXPECT_LT(beer_absorbance_ratio_delange(700.0), 0.039);  // ASBC Beer-10A: above it the sample is hazy
  EXPECT_TRUE(beer_swatch(40.0).clipped);
}

TEST(Senses, EveryThresholdIsARangeWithASource) {
  std::set<std::string_view> seen;
  for (const FlavourThreshold& threshold : flavour_thresholds) {
    EXPECT_GT(threshold.low_mg_per_l, 0.0) << threshold.compound;
    EXPECT_LE(threshold.low_mg_per_l, threshold.high_mg_per_l) << threshold.compound;
    EXPECT_FALSE(threshold.source.empty()) << threshold.compound;
    EXPECT_TRUE(seen.insert(threshold.compound).second) << threshold.compound;
  }
  EXPECT_FALSE(flavour_threshold("moonshine").has_value());
}

TEST(Senses, FlavourUnitsIntoWords) {
  EXPECT_EQ(notice(odour_activity(0.005, 0.15)), Notice::absent);
  EXPECT_EQ(notice(odour_activity(0.05, 0.15)), Notice::background);
  EXPECT_EQ(notice(odour_activity(0.15, 0.15)), Notice::noticeable);
  EXPECT_EQ(notice(odour_activity(0.6, 0.15)), Notice::dominant);
  EXPECT_EQ(odour_activity(1.0, 0.0), 0.0);
  EXPECT_EQ(notice(std::nan("")), Notice::absent);
}

TEST(Foam, AFattyFoodLeavesNoHead) {
  const double load = fat_load_mg_per_l(0.03, 10.0);  // 100 g of a food with 30 % fat in 10 L
  EXPECT_NEAR(load, 3000.0, 1e-9);
  EXPECT_EQ(head_verdict(fat_carry_over(load).high_mg_per_l), HeadVerdict::none);
  EXPECT_EQ(head_verdict(0.5), HeadVerdict::unharmed);
  EXPECT_EQ(head_verdict(3.0), HeadVerdict::weakened);
  EXPECT_EQ(head_verdict(10.0), HeadVerdict::poor);
  EXPECT_EQ(fat_load_mg_per_l(0.03, 0.0), 0.0);
}

Steep<double> any_steep() {
  Steep<double> steep;
  steep.liquor_l = between(0.2, 2, "liquor");
  steep.liquor_alcohol_volume_fraction = between(0, 0.6, "strength");
  steep.food_kg = between(0.01, 0.5, "food");
  steep.food_water_share = between(0, 0.3, "water");
  steep.food_sugar_share = between(0, 0.4, "sugar");
  steep.food_fat_share = between(0, 0.3, "fat");
  return steep;
}

RC_GTEST_PROP(Infusion, NothingComesOutThatDidNotGoIn, ()) {
  const Steep<double> steep = any_steep();
  const SteepedLiquor<double> liquor = strain(steep);
  const double by_mass = mass_fraction_from_alcohol_by_volume(steep.liquor_alcohol_volume_fraction);
  const double liquor_kg = steep.liquor_l * ethanol_water_density_oiml_kg_per_m3(by_mass, 20.0) / 1000.0;
  RC_ASSERT(liquor.ethanol_kg <= liquor_kg * by_mass + 1e-12);
  RC_ASSERT(liquor.sugar_kg <= steep.food_kg * steep.food_sugar_share + 1e-12);
  RC_ASSERT(liquor.fat_kg <= steep.food_kg * steep.food_fat_share + 1e-12);
  RC_ASSERT(liquor.mass_kg <= liquor_kg + steep.food_kg + 1e-12);
  RC_ASSERT(liquor.recovered_share >= 0.0 && liquor.recovered_share <= 1.0);
  RC_ASSERT(liquor.alcohol_volume_fraction <= steep.liquor_alcohol_volume_fraction + 1e-9);
  RC_ASSERT(std::isfinite(liquor.volume_l));
}

TEST(Infusion, NoFoodLeavesTheSpiritAsItWas) {
  Steep<double> steep;
  steep.food_kg = 0.0;
  const SteepedLiquor<double> liquor = strain(steep);
  EXPECT_NEAR(liquor.volume_l, 1.0, 1e-9);
  EXPECT_NEAR(liquor.alcohol_volume_fraction, 0.40, 1e-9);
  EXPECT_NEAR(liquor.recovered_share, 1.0, 1e-12);
}

TEST(Infusion, SolidsThatDrinkEverythingLeaveNothing) {
  Steep<double> steep;
  steep.liquor_l = 0.05;
  steep.food_kg = 0.5;
  steep.held_kg_per_kg = 3.0;
  EXPECT_EQ(strain(steep).volume_l, 0.0);
}

TEST(Infusion, ADoseOfNothingChangesNothing) {
  const auto none = dose_effect(10.0, 0.06, 1.012, strain(Steep<double>{}), 0.0);
  EXPECT_NEAR(none.alcohol_volume_fraction, 0.06, 1e-12);
  EXPECT_NEAR(none.gravity_rise, 0.0, 1e-12);
  EXPECT_EQ(none.later_volumes, 0.0);
  EXPECT_EQ(dose_effect(0.0, 0.06, 1.012, strain(Steep<double>{}), 1.0).volume_l, 0.0);
}

TEST(Trial, ScaledByMassOnAGeometricLadder) {
  EXPECT_NEAR(scaled_dose(2.0, 0.1, 10.0), 200.0, 1e-12);
  const auto ladder = dose_ladder(1.0, 16.0, 5);
  ASSERT_EQ(ladder.size(), 5u);
  for (std::size_t i = 1; i < ladder.size(); ++i) EXPECT_NEAR(ladder[i] / ladder[i - 1], 2.0, 1e-12);
  EXPECT_TRUE(dose_ladder(0.0, 5.0, 3).empty());
  EXPECT_TRUE(dose_ladder(5.0, 1.0, 3).empty());
  EXPECT_EQ(dose_ladder(3.0, 9.0, 1), std::vector<double>{3.0});
}

RC_GTEST_PROP(Trial, BlindOrderIsAPermutationAndRepeats, ()) {
  const int count = *rc::gen::inRange(0, 30);
  const auto number = *rc::gen::arbitrary<std::uint64_t>();
  std::vector<int> order = blind_order(count, number);
  RC_ASSERT(order == blind_order(count, number));
  std::sort(order.begin(), order.end());
  for (int i = 0; i < count; ++i) RC_ASSERT(order[static_cast<std::size_t>(i)] == i);
}

TEST(Trial, BlindOrderHasNoFavouritePlace) {
  // 6000 orders of three: each glass is first 2000 times give or take 4 standard deviations (sqrt(6000 * 2/9) = 36.5).
  int first[3] = {0, 0, 0};
  for (std::uint64_t number = 0; number < 6000; ++number) ++first[blind_order(3, number)[0]];
  for (const int count : first) EXPECT_NEAR(count, 2000, 146);
}

RC_GTEST_PROP(Nutrition, ExtractIsCountedOnce, ()) {
  BeerContents<double> contents;
  contents.alcohol_g = between(0, 10, "alcohol");
  contents.real_extract_g = between(1, 12, "extract");
  contents.protein_g = contents.real_extract_g * between(0, 0.3, "protein");
  contents.ash_g = contents.real_extract_g * between(0, 0.2, "ash");
  const auto facts = beer_facts_per_100_ml(contents, 1010.0);
  const double extract_g = facts.carbohydrate_g + facts.protein_g + contents.ash_g * 1.01;
  RC_ASSERT(std::abs(extract_g - contents.real_extract_g * 1.01) < 1e-12);
  RC_ASSERT(std::abs(facts.energy_kcal - (4 * (facts.carbohydrate_g + facts.protein_g) + 7 * facts.alcohol_g)) < 1e-12);
}

}  // namespace

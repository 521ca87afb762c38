// An infusion and its dose: masses by hand, strength by the printed table, fat where it went.
#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "process/apply.hpp"

namespace oddgrist::process {
namespace {

// Density at 20 C against strength by volume, kg/L: OIML R 22, International Alcoholometric Tables, 1975 (from memory); 0.005 kg/m3.
constexpr double oiml_10 = 0.98471, oiml_20 = 0.97356, oiml_40 = 0.94805, oiml_100 = 0.78924;

Mixture<double> beer_of_ten_per_cent(double kg) {
  const double ethanol = 0.10 * oiml_100 / oiml_10;  // mass fraction, 0.0801
  Mixture<double> beer;
  beer[Component::ethanol] = kg * ethanol;
  beer[Component::water] = kg * (1.0 - ethanol);
  return beer;
}

Steeping in_spirit() {
  Steeping steeping;
  steeping.liquor_alcohol_volume_fraction = 0.40;
  return steeping;
}

const Mixture<double>& removed_to(const Moment<double>& moment, const std::string& where) {
  for (const auto& removed : moment.removed) {
    if (removed.where == where) return removed.mixture;
  }
  throw std::runtime_error("nothing went to " + where);
}

// Beer of 10 % vol and spirit of 40 % vol make 20 % vol when the masses of ethanol say so: per kilogram of beer
// (0.162135 - 0.080149) / (0.332995 - 0.162135) kg of spirit. Food that only holds back its own mass of spirit steeps in 3 L/kg of it, so
// 3 x 0.94805 - 1 kg of spirit come back for each kilogram of food.
TEST(Dose, StrengthIsThatOfTheMassBalanceAndThePrintedTable) {
  const double in_beer = 0.10 * oiml_100 / oiml_10, in_spirit_kg = 0.40 * oiml_100 / oiml_40,
               wanted = 0.20 * oiml_100 / oiml_20;
  const double beer_kg = 10.0;
  const double spirit_kg = beer_kg * (wanted - in_beer) / (in_spirit_kg - wanted);
  Dose<double> dose;
  dose.steeping = in_spirit();
  dose.food[Component::solids] = spirit_kg / (3.0 * oiml_40 - 1.0);
  const auto moment = apply(dose, beer_of_ten_per_cent(beer_kg));
  EXPECT_NEAR(moment.after[Component::ethanol], beer_kg * in_beer + spirit_kg * in_spirit_kg,
              1e-4);  // five printed digits
  EXPECT_NEAR(alcohol_by_volume_percent(moment.after), 20.0, 0.003);
  // Contraction: the parts would fill beer_kg / 0.98471 + spirit_kg / 0.94805 litres.
  EXPECT_NEAR(liquid_volume_l(moment.after, 20.0), (beer_kg + spirit_kg) / oiml_20, 0.001);
  EXPECT_LT(liquid_volume_l(moment.after, 20.0), beer_kg / oiml_10 + spirit_kg / oiml_40 - 0.01);
}

TEST(Dose, InWaterThereIsNoAlcoholInIt) {
  Dose<double> dose;
  dose.food[Component::sucrose] = 0.2;
  const auto moment = apply(dose, beer_of_ten_per_cent(10.0));
  EXPECT_EQ(moment.added[Component::ethanol], 0.0);
  EXPECT_NEAR(moment.added[Component::water], 0.6 * 0.9982, 1e-5);
  EXPECT_LT(alcohol_by_volume_percent(moment.after), 10.0);
}

// A third of the fat comes afloat and four fifths of that are skimmed: 30 g stay below, 24 g are lifted off, 6 g reach the beer.
TEST(Dose, FatIsSkimmedStrainedOrDosed) {
  Dose<double> dose;
  dose.steeping = in_spirit();
  dose.food[Component::fat] = 0.100;
  dose.food[Component::sucrose] = 0.100;
  const auto moment = apply(dose, beer_of_ten_per_cent(10.0));
  EXPECT_NEAR(removed_to(moment, "skimmed fat")[Component::fat], 0.024, 1e-12);
  EXPECT_NEAR(removed_to(moment, "strained sludge")[Component::fat], 0.070, 1e-12);
  EXPECT_NEAR(moment.after[Component::fat], 0.006, 1e-12);
  EXPECT_EQ(total_mass_kg(removed_to(moment, "skimmed fat")), removed_to(moment, "skimmed fat")[Component::fat]);
}

// The step and the side vessel's own balance say the same.
RC_GTEST_PROP(DoseProperty, AgreesWithTheSideVessel, ()) {
  const auto share = [] { return *rc::gen::inRange(0, 1001) / 1000.0; };
  Dose<double> dose;
  dose.steeping.liquor_alcohol_volume_fraction = 0.96 * share();
  dose.steeping.liquor_l_per_kg_food = 0.5 + 5.0 * share();
  dose.food[Component::water] = 0.3 * share();
  dose.food[Component::sucrose] = 0.3 * share();
  dose.food[Component::fat] = 0.3 * share();
  dose.food[Component::solids] = 0.001 + 0.3 * share();
  const double food_kg = total_mass_kg(dose.food);
  science::Steep<double> steep;
  steep.liquor_l = food_kg * dose.steeping.liquor_l_per_kg_food;
  steep.liquor_alcohol_volume_fraction = dose.steeping.liquor_alcohol_volume_fraction;
  steep.food_kg = food_kg;
  steep.food_water_share = dose.food[Component::water] / food_kg;
  steep.food_sugar_share = dose.food[Component::sucrose] / food_kg;
  steep.food_fat_share = dose.food[Component::fat] / food_kg;
  const auto strained = science::strain(steep);
  const Mixture<double> liquor = apply(dose, Mixture<double>{}).after;
  RC_ASSERT(std::abs(liquor[Component::ethanol] - strained.ethanol_kg) < 1e-9);
  RC_ASSERT(std::abs(liquor[Component::water] - strained.water_kg) < 1e-9);
  RC_ASSERT(std::abs(liquor[Component::sucrose] - strained.sugar_kg) < 1e-9);
  RC_ASSERT(std::abs(liquor[Component::fat] - strained.fat_kg) < 1e-9);
  RC_ASSERT(std::abs(total_mass_kg(liquor) - strained.mass_kg) < 1e-9);
}

// More food of the same kind: more of everything it brings, and never more than there was.
RC_GTEST_PROP(DoseProperty, MoreFoodBringsMore, ()) {
  const double less = *rc::gen::inRange(1, 1000) / 1000.0;
  const auto dosed = [](double kg) {
    Dose<double> dose;
    dose.steeping = in_spirit();
    dose.food[Component::sucrose] = 0.6 * kg;
    dose.food[Component::fat] = 0.2 * kg;
    dose.food[Component::solids] = 0.2 * kg;
    return apply(dose, beer_of_ten_per_cent(10.0)).after;
  };
  const auto a = dosed(less), b = dosed(less + 0.1);
  RC_ASSERT(b[Component::ethanol] > a[Component::ethanol]);
  RC_ASSERT(b[Component::sucrose] > a[Component::sucrose]);
  RC_ASSERT(b[Component::fat] > a[Component::fat]);
  RC_ASSERT(b[Component::sucrose] <= 0.6 * (less + 0.1));
  RC_ASSERT(alcohol_by_volume_percent(b) > alcohol_by_volume_percent(a));
}

// Food that holds all of its liquor: nothing is dosed, and nothing is lost from sight.
TEST(Dose, FoodThatDrinksItsLiquorDosesNothing) {
  Dose<double> dose;
  dose.steeping.liquor_l_per_kg_food = 0.5;
  dose.food[Component::solids] = 0.9;
  dose.food[Component::fat] = 0.1;
  const auto moment = apply(dose, Mixture<double>{});
  EXPECT_NEAR(total_mass_kg(moment.after), 0.0, 1e-12);
  EXPECT_NEAR(total_mass_kg(removed_to(moment, "strained sludge")) + total_mass_kg(removed_to(moment, "skimmed fat")),
              1.0 + 0.5 * 0.9982, 1e-5);
}

// A solver begins with no food: the way a first gram would go must be there to follow.
TEST(Dose, WithoutFoodTheSlopeIsThere) {
  Dose<Active> dose;
  dose.steeping = in_spirit();
  dose.food[Component::sucrose] = Active(0.0, directions_per_pass, 0);
  const auto after = apply(dose, Mixture<Active>{}).after;
  EXPECT_EQ(after[Component::ethanol].value(), 0.0);
  EXPECT_GT(after[Component::ethanol].derivatives()[0], 0.5);
  EXPECT_LT(after[Component::ethanol].derivatives()[0], 3.0 * 0.40 * oiml_100);
  EXPECT_GT(after[Component::sucrose].derivatives()[0], 0.5);
}

}  // namespace
}  // namespace oddgrist::process

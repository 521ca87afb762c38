#include "larder/packet.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace oddgrist::larder {
namespace {

PacketLabel honey_hazelnut_paste() {
  PacketLabel label;
  label.name = "honey-hazelnut paste";
  label.energy_kj = 2230;
  label.fat_g = 34;
  label.carbohydrate_g = 47;
  label.sugars_g = 43;
  label.fibre_g = 4;
  label.protein_g = 8;
  label.salt_g = 0.05;
  label.ingredients = "honey, roasted hazelnuts (40 %), soya lecithin. May contain milk and peanuts.";
  return label;
}

double sum_of(const Composition& composition) {
  return std::accumulate(composition.mass_fraction.begin(), composition.mass_fraction.end(), 0.0);
}

std::optional<double> intended(const std::vector<Finding>& findings, std::string_view figure) {
  for (const Finding& finding : findings)
    if (finding.figure == figure && finding.intended) return finding.intended;
  return std::nullopt;
}

const Spread* spread_of(const Ingredient& ingredient, std::string_view figure) {
  for (const Spread& spread : ingredient.spreads)
    if (spread.figure == figure) return &spread;
  return nullptr;
}

// Regulation (EU) 1169/2011, Annex XIV, by hand: 17 x 47 + 37 x 34 + 17 x 8 + 8 x 4 = 799 + 1258 + 136 + 32 = 2225 kJ.
TEST(Packet, HoneyHazelnutPasteAddsUp) {
  const PacketReading reading = read_packet(honey_hazelnut_paste());
  EXPECT_TRUE(reading.sound());
  EXPECT_TRUE(check_label(honey_hazelnut_paste()).empty());
  EXPECT_NEAR(reading.kj.computed, 2225.0, 1e-9);
  EXPECT_NEAR(reading.kj.high - reading.kj.computed, 0.5 * (17 + 37 + 17 + 8), 1e-9);  // half a gram of each
}

TEST(Packet, HoneyHazelnutPasteComposition) {
  const Ingredient paste = read_packet(honey_hazelnut_paste()).ingredient;
  const Composition& made_of = paste.composition;
  EXPECT_NEAR(sum_of(made_of), 1.0, 1e-12);
  EXPECT_NEAR(made_of[Component::fat], 0.34, 1e-12);
  EXPECT_NEAR(made_of[Component::glucose] + made_of[Component::fructose] + made_of[Component::sucrose], 0.43, 1e-12);
  EXPECT_GT(made_of[Component::fructose], made_of[Component::glucose]);  // honey
  EXPECT_LT(made_of[Component::sucrose], 0.05);
  EXPECT_NEAR(made_of[Component::starch] + made_of[Component::dextrin], 0.04, 1e-12);
  EXPECT_NEAR(made_of[Component::sodium] + made_of[Component::chloride], 0.0005, 1e-12);
  EXPECT_LT(made_of[Component::protein], 0.04);  // nut protein stays in the trub
  EXPECT_EQ(paste.id, "honey-hazelnut-paste");
  const Spread* water = spread_of(paste, "water");
  ASSERT_NE(water, nullptr);
  EXPECT_EQ(water->low, 0.0);  // water and solids cannot be told apart in a fat paste
  EXPECT_GT(water->high, made_of[Component::water]);
  const Spread* fat = spread_of(paste, "fat");
  ASSERT_NE(fat, nullptr);
  EXPECT_NEAR(fat->low, 0.34 * 0.8, 1e-12);
  EXPECT_NEAR(fat->high, 0.34 * 1.2, 1e-12);
}

TEST(Packet, AllergensAndTracesApart) {
  const PacketReading reading = read_packet(honey_hazelnut_paste());
  EXPECT_EQ(reading.allergens.contains, (std::vector{Allergen::soya, Allergen::tree_nut}));
  EXPECT_EQ(reading.allergens.may_contain, (std::vector{Allergen::peanut, Allergen::milk}));
  EXPECT_EQ(reading.allergens.contains_us, (std::vector{UsAllergen::tree_nut, UsAllergen::soya}));
  EXPECT_EQ(reading.ingredient.allergens, reading.allergens.contains);
}

TEST(Packet, AllergenWordsAndTheirHarmlessLookAlikes) {
  struct Row {
    const char* list;
    std::vector<Allergen> expected;
  };
  using A = Allergen;
  for (const Row& row :
       {Row{"wheat flour, barley malt, oats", {A::gluten_cereal}}, Row{"coconut milk, cocoa butter", {}},
        Row{"almond milk", {A::tree_nut}}, Row{"skimmed milk powder, whey", {A::milk}},
        Row{"nutmeg, buckwheat, eggplant, butter beans", {}}, Row{"peanut butter", {A::peanut}},
        Row{"prawns; mussels; squid", {A::crustacean, A::mollusc}},
        Row{"celery salt, mustard seed, sesame", {A::celery, A::mustard, A::sesame}}, Row{"lupin flour", {A::lupin}},
        Row{"dried apricots, preservative: E220", {A::sulphite}}, Row{"gluten-free, nut-free, milk free", {}},
        Row{"maltodextrin, glucose", {}}, Row{"sweet chestnuts, water chestnut", {}},
        Row{"lactic acid, cream of tartar", {}}, Row{"eggs, isinglass", {A::egg, A::fish}},
        Row{"HAZELNUTS, Soya Lecithin", {A::soya, A::tree_nut}}, Row{"", {}}})
    EXPECT_EQ(allergens_in(row.list).contains, row.expected) << row.list;
  EXPECT_EQ(allergens_in("barley malt, rye").contains_us, std::vector<UsAllergen>{});  // not on the US list
  EXPECT_EQ(allergens_in("spelt").contains_us, std::vector{UsAllergen::wheat});
  const AllergenReading factory = allergens_in("Sugar. Made in a factory that handles nuts and sesame. Contains milk.");
  EXPECT_EQ(factory.contains, std::vector{A::milk});
  EXPECT_EQ(factory.may_contain, (std::vector{A::tree_nut, A::sesame}));
}

TEST(Packet, PreservativesByWordAndNumber) {
  const auto kinds = [](const char* list) { return preservatives_in(list, true).kinds; };
  EXPECT_EQ(kinds("water, preservatives (potassium sorbate, sodium benzoate)"),
            (std::vector{Preservative::sorbate, Preservative::benzoate}));
  EXPECT_EQ(kinds("E202, E 211, e-224"),
            (std::vector{Preservative::sorbate, Preservative::benzoate, Preservative::sulphite}));
  EXPECT_EQ(kinds("E235"), std::vector{Preservative::natamycin});
  EXPECT_EQ(kinds("E300, E330, E440, 220 g"), std::vector<Preservative>{});
  EXPECT_EQ(preservatives_in("dried apricots, sulphur dioxide", false).sulphite_mg_per_kg, 2000.0);
  EXPECT_EQ(preservatives_in("E202", false).sorbate_mg_per_kg, 1000.0);
  const PreservativeReading gone = preservatives_in("orange juice, E242", true);
  EXPECT_TRUE(gone.dimethyl_dicarbonate);
  EXPECT_TRUE(gone.kinds.empty());
}

// 21 CFR 101.9, invented label, serving of 32 g: 9 x 16 + 4 x (7 + 7) = 200 kcal by the general factors, printed as 190
// as fibre is not digested.
PacketLabel us_peanut_spread() {
  PacketLabel label;
  label.name = "peanut spread";
  label.panel = Panel::us_per_serving;
  label.serving_g = 32;
  label.energy_kcal = 190;
  label.fat_g = 16;
  label.carbohydrate_g = 7;
  label.fibre_g = 2;
  label.sugars_g = 3;
  label.protein_g = 7;
  label.sodium_mg = 140;
  label.ingredients = "roasted peanuts, sugar, salt";
  return label;
}

TEST(Packet, UsPanelTakesFibreOutOfTheCarbohydrate) {
  const PacketReading reading = read_packet(us_peanut_spread());
  EXPECT_TRUE(reading.sound());
  EXPECT_TRUE(check_label(us_peanut_spread()).empty());
  EXPECT_NEAR(reading.kcal.computed, 200.0, 1e-9);
  const Composition& made_of = reading.ingredient.composition;
  EXPECT_NEAR(sum_of(made_of), 1.0, 1e-12);
  EXPECT_NEAR(made_of[Component::starch], (7.0 - 2.0 - 3.0) / 32.0, 1e-12);
  EXPECT_NEAR(made_of[Component::sucrose], 3.0 / 32.0, 1e-12);
  EXPECT_NEAR(made_of[Component::sodium], 0.140 / 32.0, 1e-6);
  EXPECT_EQ(reading.allergens.contains_us, std::vector{UsAllergen::peanut});
}

TEST(Packet, UsPanelWithoutServingIsRefused) {
  PacketLabel label = us_peanut_spread();
  label.serving_g = 0.0;
  EXPECT_FALSE(read_packet(label).sound());
}

TEST(Packet, FruitDrinkPerHundredMillilitres) {
  PacketLabel label;
  label.name = "cloudy apple drink";
  label.panel = Panel::eu_per_100_ml;
  label.density_kg_per_l = 1.045;
  label.energy_kj = 190;
  label.energy_kcal = 45;
  label.fat_g = 0;
  label.carbohydrate_g = 11;
  label.sugars_g = 10.4;
  label.protein_g = 0;
  label.salt_g = 0;
  label.ingredients = "apple juice, preservative: potassium sorbate";
  const PacketReading reading = read_packet(label);
  EXPECT_TRUE(reading.sound());
  const Composition& made_of = reading.ingredient.composition;
  EXPECT_NEAR(made_of[Component::glucose] + made_of[Component::fructose] + made_of[Component::sucrose], 10.4 / 104.5,
              1e-12);
  EXPECT_GT(made_of[Component::fructose], made_of[Component::glucose]);
  EXPECT_GT(made_of[Component::water], 0.8);
  EXPECT_EQ(reading.ingredient.preservatives, std::vector{Preservative::sorbate});
  EXPECT_EQ(reading.ingredient.sorbate_mg_per_kg, 300.0);
}

// Liqueur, 20 % vol and 25 g sugar per 100 ml: 20 x 0.78924 x 29 + 25 x 17 = 883 kJ.
TEST(Packet, AlcoholCarriesEnergyAndIsCountedByMass) {
  PacketLabel label;
  label.name = "sweet liqueur";
  label.panel = Panel::eu_per_100_ml;
  label.density_kg_per_l = 1.06;
  label.energy_kj = 883;
  label.fat_g = 0;
  label.protein_g = 0;
  label.carbohydrate_g = label.sugars_g = 25;
  label.alcohol_percent = 20;
  EXPECT_TRUE(check_label(label).empty());
  EXPECT_NEAR(read_packet(label).ingredient.composition[Component::ethanol], 20 * 0.78924 / 106.0, 1e-9);
}

TEST(Packet, PolyolsCountTen) {
  PacketLabel label;  // sugar-free sweet: 97 g carbohydrate, all polyols: 970 kJ
  label.name = "sugar-free sweets";
  label.energy_kj = 973;
  label.fat_g = 0.1;
  label.protein_g = 0;
  label.carbohydrate_g = 97;
  label.sugars_g = 0;
  label.polyols_g = 97;
  EXPECT_TRUE(check_label(label).empty());
  EXPECT_NEAR(read_packet(label).ingredient.composition[Component::polyol], 0.97, 1e-12);
}

TEST(Packet, SugarsFollowTheListAndTheHints) {
  PacketLabel label;
  label.name = "milk caramel";
  label.carbohydrate_g = 60;
  label.sugars_g = 60;
  label.ingredients = "milk, sugar";
  const Composition list = read_packet(label).ingredient.composition;
  EXPECT_NEAR(list[Component::lactose], 0.40, 1e-12);  // the first of two sources counts double
  EXPECT_NEAR(list[Component::sucrose], 0.20, 1e-12);
  label.lactose_share = 0.1;
  const Composition hinted = read_packet(label).ingredient.composition;
  EXPECT_NEAR(hinted[Component::lactose], 0.06, 1e-12);
  EXPECT_NEAR(hinted[Component::sucrose], 0.54, 1e-12);
  label.lactose_share.reset();
  label.ingredients = "";
  label.name = "mystery sweet";
  EXPECT_NEAR(read_packet(label).ingredient.composition[Component::sucrose], 0.60, 1e-12);
}

struct Slip {
  const char* what;
  std::optional<double> PacketLabel::*figure;
  double typed;
  const char* name;
  double meant;
};

TEST(Packet, FindsTheMistypedFigure) {
  for (const Slip& slip : {Slip{"decimal point lost", &PacketLabel::fat_g, 340, "fat", 34},
                           Slip{"decimal point too far left", &PacketLabel::fat_g, 3.4, "fat", 34},
                           Slip{"digits swapped", &PacketLabel::fat_g, 43, "fat", 34},
                           Slip{"carbohydrate tenfold", &PacketLabel::carbohydrate_g, 470, "carbohydrate", 47},
                           Slip{"sugars tenfold", &PacketLabel::sugars_g, 430, "sugars", 43},
                           Slip{"energy a tenth", &PacketLabel::energy_kj, 223, "energy-kj", 2230},
                           Slip{"energy tenfold", &PacketLabel::energy_kj, 22300, "energy-kj", 2230},
                           Slip{"protein tenfold", &PacketLabel::protein_g, 80, "protein", 8}}) {
    PacketLabel label = honey_hazelnut_paste();
    label.*slip.figure = slip.typed;
    const PacketReading reading = read_packet(label);
    EXPECT_FALSE(reading.sound()) << slip.what;
    const std::optional<double> found = intended(reading.findings, slip.name);
    ASSERT_TRUE(found.has_value()) << slip.what;
    EXPECT_NEAR(*found, slip.meant, 1e-9) << slip.what;
    EXPECT_NEAR(sum_of(reading.ingredient.composition), 1.0, 1e-9) << slip.what;
  }
}

TEST(Packet, KilojoulesAndKilocaloriesChangedPlaces) {
  PacketLabel label = honey_hazelnut_paste();
  label.energy_kj = 534;
  label.energy_kcal = 2230;
  const std::vector<Finding> findings = check_label(label);
  EXPECT_EQ(intended(findings, "energy-kj"), 2230.0);
  EXPECT_EQ(intended(findings, "energy-kcal"), 534.0);
  label.energy_kcal.reset();  // only the kJ line, holding the kcal figure: the factors give 2225 kJ
  EXPECT_EQ(intended(check_label(label), "energy-kj"), 2225.0);
}

TEST(Packet, SugarsAndCarbohydrateChangedPlaces) {
  PacketLabel label = honey_hazelnut_paste();
  label.carbohydrate_g = 43;
  label.sugars_g = 47;
  const std::vector<Finding> findings = check_label(label);
  EXPECT_EQ(intended(findings, "carbohydrate"), 47.0);
  EXPECT_EQ(intended(findings, "sugars"), 43.0);
}

TEST(Packet, SmallDisagreementIsOnlyDoubtful) {
  PacketLabel label = honey_hazelnut_paste();
  label.energy_kj = 2320;  // 4 % above the sum: more than rounding, less than a slip of a digit must be
  const std::vector<Finding> findings = check_label(label);
  ASSERT_FALSE(findings.empty());
  EXPECT_TRUE(std::none_of(findings.begin(), findings.end(),
                           [](const Finding& one) { return one.severity == FindingSeverity::wrong; }));
  EXPECT_EQ(intended(findings, "energy-kj"), 2230.0);  // two digits changed places
}

TEST(Packet, HopelessLabelSaysSo) {
  PacketLabel label = honey_hazelnut_paste();
  label.fat_g = 88;
  label.protein_g = 71;
  label.carbohydrate_g = 96;
  const std::vector<Finding> findings = check_label(label);
  EXPECT_FALSE(read_packet(label).sound());
  EXPECT_EQ(findings.back().figure, "label");
  EXPECT_FALSE(intended(findings, "fat").has_value());
}

TEST(Packet, ImpossibleFiguresDoNotGetIn) {
  PacketLabel label = honey_hazelnut_paste();
  label.fat_g = -3;
  EXPECT_FALSE(read_packet(label).sound());
  label.fat_g = std::nan("");
  const PacketReading reading = read_packet(label);
  EXPECT_FALSE(reading.sound());
  EXPECT_NEAR(sum_of(reading.ingredient.composition), 1.0, 1e-9);
}

TEST(Packet, UndeclaredFibreLeavesRoomInTheEnergy) {
  PacketLabel label = honey_hazelnut_paste();
  label.fibre_g.reset();
  EXPECT_TRUE(check_label(label).empty());
}

TEST(Packet, EmptyLabelIsAQuestionAndNotACrash) {
  const PacketReading reading = read_packet(PacketLabel{});
  EXPECT_TRUE(reading.sound());
  EXPECT_FALSE(reading.findings.empty());
  EXPECT_NEAR(sum_of(reading.ingredient.composition), 1.0, 1e-12);
}

// Law: whatever is typed, the kilogram stays a kilogram and no part is negative.
RC_GTEST_PROP(PacketLaw, KilogramStaysAKilogram, ()) {
  const auto grams = [] {
    return *rc::gen::map(rc::gen::inRange(0, 1200), [](int tenths) { return std::optional<double>(tenths / 10.0); });
  };
  PacketLabel label;
  label.name = *rc::gen::element<std::string>("honey paste", "milk", "nuts", "jam", "x");
  label.panel = *rc::gen::element(Panel::eu_per_100_g, Panel::eu_per_100_ml, Panel::us_per_serving);
  label.serving_g = *rc::gen::inRange(0, 100);
  label.fat_g = grams();
  label.carbohydrate_g = grams();
  label.sugars_g = grams();
  label.fibre_g = grams();
  label.protein_g = grams();
  label.salt_g = grams();
  label.energy_kj = *rc::gen::inRange(0, 4000);
  const PacketReading reading = read_packet(label);
  RC_ASSERT(std::abs(sum_of(reading.ingredient.composition) - 1.0) < 1e-9);
  for (const double part : reading.ingredient.composition.mass_fraction) RC_ASSERT(part >= 0.0);
}

// Law: a label whose energy is worked out from its own rounded figures is never called wrong.
RC_GTEST_PROP(PacketLaw, LabelMadeFromItsFactorsPasses, ()) {
  const double fat = *rc::gen::inRange(0, 300) / 10.0, carbohydrate = *rc::gen::inRange(0, 400) / 10.0,
               protein = *rc::gen::inRange(0, 150) / 10.0;
  const double fibre = *rc::gen::inRange(0, 100) / 10.0;
  const auto printed = [](double grams) { return grams < 10.0 ? std::round(10.0 * grams) / 10.0 : std::round(grams); };
  PacketLabel label;
  label.fat_g = printed(fat);
  label.carbohydrate_g = printed(carbohydrate);
  label.protein_g = printed(protein);
  label.fibre_g = printed(fibre);
  label.energy_kj = std::round(17 * carbohydrate + 37 * fat + 17 * protein + 8 * fibre);
  label.energy_kcal = std::round(4 * carbohydrate + 9 * fat + 4 * protein + 2 * fibre);
  // Leave out labels so thin that a kilocalorie is a large share.
  RC_PRE(*label.energy_kcal > 20.0);
  RC_ASSERT(check_label(label).empty());
}

// Whole oats: 1566 kJ with the fibre beside the carbohydrate, as EU panels have it.
TEST(Packet, CarbohydrateTypedWithItsFibreIsSaidAndNothingElseBlamed) {
  PacketLabel label;
  label.energy_kj = 1566;
  label.fat_g = 7;
  label.carbohydrate_g = 58.7;
  label.sugars_g = 1;
  label.fibre_g = 10;
  label.protein_g = 13.5;
  ASSERT_TRUE(check_label(label).empty());
  label.carbohydrate_g = 68.7;
  const std::vector<Finding> findings = check_label(label);
  EXPECT_NEAR(intended(findings, "carbohydrate").value_or(0.0), 58.7, 1e-9);
  EXPECT_FALSE(intended(findings, "protein").has_value());
  EXPECT_FALSE(intended(findings, "fat").has_value());
}

// Snack bar of 40 g as a US panel prints it: total carbohydrate with its fibre.
TEST(Packet, NetCarbohydrateOnAUsPanelIsSaid) {
  PacketLabel label;
  label.panel = Panel::us_per_serving;
  label.serving_g = 40;
  label.energy_kcal = 170;
  label.fat_g = 6;
  label.carbohydrate_g = 22;
  label.fibre_g = 9;
  label.sugars_g = 8;
  label.protein_g = 8;
  ASSERT_TRUE(check_label(label).empty());
  label.carbohydrate_g = 13;
  EXPECT_NEAR(intended(check_label(label), "carbohydrate").value_or(0.0), 22.0, 1e-9);
}

TEST(Packet, DishesTellOfWhatTheyAreMadeWith) {
  using A = Allergen;
  const auto in = [](std::string_view list) { return allergens_in(list).contains; };
  EXPECT_EQ(in("surimi (12 %), rice"), (std::vector{A::crustacean, A::egg, A::fish}));
  EXPECT_EQ(in("tomato, pesto, salt"), (std::vector{A::milk, A::tree_nut}));
  EXPECT_EQ(in("white miso"), (std::vector{A::gluten_cereal, A::soya}));
  EXPECT_EQ(in("rice miso"), std::vector{A::soya});
  EXPECT_EQ(in("shoyu, sugar"), (std::vector{A::gluten_cereal, A::soya}));
  EXPECT_EQ(in("Worcestershire sauce"), (std::vector{A::gluten_cereal, A::fish}));
  EXPECT_EQ(in("houmous"), std::vector{A::sesame});
  EXPECT_EQ(in("satay seasoning"), std::vector{A::peanut});
  EXPECT_EQ(in("Zucker, Haselnüsse, Magermilchpulver, Emulgator Sojalecithine"),
            (std::vector{A::soya, A::milk, A::tree_nut}));
  EXPECT_EQ(in("Gerstenmalzextrakt; Senfsaat; Sellerie"), (std::vector{A::gluten_cereal, A::celery, A::mustard}));
  EXPECT_EQ(allergens_in("Zucker, Kakaobutter. Kann Spuren von Erdnüssen und Sesam enthalten.").may_contain.back(),
            A::sesame);
  for (const char* harmless : {"custard apple", "ginger beer", "Kakaobutter", "Kokosmilch", "nutmeg", "butter beans"})
    EXPECT_TRUE(in(harmless).empty()) << harmless;
}

// The catalogue knows the food by name: its dose stays, and its allergens where no list was typed.
TEST(Packet, KeepsWhatIsKnownOfAFoodByItsName) {
  PacketLabel label;
  label.fat_g = 11;
  label.carbohydrate_g = 81;
  label.sugars_g = 74;
  label.protein_g = 2;
  label.name = "Fudge";
  EXPECT_EQ(read_packet(label).ingredient.allergens, (std::vector{Allergen::soya, Allergen::milk}));
  label.ingredients = "sugar, coconut cream";
  EXPECT_TRUE(read_packet(label).ingredient.allergens.empty()) << "the packet's own list decides";
  label.name = "dried chilli";
  ASSERT_TRUE(read_packet(label).ingredient.dose.has_value());
  EXPECT_EQ(judge_dose(*read_packet(label).ingredient.dose, 50.0), DoseVerdict::unsafe);
  label.name = "grandmother's brittle";
  EXPECT_FALSE(read_packet(label).ingredient.dose.has_value());
}

}  // namespace
}  // namespace oddgrist::larder

#include "larder/catalogue.hpp"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <numeric>
#include <set>
#include <sstream>

#include <gtest/gtest.h>
#include <toml++/toml.h>

namespace oddgrist::larder {
namespace {

double sum_of(const Composition& composition) {
  return std::accumulate(composition.mass_fraction.begin(), composition.mass_fraction.end(), 0.0);
}

const Ingredient& known(std::string_view name) {
  const Ingredient* found = catalogue().find(name);
  if (found == nullptr) throw std::runtime_error("not in the catalogue: " + std::string(name));
  return *found;
}

std::string message_of(std::string_view text) {
  const EmbeddedFile file{"data/catalogue/broken.toml", text};
  try {
    Catalogue broken{std::span(&file, 1)};
  } catch (const CatalogueError& error) {
    return error.what();
  }
  return "";
}

TEST(Catalogue, EveryRowSumsToOneAndNothingIsNegative) {
  ASSERT_GE(catalogue().all().size(), 350u);
  for (const Ingredient& ingredient : catalogue().all()) {
    EXPECT_NEAR(sum_of(ingredient.composition), 1.0, 1e-9) << ingredient.id;
    for (const double part : ingredient.composition.mass_fraction) EXPECT_GE(part, 0.0) << ingredient.id;
  }
}

TEST(Catalogue, EveryRowHasASourceThatNamesAWorkOrOwnsUpToNone) {
  for (const Ingredient& ingredient : catalogue().all()) {
    const std::string& source = ingredient.source;
    const bool has_year = source.find("19") != std::string::npos || source.find("20") != std::string::npos;
    const bool owns_up =
        source.find("no source") != std::string::npos || source.find("from memory") != std::string::npos;
    EXPECT_TRUE(has_year || owns_up) << ingredient.id << ": " << source;
  }
}

TEST(Catalogue, IdsAreUniqueAndEveryNameFindsItsRow) {
  std::set<std::string> ids;
  for (const Ingredient& ingredient : catalogue().all()) {
    EXPECT_TRUE(ids.insert(ingredient.id).second) << ingredient.id;
    EXPECT_EQ(catalogue().find(ingredient.id), &ingredient);
    EXPECT_EQ(catalogue().find(ingredient.name), &ingredient);
    for (const std::string& alias : ingredient.also_called) EXPECT_EQ(catalogue().find(alias), &ingredient) << alias;
  }
}

TEST(Catalogue, SpreadsHoldTheirUsualFigure) {
  for (const Ingredient& ingredient : catalogue().all())
    for (const Spread& spread : ingredient.spreads) {
      EXPECT_LT(spread.low, spread.high) << ingredient.id << " " << spread.figure;
      EXPECT_FALSE(spread.source.empty());
      for (std::size_t i = 0; i < component_count; ++i)
        if (component_names[i] == spread.figure) {
          EXPECT_GE(ingredient.composition.mass_fraction[i], spread.low - 1e-12)
              << ingredient.id << " " << spread.figure;
          EXPECT_LE(ingredient.composition.mass_fraction[i], spread.high + 1e-12)
              << ingredient.id << " " << spread.figure;
        }
    }
}

// The figures a maltster states, read from the data files without the loader, come out of the composition again.
TEST(Catalogue, ExtractAsIsIsWhatTheMaltsterStates) {
  int rows = 0;
  for (const auto& [file, kind] :
       {std::pair{"malts.toml", "malt"}, std::pair{"malts_dark.toml", "malt"},
        std::pair{"malts_gluten_free.toml", "malt"}, std::pair{"adjuncts.toml", "adjunct"}}) {
    const toml::table table = toml::parse_file(std::string(ODDGRIST_SOURCE_DIR "/data/catalogue/") + file);
    for (const toml::node& node : *table[kind].as_array()) {
      const toml::table& row = *node.as_table();
      const double extract_dry = row["extract_dry_percent"][1].value<double>().value() / 100.0;
      const double moisture = row["moisture_percent"][1].value<double>().value() / 100.0;
      const Ingredient& malt = known(row["id"].value<std::string>().value());
      EXPECT_NEAR(extract_of(malt.composition), extract_dry * (1.0 - moisture), 1e-9) << malt.id;
      EXPECT_NEAR(malt.composition[Component::water], moisture, 1e-12) << malt.id;
      const bool pure_starch = malt.malt->protein_percent < 1.0;
      EXPECT_GT(malt.composition[Component::solids], pure_starch ? 0.0 : 0.03)
          << malt.id << ": a malt has a husk or at least a bran";
      ++rows;
    }
  }
  EXPECT_GE(rows, 120);
}

TEST(Catalogue, MaltWithoutStarchNeedsNoMash) {
  const Ingredient& crystal = known("crystal malt");
  EXPECT_FALSE(crystal.malt->needs_mash);
  EXPECT_EQ(crystal.composition[Component::starch], 0.0);
  EXPECT_GT(crystal.composition[Component::dextrin], crystal.composition[Component::maltose]);
  EXPECT_TRUE(known("pale ale malt").malt->needs_mash);
  EXPECT_GT(known("pale ale malt").composition[Component::starch], 0.5);
}

TEST(Catalogue, MaltsBringTheirBufferingIntoTheMixture) {
  for (const Ingredient& ingredient : catalogue().all()) {
    const Composition& made_of = ingredient.composition;
    if (!ingredient.malt) {
      EXPECT_EQ(made_of.buffering_eq_per_kg_ph, 0.0) << ingredient.id;
      continue;
    }
    EXPECT_GT(made_of.buffering_eq_per_kg_ph, 0.0) << ingredient.id;
    EXPECT_NEAR(1000.0 * made_of.buffering_eq_per_kg_ph, ingredient.malt->buffering_meq_per_kg_ph, 1e-9);
    EXPECT_NEAR(made_of.buffering_ph_eq_per_kg / made_of.buffering_eq_per_kg_ph, ingredient.malt->ph_in_distilled_water,
                1e-9);
    EXPECT_EQ(made_of.alkalinity_eq_per_kg, 0.0) << ingredient.id << ": a malt's acidity is in its own pH, once";
  }
}

// Ion shares: mg of ion per g of salt = 1000 n M_ion / M_salt, worked by hand from the IUPAC abridged weights, 2021.
// Printed to 0.1 mg.
TEST(Catalogue, SaltsGiveTheIonsOfTheirFormula) {
  struct Row {
    const char* salt;
    Component ion;
    double mg_per_g;
  };
  for (const Row& row : {Row{"gypsum", Component::calcium, 232.8},
                         {"gypsum", Component::sulphate, 557.9},
                         {"epsom salt", Component::magnesium, 98.6},
                         {"epsom salt", Component::sulphate, 389.7},
                         {"table salt", Component::sodium, 393.4},
                         {"table salt", Component::chloride, 606.6},
                         {"baking soda", Component::sodium, 273.7},
                         {"slaked lime", Component::calcium, 540.9},
                         {"chalk", Component::calcium, 400.4},
                         {"magnesium chloride", Component::magnesium, 119.6},
                         {"magnesium chloride", Component::chloride, 348.8}})
    EXPECT_NEAR(1000.0 * known(row.salt).composition[row.ion], row.mg_per_g, 0.05) << row.salt;
  // Calcium chloride as weighed: 98 % and 95 % of the pure salt (272.6 and 361.1 mg calcium per gram), the rest
  // moisture.
  EXPECT_NEAR(1000.0 * known("calcium chloride").composition[Component::calcium], 0.98 * 272.6, 0.05);
  EXPECT_NEAR(1000.0 * known("calcium chloride anhydrous").composition[Component::calcium], 0.95 * 361.1, 0.06);
  EXPECT_NEAR(known("baking soda").composition.alkalinity_eq_per_kg, 11.904, 0.0005);
  EXPECT_NEAR(known("slaked lime").composition.alkalinity_eq_per_kg, 26.993, 0.0005);
  EXPECT_NEAR(known("chalk").composition.alkalinity_eq_per_kg, 19.983, 0.0005);
}

// Equivalents per kilogram at pH 5.4 from the dissociation constants: 1000 w / M times the mean charge.
TEST(Catalogue, AcidsGiveTheEquivalentsOfTheirDissociationConstants) {
  struct Row {
    const char* acid;
    double strength, grams_per_mole;
    std::vector<double> pka;
  };
  for (const Row& row :
       {Row{"lactic acid 88", 0.88, 90.078, {3.86}}, Row{"lactic acid 80", 0.80, 90.078, {3.86}},
        Row{"phosphoric acid 10", 0.10, 97.994, {2.148, 7.198, 12.35}},
        Row{"phosphoric acid 85", 0.85, 97.994, {2.148, 7.198, 12.35}},
        Row{"citric acid", 0.995, 192.12, {3.13, 4.76, 6.40}},
        Row{"citric acid monohydrate", 0.914, 192.12, {3.13, 4.76, 6.40}},
        Row{"malic acid", 0.995, 134.09, {3.40, 5.11}}, Row{"tartaric acid", 0.995, 150.09, {3.04, 4.37}}}) {
    double weight = 1.0, total = 1.0, charge = 0.0, lost = 0.0;
    for (const double pka : row.pka) {
      weight *= std::pow(10.0, 5.4 - pka);
      lost += 1.0;
      total += weight;
      charge += lost * weight;
    }
    const double expected = 1000.0 * row.strength / row.grams_per_mole * charge / total;
    EXPECT_NEAR(-known(row.acid).composition.alkalinity_eq_per_kg, expected, 0.005 * expected) << row.acid;
  }
  // Acid in fruit is worked out from the same constants; lactic, citric, malic and tartaric per kilogram of pure acid.
  EXPECT_NEAR(
      known("raspberry").composition.alkalinity_eq_per_kg / known("raspberry").composition[Component::organic_acid],
      -9.84 / 0.995, 0.02);
  EXPECT_NEAR(known("quince jelly").composition.alkalinity_eq_per_kg /
                  known("quince jelly").composition[Component::organic_acid],
              -12.28 / 0.995, 0.02);
  EXPECT_NEAR(known("raisins").composition.alkalinity_eq_per_kg / known("raisins").composition[Component::organic_acid],
              -12.68 / 0.995, 0.02);
}

// Malt colour: SRM = 1.3546 L - 0.76 and EBC = 1.97 SRM (from memory of the trade's conversion): 145 EBC is 54.9
// degrees Lovibond.
TEST(Catalogue, ColourIsCarriedInDegreesLovibond) {
  EXPECT_NEAR(known("crystal malt").composition.colour_load_per_kg, (145.0 / 1.97 + 0.76) / 1.3546, 0.05);
  EXPECT_EQ(known("white sugar").composition.colour_load_per_kg, 0.0);
}

TEST(Catalogue, AllergensAreNamed) {
  EXPECT_EQ(known("isinglass").allergens, std::vector{Allergen::fish});
  EXPECT_EQ(known("lactose").allergens, std::vector{Allergen::milk});
  EXPECT_EQ(known("smoked wheat malt").allergens, std::vector{Allergen::gluten_cereal});
  EXPECT_EQ(known("peanut butter").allergens, std::vector{Allergen::peanut});
  EXPECT_TRUE(known("flaked maize").allergens.empty());
  // Grain that holds no gluten, by its name; everything else that is malted does.
  const std::vector<std::string> without = {"sorghum", "millet",   "buckwheat", "rice",    "maize", "quinoa",
                                            "teff",    "amaranth", "fonio",     "tapioca", "potato"};
  for (const Ingredient& ingredient : catalogue().all()) {
    if (ingredient.kind != IngredientKind::malt && ingredient.kind != IngredientKind::adjunct) continue;
    const bool free = std::any_of(without.begin(), without.end(), [&](const std::string& grain) {
      return ingredient.id.find(grain) != std::string::npos;
    });
    EXPECT_EQ(ingredient.allergens.empty(), free) << ingredient.id;
    if (ingredient.id.find("oat") != std::string::npos) {
      EXPECT_NE(ingredient.mind.find("avenin"), std::string::npos) << ingredient.id;
    }
  }
}

TEST(Catalogue, FindsWhateverTheSpellingOfGaps) {
  EXPECT_EQ(catalogue().find("  Smoked WHEAT-malt "), catalogue().find("smoked_wheat_malt"));
  EXPECT_NE(catalogue().find("Dextrose"), nullptr);
  EXPECT_EQ(catalogue().find("dragon scales"), nullptr);
  EXPECT_EQ(catalogue().find(""), nullptr);
}

TEST(Catalogue, NearestForDidYouMean) {
  EXPECT_EQ(catalogue().nearest("fugle", 1).at(0), "fuggle");
  EXPECT_EQ(catalogue().nearest("hazlenut paste", 1).at(0), "hazelnut-paste");
  EXPECT_EQ(catalogue().nearest("crystl malt", 1).at(0), "crystal-malt-medium");
  EXPECT_EQ(catalogue().nearest("saaz", 1).at(0), "saaz");
  EXPECT_TRUE(catalogue().nearest("x", 10000).empty());
}

constexpr std::string_view good_hop = R"([sources]
book = "A. Grower, On Hops, 1900"
[[hop]]
id = "one-hop"
name = "one hop"
alpha_percent = [3, 5, 8]
source = "book"
)";

TEST(Catalogue, BrokenRowNamesFileAndRow) {
  ASSERT_EQ(message_of(good_hop), "");
  const auto changed = [](std::string_view from, std::string_view to) {
    std::string text(good_hop);
    text.replace(text.find(from), from.size(), to);
    return message_of(text);
  };
  for (const std::string& message :
       {changed("[3, 5, 8]", "[8, 5, 3]"), changed("[3, 5, 8]", "[-3, 5, 8]"), changed("[3, 5, 8]", "\"five\""),
        changed("[3, 5, 8]", "[3, 5]"), changed("[3, 5, 8]", "[3, 5, nan]"), changed("[3, 5, 8]", "[3, 95, 98]"),
        changed("alpha_percent", "alfa_percent"), changed("source = \"book\"", "source = \"rumour\""),
        changed("source = \"book\"\n", ""), changed("name = \"one hop\"\n", "")}) {
    EXPECT_NE(message.find("data/catalogue/broken.toml"), std::string::npos) << message;
    EXPECT_NE(message.find("one-hop"), std::string::npos) << message;
  }
  EXPECT_NE(changed("[[hop]]", "[[hopp]]").find("no kind of ingredient"), std::string::npos);
  EXPECT_NE(changed("[3, 5, 8]", "[3, 5").find("line"), std::string::npos);
  const std::string twice =
      std::string(good_hop) + "[[hop]]\nid = \"two-hop\"\nname = \"One Hop\"\nalpha_percent = 4\nsource = \"book\"\n";
  EXPECT_NE(message_of(twice).find("already names one-hop"), std::string::npos);
}

TEST(Catalogue, RowThatPassesAHundredPerCentIsRefused) {
  const std::string message = message_of(R"([sources]
book = "A. Cook, On Jam, 1900"
[[food]]
id = "heavy-jam"
name = "heavy jam"
percent = { sucrose = 70, water = 40 }
rest = "solids"
source = "book"
)");
  EXPECT_NE(message.find("heavy-jam"), std::string::npos) << message;
  EXPECT_NE(message.find("110"), std::string::npos) << message;
}

}  // namespace
}  // namespace oddgrist::larder

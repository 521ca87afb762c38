// The foods of the catalogue: found by the names people say, allergens named, and parts that make sense for their kind.
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>
#include <toml++/toml.h>

#include "larder/catalogue.hpp"

namespace oddgrist::larder {
namespace {

const Ingredient& known(std::string_view name) {
  const Ingredient* found = catalogue().find(name);
  if (found == nullptr) throw std::runtime_error("not in the catalogue: " + std::string(name));
  return *found;
}

std::vector<const Ingredient*> rows_of(const std::string& file) {
  const toml::table table = toml::parse_file(ODDGRIST_SOURCE_DIR "/data/catalogue/" + file + ".toml");
  std::vector<const Ingredient*> rows;
  for (const toml::node& node : *table["food"].as_array())
    rows.push_back(&known((*node.as_table())["id"].value<std::string>().value()));
  return rows;
}

double sugars(const Ingredient& food) {
  const Composition& made_of = food.composition;
  return made_of[Component::glucose] + made_of[Component::fructose] + made_of[Component::sucrose] +
         made_of[Component::maltose] + made_of[Component::lactose];
}

TEST(Foods, AreFoundByTheNamesPeopleSay) {
  for (const auto& [said, id] : {std::pair{"spruce tips", "spruce-tips"},
                                 {"Fichtenspitzen", "spruce-tips"},
                                 {"Himbeeren", "raspberry"},
                                 {"Sauerkirschen", "sour-cherries"},
                                 {"Holunderblüten", "elderflowers-dried"},
                                 {"cold brew", "coffee-brewed"},
                                 {"gummy bears", "fruit-gums"},
                                 {"licorice root", "liquorice-root"},
                                 {"curacao peel", "bitter-orange-peel"},
                                 {"Rote Bete", "beetroot"},
                                 {"sweet potatoes", "sweet-potato"},
                                 {"cilantro", "coriander-leaf"},
                                 {"grains of paradise", "grains-of-paradise"},
                                 {"camomile", "chamomile"},
                                 {"Zwetschgen", "damson"},
                                 {"Pflaumenmus", "plum-butter"},
                                 {"Lebkuchengewürz", "gingerbread-spice"},
                                 {"yogurt", "yoghurt"},
                                 {"soy sauce", "soy-sauce"},
                                 {"makrut lime leaves", "kaffir-lime-leaves"},
                                 {"bourbon barrel chips", "oak-barrel-chips"},
                                 {"sweet woodruff", "woodruff-fresh"},
                                 {"Waldmeister", "woodruff-fresh"},
                                 {"Süßholz", "liquorice-root"},
                                 {"Süssholz", "liquorice-root"},
                                 {"pumpkin pie spice", "gingerbread-spice"}})
    EXPECT_EQ(known(said).id, id) << said;
}

TEST(Foods, NameTheirAllergens) {
  using A = Allergen;
  for (const auto& [name, allergens] : {std::pair{"pesto", std::vector{A::milk, A::tree_nut}},
                                        {"miso", {A::soya, A::gluten_cereal}},
                                        {"surimi", {A::fish, A::egg, A::crustacean}},
                                        {"oysters", {A::mollusc}},
                                        {"marzipan", {A::tree_nut}},
                                        {"halva", {A::sesame}},
                                        {"white chocolate", {A::milk, A::soya}},
                                        {"mustard", {A::mustard}},
                                        {"celery", {A::celery}},
                                        {"red wine", {A::sulphite}},
                                        {"peanuts", {A::peanut}},
                                        {"lupin", {A::lupin}},
                                        {"barley malt syrup", {A::gluten_cereal}},
                                        {"Worcestershire sauce", {A::fish, A::gluten_cereal, A::celery}},
                                        {"yoghurt", {A::milk}}})
    EXPECT_EQ(known(name).allergens, allergens) << name;
  // Whatever bread, biscuit or cereal it is: wheat, rye, barley or oats are in it, but for maize and rice.
  for (const Ingredient* row : rows_of("bakery")) {
    const bool without = row->id == "corn-tortillas" || row->id == "rice-cakes" || row->id == "popcorn";
    const bool told =
        std::find(row->allergens.begin(), row->allergens.end(), Allergen::gluten_cereal) != row->allergens.end();
    EXPECT_EQ(told, !without) << row->id;
  }
  for (const Ingredient* row : rows_of("dairy"))
    EXPECT_TRUE(row->allergens == std::vector{A::milk} || row->allergens == std::vector{A::egg}) << row->id;
}

TEST(Foods, PartsMakeSenseForTheirKind) {
  for (const Ingredient* row : rows_of("berries"))
    if (row->id.find("dried") == std::string::npos && row->id != "goji-berries" && row->id != "rosehips") {
      EXPECT_GT(row->composition[Component::water], 0.65) << row->id;
    }
  for (const Ingredient* row : rows_of("syrups")) EXPECT_GT(sugars(*row), 0.45) << row->id;
  for (const char* file : {"berries", "fruits", "preserves"})
    for (const Ingredient* row : rows_of(file)) {
      if (row->id == "coconut-fresh" || row->id == "ginger-candied") continue;
      EXPECT_GT(sugars(*row) + row->composition[Component::starch], 0.005) << row->id;
      EXPECT_TRUE(row->pectin.has_value()) << row->id;
    }
  for (const char* honey : {"heather honey", "chestnut honey", "forest honey", "acacia honey", "clover honey"}) {
    EXPECT_GT(sugars(known(honey)), 0.65) << honey;
    EXPECT_LT(known(honey).composition[Component::water], 0.21) << honey;
  }
  for (const char* nut : {"walnuts", "pecans", "pistachios", "macadamias", "brazil nuts", "peanuts"})
    EXPECT_GT(known(nut).composition[Component::fat], 0.38) << nut;
  for (const char* spirit : {"vodka", "gin", "rum", "whisky", "brandy"})
    EXPECT_NEAR(known(spirit).composition[Component::ethanol], 0.333, 0.03) << spirit;
  // What pectin there is lies within what the row counts as dextrin and solids; the traces in clear juices do not count.
  for (const Ingredient& ingredient : catalogue().all())
    if (ingredient.pectin && ingredient.pectin->high > 0.005) {
      EXPECT_LE(ingredient.pectin->high,
                ingredient.composition[Component::dextrin] + ingredient.composition[Component::solids] + 1e-9)
          << ingredient.id;
    }
}

}  // namespace
}  // namespace oddgrist::larder

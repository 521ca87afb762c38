// Outside check of catalogue rows: Indian Food Composition Tables 2017, exported by tests/ifct/export.mjs.
//
// Rows that cite a food of these tables by `code` must say what the tables say. Rows whose figures are from memory of
// other tables are held against the nearest food here; sorts differ from country to country, so only gross mistakes
// show: their largest distance is printed.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include <gtest/gtest.h>
#include <toml++/toml.h>

#include "larder/catalogue.hpp"

namespace oddgrist::larder {
namespace {

struct Food {
  std::string name;
  double fat = 0, carbohydrate = 0, protein = 0, water = 0, ash = 0, sugars_and_starch = 0;
};

std::map<std::string, Food> read_tables() {
  const char* path = std::getenv("ODDGRIST_IFCT_CSV");
  if (path == nullptr)
    throw std::runtime_error("ODDGRIST_IFCT_CSV is not set: run npm ci and node export.mjs in tests/ifct first");
  std::ifstream file(path);
  std::map<std::string, Food> foods;
  std::vector<std::string> head;
  for (std::string line; std::getline(file, line);) {
    std::vector<std::string> cells;
    std::istringstream stream(line);
    for (std::string cell; std::getline(stream, cell, ',');) cells.push_back(cell);
    if (cells.at(0) == "#factor") continue;
    if (cells.at(0) == "code") {
      head = cells;
      continue;
    }
    const auto figure = [&](const char* column) {
      return std::stod(cells.at(std::find(head.begin(), head.end(), column) - head.begin()));
    };
    foods[cells.at(0)] = {cells.at(1),     figure("fatce"), figure("choavldf"), figure("protcnt"),
                          figure("water"), figure("ash"),   figure("cho")};
  }
  return foods;
}

// id -> code, from the data files themselves.
std::map<std::string, std::string> cited_codes() {
  std::map<std::string, std::string> codes;
  for (const auto& entry : std::filesystem::directory_iterator(ODDGRIST_SOURCE_DIR "/data/catalogue")) {
    const toml::table table = toml::parse_file(entry.path().string());
    if (!table["food"].is_array()) continue;
    for (const toml::node& node : *table["food"].as_array()) {
      const toml::table& row = *node.as_table();
      if (row["source"].value<std::string>() == "ifct")
        codes[row["id"].value<std::string>().value()] = row["code"].value<std::string>().value();
    }
  }
  return codes;
}

double percent(const Ingredient& ingredient, Component component) { return 100.0 * ingredient.composition[component]; }

double carbohydrate(const Ingredient& ingredient) {
  double sum = 0.0;
  for (const Component part : {Component::starch, Component::glucose, Component::fructose, Component::sucrose,
                               Component::maltose, Component::lactose, Component::dextrin})
    sum += percent(ingredient, part);
  return sum;
}

TEST(OutsideIfctRows, CitedRowsSayWhatTheTablesSay) {
  const std::map<std::string, Food> tables = read_tables();
  int rows = 0;
  for (const auto& [id, code] : cited_codes()) {
    ASSERT_TRUE(tables.contains(code)) << id << ": " << code;
    const Food& food = tables.at(code);
    const Ingredient* row = catalogue().find(id);
    ASSERT_NE(row, nullptr) << id;
    EXPECT_NE(row->source.find("food " + code), std::string::npos) << id;
    // Rows are printed to three figures.
    EXPECT_NEAR(percent(*row, Component::water), food.water, 0.06) << id << " against " << food.name;
    EXPECT_NEAR(percent(*row, Component::fat), food.fat, std::max(0.06, 0.01 * food.fat)) << id;
    EXPECT_NEAR(percent(*row, Component::ash), food.ash, 0.06) << id;
    EXPECT_LE(percent(*row, Component::protein), food.protein + 0.01) << id << ": only what dissolves";
    EXPECT_NEAR(carbohydrate(*row), food.sugars_and_starch, 0.1 + 0.01 * food.sugars_and_starch) << id;
    ++rows;
  }
  std::printf("%d rows cite a food of the tables and agree with it\n", rows);
  EXPECT_GE(rows, 60);
}

TEST(OutsideIfctRows, RowsFromMemoryAreNearTheSameFood) {
  const std::map<std::string, Food> tables = read_tables();
  double worst_water = 0.0, worst_fat = 0.0, worst_carbohydrate = 0.0;
  for (const auto& [id, code] :
       {std::pair{"apple", "E001"}, {"banana", "E012"},         {"cooked-potato", "F006"}, {"pumpkin", "D066"},
        {"strawberry", "E063"},     {"plums", "E054"},          {"blackberry", "E013"},    {"raisins", "E058"},
        {"dates", "E019"},          {"ginger-root", "G014"},    {"chilli-dried", "G022"},  {"coriander-seed", "G024"},
        {"almond-paste", "H001"},   {"coconut-flakes", "H006"}, {"peach", "E050"},         {"pear", "E051"},
        {"blackcurrant", "E015"},   {"peanut-butter", "H012"},  {"orange-juice", "E047"},  {"butternut", "D066"}}) {
    const Food& food = tables.at(code);
    const Ingredient* row = catalogue().find(id);
    ASSERT_NE(row, nullptr) << id;
    const double water = std::abs(percent(*row, Component::water) - food.water);
    const double fat = std::abs(percent(*row, Component::fat) - food.fat);
    const double carbs = std::abs(carbohydrate(*row) + percent(*row, Component::polyol) - food.carbohydrate);
    std::printf("%-16s %-4s water %5.1f fat %5.1f carbohydrate %5.1f off\n", id, code, water, fat, carbs);
    EXPECT_LE(water, 8.0) << id << " against " << food.name;
    EXPECT_LE(fat, 0.8 + 0.25 * food.fat) << id;
    EXPECT_LE(carbs, 12.0) << id;
    EXPECT_LE(percent(*row, Component::protein), food.protein + 0.5) << id;
    worst_water = std::max(worst_water, water);
    worst_fat = std::max(worst_fat, fat);
    worst_carbohydrate = std::max(worst_carbohydrate, carbs);
  }
  std::printf("worst: water %.1f, fat %.1f, carbohydrate %.1f\n", worst_water, worst_fat, worst_carbohydrate);
}

}  // namespace
}  // namespace oddgrist::larder

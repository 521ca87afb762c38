#include "files/recipe_json.hpp"

#include <fmt/format.h>

namespace oddgrist::files {
namespace {

using Into = compose::Recipe::Into;

constexpr WordsFor<Into, 8> into_words = {{{"mash-liquor", Into::mash_liquor},
                                           {"grist", Into::grist},
                                           {"sparge-liquor", Into::sparge_liquor},
                                           {"top-up", Into::top_up},
                                           {"kettle", Into::kettle},
                                           {"flame-out", Into::flame_out},
                                           {"fermenter", Into::fermenter},
                                           {"infusion", Into::infusion}}};

constexpr std::size_t longest_name = 200;
constexpr std::size_t most_amounts = 200;
constexpr double heaviest_kg = 1e5;

}  // namespace

Json amount_json(const compose::Recipe::Amount& amount) {
  Json json{{"what", amount.what}, {"into", word_for(into_words, amount.into)}, {"kg", amount.kg}};
  if (amount.into == Into::kettle || amount.minutes_before_boil_end != 0.0)
    json["minutes_before_boil_end"] = amount.minutes_before_boil_end;
  return json;
}

Json recipe_json(const compose::Recipe& recipe) {
  Json amounts = Json::array();
  for (const auto& amount : recipe.amounts) amounts.push_back(amount_json(amount));
  return Json{{"amounts", std::move(amounts)},
              {"yeast", recipe.yeast},
              {"yeast_kg", recipe.yeast_kg},
              {"rest_temperature_c", recipe.rest_temperature_c}};
}

compose::Recipe::Amount read_amount(JsonReader& reader) {
  compose::Recipe::Amount amount;
  amount.what = reader.text("what", longest_name, JsonReader::Blank::refused);
  amount.into = reader.word("into", into_words);
  amount.kg = reader.number("kg", 0.0, heaviest_kg, "kilograms from 0 to 100,000");
  amount.minutes_before_boil_end =
      reader.number_if_any("minutes_before_boil_end", 0.0, 1440.0, "minutes from 0 to 1,440").value_or(0.0);
  reader.report_unknown_keys();
  return amount;
}

compose::Recipe read_recipe(JsonReader& reader) {
  compose::Recipe recipe;
  const auto& amounts = reader.list("amounts", most_amounts);
  for (std::size_t i = 0; i < amounts.size(); ++i) {
    JsonReader amount(amounts[i], fmt::format("{}[{}]", reader.field("amounts"), i), reader.place(), reader.problems());
    recipe.amounts.push_back(read_amount(amount));
  }
  recipe.yeast = reader.text("yeast", longest_name, JsonReader::Blank::allowed);
  recipe.yeast_kg = reader.number_if_any("yeast_kg", 0.0, heaviest_kg, "kilograms from 0 to 100,000").value_or(0.0);
  recipe.rest_temperature_c = reader.number("rest_temperature_c", 0.0, 100.0, "degrees Celsius from 0 to 100");
  reader.report_unknown_keys();
  return recipe;
}

}  // namespace oddgrist::files

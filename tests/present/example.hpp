// A day typed by hand: every figure below is an input of the tests, chosen to be easy to find again in a text, not a forecast.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "compose/brief.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::present::example {

using namespace oddgrist::compose;
using larder::IngredientKind;

inline larder::Ingredient ingredient(std::string id, IngredientKind kind,
                                     std::vector<larder::Allergen> allergens = {}) {
  larder::Ingredient made;
  made.id = id;
  made.name = id;
  made.kind = kind;
  made.allergens = std::move(allergens);
  return made;
}

inline Supply supply(larder::Ingredient made) {
  Supply supply;
  supply.ingredient = std::move(made);
  return supply;
}

inline Brief brief() {
  Brief brief;
  brief.name = "Harvest ale";
  brief.given = {supply(ingredient("smoked wheat malt", IngredientKind::malt, {larder::Allergen::gluten_cereal})),
                 supply(ingredient("nut paste", IngredientKind::food, {larder::Allergen::tree_nut}))};
  brief.have = {supply(ingredient("pale malt", IngredientKind::malt, {larder::Allergen::gluten_cereal})),
                supply(ingredient("fish finings", IngredientKind::fining, {larder::Allergen::fish}))};
  brief.wishes = {{Measure::volume, 9.8, 10.2, 1.0, {}},
                  {Measure::alcohol, 5.8, 6.2, 1.0, {}},
                  {Measure::bitterness, 25.0, 30.0, 1.0, {}},
                  {Measure::original_gravity, 1.056, 1.0605, 1.0, {}}};
  return brief;
}

inline Addition addition(std::string name, IngredientKind kind, double grams, Route route, double minutes = 0.0,
                         bool given = false) {
  return {name, name, kind, grams * gram, route, minutes, given};
}

// A wort of 10 g sugar in 100 g: 1.0400 by the ASBC wort table (Tables Related to Determinations on Wort, 10.0 degrees Plato).
inline process::Mixture<double> ten_plato() {
  process::Mixture<double> wort;
  wort[process::Component::water] = 9.0;
  wort[process::Component::sucrose] = 1.0;
  return wort;
}

inline process::Forecast<double> forecast() {
  process::Forecast<double> typed;
  typed.liquor_l = 15.1;
  typed.mash_liquor_l = 14.2;
  typed.strike_temperature_c = 71.2;
  typed.pre_boil_volume_l = 12.6;
  typed.pre_boil_volume_hot_l = 13.1;
  typed.pre_boil_gravity_sg = 1.047;
  typed.post_boil_volume_l = 10.7;
  typed.post_boil_volume_hot_l = 11.1;
  typed.post_boil_gravity_sg = 1.055;
  typed.fermenter_volume_l = 10.04;
  typed.original_gravity_sg = 1.0583;
  typed.final_gravity_sg = 1.013;
  typed.abv_percent = 5.97;
  typed.bitterness_ibu = 21.2;
  typed.colour_ebc = 24.0;
  typed.packaged_volume_l = 9.5;
  typed.priming_sucrose_g = 57.0;
  return typed;
}

inline Proposal proposal() {
  Proposal made;
  made.name = "Harvest ale, first design";
  made.additions = {addition("pale malt", IngredientKind::malt, 2150.0, Route::mash),
                    addition("smoked wheat malt", IngredientKind::malt, 350.0, Route::mash, 0.0, true),
                    addition("amber malt", IngredientKind::malt, 180.0, Route::mash),
                    addition("gypsum", IngredientKind::salt, 2.1, Route::mash),
                    addition("late leaf hops", IngredientKind::hop, 15.0, Route::boil, 10.0),
                    addition("home-dried hops", IngredientKind::hop, 45.0, Route::boil, 60.0, true),
                    addition("brown sugar", IngredientKind::sugar, 120.0, Route::boil, 15.0),
                    addition("aroma hops", IngredientKind::hop, 12.0, Route::flame_out),
                    addition("honey", IngredientKind::sugar, 90.0, Route::fermenter),
                    addition("nut paste", IngredientKind::food, 220.0, Route::infusion, 0.0, true)};
  made.yeast = ingredient("ale yeast", IngredientKind::yeast);
  made.charge.yeast[process::Component::yeast] = 0.0075;
  made.charge.rest_temperature_c = 66.5;
  made.charge.top_up[process::Component::water] = 0.9;
  made.forecast = forecast();
  made.plan.steps = {process::Rest<double>{66.5, 60.0, 0.95},
                     process::Boil<double>{60.0, 2.0, {}, {}},
                     process::Chill<double>{19.0},
                     process::Attenuate<double>{},
                     process::Dose<double>{},
                     process::Fill<double>{2.4, 19.0}};
  auto& dose = std::get<process::Dose<double>>(made.plan.steps[4]);
  dose.food[process::Component::sucrose] = 0.145;
  dose.food[process::Component::fat] = 0.075;
  made.forecast.trace.resize(made.plan.steps.size());
  for (auto& moment : made.forecast.trace) moment.after[process::Component::water] = 10.0;
  made.forecast.trace[4].after = ten_plato();  // the beer just after the dose
  made.bindings = {{"bitterness, low end", "one more gram of hops would bring 0.6 IBU"}};
  return made;
}

inline std::vector<Caution> cautions() {
  return {{Severity::danger, "Dangerous thing.", "Some Journal 1 (2000)"},
          {Severity::caution, "Careful thing.", "from memory"},
          {Severity::note, "Noted thing.", "common practice, no source"}};
}

inline Answer nearest() {
  Answer answer;
  answer.outcome = Outcome::nearest;
  answer.proposals = {proposal()};
  answer.clashes = {{{"bitterness 25 to 30", "all of the home-dried hops"}, "let bitterness go down to 21"}};
  answer.cautions = cautions();
  return answer;
}

// How often a text holds another.
inline std::size_t count(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size())) ++found;
  return found;
}

inline std::vector<std::string> rows(const std::string& text) {
  std::vector<std::string> split;
  std::size_t from = 0;
  for (std::size_t at = text.find('\n'); at != std::string::npos; at = text.find('\n', from)) {
    split.push_back(text.substr(from, at - from));
    from = at + 1;
  }
  if (from < text.size()) split.push_back(text.substr(from));
  return split;
}

// The text with its line breaks and indents undone, to search for a sentence that may have been wrapped.
inline std::string unwrapped(const std::string& text) {
  std::string flat;
  for (const char c : text) {
    if (c != ' ' && c != '\n')
      flat += c;
    else if (!flat.empty() && flat.back() != ' ')
      flat += ' ';
  }
  return flat;
}

}  // namespace oddgrist::present::example

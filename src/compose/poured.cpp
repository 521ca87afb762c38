#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "compose/doubt.hpp"
#include "compose/elastic.hpp"
#include "compose/poured.hpp"
#include "compose/yeast_choice.hpp"
#include "science/volumes.hpp"

namespace oddgrist::compose {

Route route_of(const Port& port) {
  switch (port.where) {
    case Port::Where::kettle: return Route::boil;
    case Port::Where::flame_out: return Route::flame_out;
    case Port::Where::fermenter: return Route::fermenter;
    case Port::Where::infusion: return Route::infusion;
    default: return Route::mash;
  }
}

namespace {

std::vector<Addition> additions_of(const Unknowns& unknowns, const Found& found, const Fermentation& fermentation) {
  std::vector<Addition> additions;
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v) {
    const Variable& variable = unknowns.variables[v];
    if (variable.supply < 0 || found.design.amount_kg[v] <= 1e-9) continue;
    const auto& ingredient = unknowns.supplies[variable.supply]->ingredient;
    const Port& port = unknowns.ports[variable.port];
    additions.push_back({ingredient.name, ingredient.id, ingredient.kind, found.design.amount_kg[v] * kilogram,
                         route_of(port), port.minutes_before_boil_end, unknowns.is_given[variable.supply]});
  }
  if (fermentation.yeast != nullptr) {
    const auto& ingredient = fermentation.yeast->ingredient;
    additions.push_back({ingredient.name, ingredient.id, ingredient.kind, fermentation.pitched_kg * kilogram,
                         Route::fermenter, 0.0, false});
  }
  std::stable_sort(additions.begin(), additions.end(), [](const Addition& a, const Addition& b) {
    if (a.route != b.route) return a.route < b.route;
    if (a.route == Route::boil) return a.minutes_before_boil_end > b.minutes_before_boil_end;
    return a.route == Route::mash && a.amount > b.amount;
  });
  return additions;
}

std::vector<Purchase> purchases_of(const Unknowns& unknowns, const Demands& demands, const Found& found) {
  std::vector<Purchase> purchases;
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    if (unknowns.supplies[s]->amount || !is_used(found.design, unknowns, s)) continue;
    Purchase purchase{unknowns.supplies[s]->ingredient.name, 0.0 * kilogram, 0, 0.0 * kilogram};
    for (int v : unknowns.variables_of_supply[s])
      purchase.needed = purchase.needed + found.design.amount_kg[v] * kilogram;
    for (const Packets& packets : demands.packets) {
      if (packets.supply != s) continue;
      purchase.packets = packets_opened(packets, found.design, unknowns);
      purchase.packet = packets.packet_kg * kilogram;
    }
    purchases.push_back(purchase);
  }
  return purchases;
}

std::vector<Pouring> waters_of(const Brief& brief, const Unknowns& unknowns, const Found& found) {
  std::vector<Pouring> pourings(std::max<std::size_t>(1, brief.waters.size()));
  for (std::size_t w = 0; w < pourings.size(); ++w)
    pourings[w].water = brief.waters.empty() ? "water" : brief.waters[w].name;
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v) {
    const Variable& variable = unknowns.variables[v];
    if (variable.supply >= 0) continue;
    Pouring& pouring = pourings[std::max(0, variable.water)];
    const Volume poured = found.design.amount_kg[v] / science::cold_water_kg_per_l * litre;
    Volume& part =
        unknowns.ports[variable.port].where == Port::Where::mash_liquor ? pouring.mash : pouring.sparge_or_top_up;
    part = part + poured;
  }
  std::erase_if(pourings, [](const Pouring& pouring) {
    return pouring.mash.in(litre) + pouring.sparge_or_top_up.in(litre) <= 0.0;
  });
  return pourings;
}

// What holds the recipe where it is: demands whose price in the final core is not nothing, dearest first.
std::vector<Binding> bindings_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                 const Found& found) {
  struct Priced {
    double points;
    Binding binding;
  };
  std::vector<Priced> priced;
  for (std::size_t e = 0; e < demands.elastics.size(); ++e) {
    const Elastic& elastic = demands.elastics[e];
    if (elastic.member < 0 || e >= found.elastic_price.size()) continue;
    const double price = found.elastic_price[e];
    const Member& member = demands.members[elastic.member];
    const double points = std::abs(price) * member.scale;
    if (points < 1e-4) continue;
    const bool at_low = price > 0.0;
    std::string effect;
    if (member.kind == Member::Kind::wish) {
      const Wish& wish = brief.wishes[member.index];
      effect = fmt::format("held at its {} end, {}", at_low ? "low" : "high",
                           measure_words(wish.measure, value_of(elastic, found.design, unknowns, found.gauges)));
    } else if (member.kind == Member::Kind::must && !at_low) {
      effect = fmt::format("all the {} that may be used is used; more would suit the other wishes better",
                           unknowns.supplies[member.index]->ingredient.name);
    } else {
      effect = at_low ? "less of it would suit the other wishes better"
                      : "more room here would suit the other wishes better";
    }
    priced.push_back({points, {member.words, effect}});
  }
  const double rest = found.design.rest_temperature_c;
  const auto rest_words = [&](double limit, const char* end) {
    if (std::abs(rest - limit) < 1e-9) {
      priced.push_back({0.0,
                        {fmt::format("mash rest at its {} limit, {:.1f} °C", end, limit),
                         "a wider rest range would give more freedom in body"}});
    }
  };
  if (found.gauges[static_cast<int>(Gauge::mash_hot_l)] > 0.0 && demands.rest_low_c < demands.rest_high_c) {
    rest_words(demands.rest_low_c, "low");
    rest_words(demands.rest_high_c, "high");
  }
  std::stable_sort(priced.begin(), priced.end(), [](const Priced& a, const Priced& b) { return a.points > b.points; });
  std::vector<Binding> bindings;
  bindings.reserve(priced.size());
  for (Priced& each : priced) bindings.push_back(std::move(each.binding));
  return bindings;
}

// What a variable is called in a recipe: an id, counted up where a brief has one ingredient twice.
std::string name_in_recipe(const Brief& brief, const Unknowns& unknowns, const Variable& variable) {
  if (variable.supply < 0) return variable.water < 0 ? "water" : "water:" + brief.waters[variable.water].name;
  const std::string& id = unknowns.supplies[variable.supply]->ingredient.id;
  const auto namesakes = std::count_if(unknowns.supplies.begin(), unknowns.supplies.begin() + variable.supply,
                                       [&](const Supply* earlier) { return earlier->ingredient.id == id; });
  return namesakes == 0 ? id : fmt::format("{}#{}", id, namesakes + 1);
}

Recipe::Into into_of(Port::Where where) {
  switch (where) {
    case Port::Where::mash_liquor: return Recipe::Into::mash_liquor;
    case Port::Where::grist: return Recipe::Into::grist;
    case Port::Where::sparge_liquor: return Recipe::Into::sparge_liquor;
    case Port::Where::top_up: return Recipe::Into::top_up;
    case Port::Where::kettle: return Recipe::Into::kettle;
    case Port::Where::flame_out: return Recipe::Into::flame_out;
    case Port::Where::fermenter: return Recipe::Into::fermenter;
    case Port::Where::infusion: return Recipe::Into::infusion;
  }
  return Recipe::Into::grist;
}

Estimate exactly(double value) { return {value, value, value}; }

}  // namespace

Proposal proposal_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Found& found,
                     const Fermentation& fermentation, int points) {
  Proposal proposal;
  proposal.name = brief.name;
  proposal.charge = charge_of<double>(unknowns, found.design, fermentation);
  proposal.plan = process::make_plan(brief.kit, proposal.charge, fermentation.how, brief.carbonation_volumes);
  proposal.forecast = process::forecast(proposal.plan, process::Trace::on);
  if (fermentation.yeast != nullptr) proposal.yeast = fermentation.yeast->ingredient;
  proposal.additions = additions_of(unknowns, found, fermentation);
  const auto& forecast = proposal.forecast;
  proposal.original_gravity_sg = exactly(forecast.original_gravity_sg);
  proposal.final_gravity_sg = exactly(forecast.final_gravity_sg);
  proposal.mash_ph = exactly(forecast.mash_ph);
  proposal.purchases = purchases_of(unknowns, demands, found);
  proposal.waters = waters_of(brief, unknowns, found);
  proposal.abv_percent = exactly(forecast.abv_percent);
  proposal.bitterness_ibu = exactly(forecast.bitterness_ibu);
  proposal.colour_ebc = exactly(forecast.colour_ebc);
  proposal.fermenter_volume_l = exactly(forecast.fermenter_volume_l);
  proposal.loss = found.loss;
  proposal.bound = found.bound;
  proposal.bound_gap = found.gap();
  proposal.linearisations = found.linearisations;
  proposal.recipe = recipe_of(brief, unknowns, found.design, fermentation);
  proposal.bindings = bindings_of(brief, unknowns, demands, found);
  estimate(brief, proposal, points);
  return proposal;
}

Recipe recipe_of(const Brief& brief, const Unknowns& unknowns, const Design& design, const Fermentation& fermentation) {
  Recipe recipe;
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v) {
    if (design.amount_kg[v] <= 1e-9) continue;
    const Port& port = unknowns.ports[unknowns.variables[v].port];
    recipe.amounts.push_back({name_in_recipe(brief, unknowns, unknowns.variables[v]), into_of(port.where),
                              port.minutes_before_boil_end, design.amount_kg[v]});
  }
  if (fermentation.yeast != nullptr) recipe.yeast = fermentation.yeast->ingredient.id;
  recipe.yeast_kg = fermentation.pitched_kg;
  recipe.rest_temperature_c = design.rest_temperature_c;
  return recipe;
}

Design design_of(const Brief& brief, const Unknowns& unknowns, const Recipe& recipe,
                 std::vector<std::string>* unknown) {
  Design design;
  design.amount_kg.assign(unknowns.variables.size(), 0.0);
  design.rest_temperature_c = recipe.rest_temperature_c;
  for (const Recipe::Amount& amount : recipe.amounts) {
    const auto fits = [&](const Variable& variable) {
      const Port& port = unknowns.ports[variable.port];
      return into_of(port.where) == amount.into && port.minutes_before_boil_end == amount.minutes_before_boil_end &&
             name_in_recipe(brief, unknowns, variable) == amount.what;
    };
    const auto place = std::find_if(unknowns.variables.begin(), unknowns.variables.end(), fits);
    if (place == unknowns.variables.end()) {
      if (unknown != nullptr) unknown->push_back(amount.what);
      continue;
    }
    design.amount_kg[place - unknowns.variables.begin()] += amount.kg;
  }
  return design;
}

Fermentation fermentation_of(const Brief& brief, const Recipe& recipe) {
  const Supply* yeast = nullptr;
  for (const Supply* each : yeasts_of(brief)) {
    if (each->ingredient.id == recipe.yeast) yeast = each;
  }
  Fermentation fermentation = ferment_with(brief, yeast);
  fermentation.pitched_kg = recipe.yeast_kg;
  return fermentation;
}

Proposal proposal_of(const Brief& brief, const Recipe& recipe, std::vector<std::string>* unknown) {
  const Unknowns unknowns = unknowns_of(brief);
  const Demands demands = demands_of(brief, unknowns);
  const Fermentation fermentation = fermentation_of(brief, recipe);
  if (fermentation.yeast == nullptr && !recipe.yeast.empty() && unknown != nullptr) unknown->push_back(recipe.yeast);
  Found found;
  found.design = design_of(brief, unknowns, recipe, unknown);
  found.gauges = gauges_of(forecast_of(brief, unknowns, found.design, fermentation));
  found.loss = found.bound = loss_of(demands, found.design, unknowns, found.gauges);
  return proposal_of(brief, unknowns, demands, found, fermentation);
}

}  // namespace oddgrist::compose

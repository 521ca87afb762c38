#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "compose/cautions.hpp"
#include "compose/clash.hpp"
#include "compose/design.hpp"
#include "compose/doubt.hpp"
#include "compose/elastic.hpp"
#include "compose/proposal.hpp"
#include "compose/search.hpp"
#include "quantity/gravity.hpp"
#include "science/pitching.hpp"

namespace oddgrist::compose {
namespace {

using larder::IngredientKind;

std::vector<const Supply*> yeasts_of(const Brief& brief) {
  std::vector<const Supply*> yeasts;
  for (const Supply& supply : brief.given) {
    if (supply.ingredient.yeast) yeasts.push_back(&supply);
  }
  if (!yeasts.empty()) return yeasts;  // a yeast that was given is the yeast
  for (const Supply& supply : brief.have) {
    if (supply.ingredient.yeast) yeasts.push_back(&supply);
  }
  return yeasts;
}

double needed_yeast_kg(const larder::YeastTraits& yeast, double volume_l, double gravity_sg) {
  const auto& rate = yeast.lager ? science::pitch_rate_lager : science::pitch_rate_ale;
  return science::pitch_cells(rate.usual, volume_l, science::plato_from_specific_gravity_asbc(gravity_sg)) /
         yeast.cells_per_kg;
}

// As much as the wort wants, to half a gram, and no more than there is.
double pitched_kg(const Supply& supply, double volume_l, double gravity_sg) {
  const double wanted = std::ceil(needed_yeast_kg(*supply.ingredient.yeast, volume_l, gravity_sg) * 2000.0) / 2000.0;
  return supply.amount ? std::min(wanted, supply.amount->in(kilogram)) : wanted;
}

Fermentation ferment_with(const Brief& brief, const Supply* supply) {
  Fermentation fermentation;
  if (supply == nullptr) return fermentation;
  double volume_l = 10.0, gravity_sg = 1.050;
  for (const Wish& wish : brief.wishes) {
    const double middle = 0.5 * (wish.low + wish.high);
    if (wish.measure == Measure::volume) volume_l = middle;
    if (wish.measure == Measure::original_gravity) gravity_sg = middle;
    if (wish.measure == Measure::alcohol) gravity_sg = 1.0 + 0.0077 * middle;
  }
  fermentation.yeast = supply;
  fermentation.how = {*supply->ingredient.yeast, brief.ferment_at.in(celsius)};
  fermentation.pitched_kg = pitched_kg(*supply, volume_l, gravity_sg);
  return fermentation;
}

Route route_of(const Port& port) {
  switch (port.where) {
    case Port::Where::kettle: return Route::boil;
    case Port::Where::flame_out: return Route::flame_out;
    case Port::Where::fermenter: return Route::fermenter;
    case Port::Where::infusion: return Route::infusion;
    default: return Route::mash;
  }
}

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
  constexpr double kg_per_l = 0.9982;  // at 20 C
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v) {
    const Variable& variable = unknowns.variables[v];
    if (variable.supply >= 0) continue;
    Pouring& pouring = pourings[std::max(0, variable.water)];
    const Volume poured = found.design.amount_kg[v] / kg_per_l * litre;
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
    const double price = found.elastic_price[e];
    if (elastic.member < 0) continue;
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
    // Enough for a range to two digits: 128 points are within 4 % of the width that 8192 give, within 8 % for the final gravity.
    rest_words(demands.rest_high_c, "high");
  }
  std::stable_sort(priced.begin(), priced.end(), [](const Priced& a, const Priced& b) { return a.points > b.points; });
  std::vector<Binding> bindings;
  for (Priced& each : priced) bindings.push_back(std::move(each.binding));
  return bindings;
}

// Enough for a range to two digits: 128 points are within 3 % of the width that 8192 give.
constexpr int estimate_points = 128;

Estimate exactly(double value) { return {value, value, value}; }

Proposal proposal_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Found& found,
                     const Fermentation& fermentation) {
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
  proposal.bindings = bindings_of(brief, unknowns, demands, found);
  estimate(brief, proposal, estimate_points);
  return proposal;
}

// Only now is the gravity known that the yeast is weighed for; its own mass hardly moves anything, but the figures stay true.
void pitch_for_the_wort(const Brief& brief, const Unknowns& unknowns, const Demands& demands, Found& found,
                        Fermentation& fermentation) {
  if (fermentation.yeast == nullptr) return;
  fermentation.pitched_kg = pitched_kg(*fermentation.yeast, found.gauges[static_cast<int>(Gauge::volume_l)],
                                       found.gauges[static_cast<int>(Gauge::original_gravity)]);
  found.gauges = gauges_of(forecast_of(brief, unknowns, found.design, fermentation));
  found.loss = loss_of(demands, found.design, unknowns, found.gauges);
  found.bound = std::min(found.bound, found.loss);
}

}  // namespace

Answer compose(const Brief& brief) {
  Answer answer;
  answer.cautions = cautions_of_ingredients(brief);
  const auto refuses = [](const Caution& caution) { return caution.severity == Severity::refuse; };
  if (std::any_of(answer.cautions.begin(), answer.cautions.end(), refuses)) {
    answer.outcome = Outcome::refused;
    return answer;
  }
  const Unknowns unknowns = unknowns_of(brief);
  const Demands demands = demands_of(brief, unknowns);
  std::vector<const Supply*> yeasts = yeasts_of(brief);
  if (yeasts.empty()) yeasts.push_back(nullptr);
  std::optional<Found> best;
  Fermentation chosen;
  for (const Supply* yeast : yeasts) {
    Fermentation fermentation = ferment_with(brief, yeast);
    Found found = search(brief, unknowns, demands, fermentation);
    if (!best || found.loss < best->loss) {
      best = std::move(found);
      chosen = fermentation;
    }
  }
  pitch_for_the_wort(brief, unknowns, demands, *best, chosen);
  answer.proposals.push_back(proposal_of(brief, unknowns, demands, *best, chosen));
  if (missed_scales(demands, *best, unknowns) >= met_within_scales) {
    answer.outcome = Outcome::nearest;
    answer.clashes = clashes_of(brief, unknowns, demands, chosen, best->design);
  }
  for (Caution& caution : cautions_of_proposal(brief, answer.proposals.front()))
    answer.cautions.push_back(std::move(caution));
  return answer;
}

}  // namespace oddgrist::compose

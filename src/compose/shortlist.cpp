#include "compose/shortlist.hpp"

#include <algorithm>
#include <cmath>

namespace oddgrist::compose {
namespace {

using larder::IngredientKind;

// What a supply can do for a recipe. Every role keeps some players.
enum class Role { grist, hop, sweet, salt, acid };
constexpr int role_count = 5;
constexpr std::array<std::size_t, role_count> best_of_role = {9, 7, 4, 4, 2};
constexpr std::size_t spread_of_role = 5;  // and so many spread over the range of what they are taken for

Role role_of(const Unknowns& unknowns, int supply) {
  switch (unknowns.supplies[supply]->ingredient.kind) {
    case IngredientKind::hop: return Role::hop;
    case IngredientKind::salt: return Role::salt;
    case IngredientKind::acid: return Role::acid;
    default: break;
  }
  const Variable& first = unknowns.variables[unknowns.variables_of_supply[supply].front()];
  return unknowns.ports[first.port].where == Port::Where::grist ? Role::grist : Role::sweet;
}

// Along which the players of a role differ most: colour for grain, alpha acid for hops.
double trait_of(const Unknowns& unknowns, int supply) {
  const larder::Composition& composition = unknowns.supplies[supply]->ingredient.composition;
  if (role_of(unknowns, supply) == Role::hop) return composition[larder::Component::alpha_acid];
  return composition.colour_load_per_kg;
}

}  // namespace

std::vector<bool> shortlist(const Unknowns& unknowns, const Demands& demands, const Design& relaxed,
                            const std::vector<double>& price_per_kg) {
  const int count = static_cast<int>(unknowns.supplies.size());
  std::vector<bool> keep(count, false);
  std::array<std::vector<std::pair<double, int>>, role_count> players;
  for (int s = 0; s < count; ++s) {
    keep[s] = unknowns.supplies[s]->must.has_value() || is_used(relaxed, unknowns, s);
    double price = 1e300;
    for (int v : unknowns.variables_of_supply[s])
      price = std::min(price, price_per_kg[v] * std::min(demands.usual_kg[v], std::max(demands.most_kg[s], 1e-6)));
    players[static_cast<int>(role_of(unknowns, s))].emplace_back(price, s);
  }
  for (int r = 0; r < role_count; ++r) {
    auto& role = players[r];
    std::stable_sort(role.begin(), role.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = 0; i < std::min(best_of_role[r], role.size()); ++i) keep[role[i].second] = true;
    // One, the best priced, of each fifth along the trait.
    std::stable_sort(role.begin(), role.end(), [&](const auto& a, const auto& b) {
      return trait_of(unknowns, a.second) < trait_of(unknowns, b.second);
    });
    if (r != static_cast<int>(Role::grist) && r != static_cast<int>(Role::hop)) continue;
    for (std::size_t part = 0; part < spread_of_role; ++part) {
      const auto first = role.begin() + static_cast<std::ptrdiff_t>(part * role.size() / spread_of_role);
      const auto last = role.begin() + static_cast<std::ptrdiff_t>((part + 1) * role.size() / spread_of_role);
      const auto best = std::min_element(first, last, [](const auto& a, const auto& b) { return a.first < b.first; });
      if (best != last) keep[best->second] = true;
    }
  }
  return keep;
}

Shortened shortened(const Unknowns& unknowns, const Demands& demands, const std::vector<bool>& keep) {
  Shortened result;
  std::vector<int> supply_here(unknowns.supplies.size(), -1), variable_here(unknowns.variables.size(), -1);
  result.unknowns.ports = unknowns.ports;
  for (std::size_t s = 0; s < unknowns.supplies.size(); ++s) {
    if (!keep[s]) continue;
    supply_here[s] = static_cast<int>(result.unknowns.supplies.size());
    result.unknowns.supplies.push_back(unknowns.supplies[s]);
    result.unknowns.is_given.push_back(unknowns.is_given[s]);
    result.unknowns.variables_of_supply.emplace_back();
    result.demands.use_cost.push_back(demands.use_cost[s]);
    result.demands.least_kg.push_back(demands.least_kg[s]);
    result.demands.most_kg.push_back(demands.most_kg[s]);
  }
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v) {
    Variable variable = unknowns.variables[v];
    if (variable.supply >= 0 && !keep[variable.supply]) continue;
    variable_here[v] = static_cast<int>(result.variable.size());
    if (variable.supply >= 0) {
      variable.supply = supply_here[variable.supply];
      result.unknowns.variables_of_supply[variable.supply].push_back(variable_here[v]);
    }
    result.unknowns.variables.push_back(variable);
    result.variable.push_back(static_cast<int>(v));
    result.demands.amount_cost.push_back(demands.amount_cost[v]);
    result.demands.usual_kg.push_back(demands.usual_kg[v]);
  }
  result.demands.members = demands.members;
  for (Member& member : result.demands.members) {
    const bool of_a_supply =
        member.kind == Member::Kind::must || member.kind == Member::Kind::stock || member.kind == Member::Kind::share;
    // A list that has been shortened before has members whose supply is gone.
    if (of_a_supply && member.index >= 0) member.index = supply_here[member.index];
  }
  // A statement none of whose terms is left says nothing, and is kept nowhere.
  for (Elastic elastic : demands.elastics) {
    const bool had_terms = !elastic.amounts.empty() || !elastic.uses.empty();
    std::erase_if(elastic.amounts, [&](const auto& term) { return variable_here[term.first] < 0; });
    std::erase_if(elastic.uses, [&](const auto& term) { return supply_here[term.first] < 0; });
    if (had_terms && elastic.amounts.empty() && elastic.uses.empty()) continue;
    for (auto& term : elastic.amounts) term.first = variable_here[term.first];
    for (auto& term : elastic.uses) term.first = supply_here[term.first];
    result.demands.elastics.push_back(std::move(elastic));
  }
  for (Moment moment : demands.moments) {
    if (variable_here[moment.variable] < 0) continue;
    moment.variable = variable_here[moment.variable];
    result.demands.moments.push_back(moment);
  }
  for (Packets packets : demands.packets) {
    if (supply_here[packets.supply] < 0) continue;
    packets.supply = supply_here[packets.supply];
    result.demands.packets.push_back(packets);
  }
  for (const Variable& variable : result.unknowns.variables) {
    if (variable.supply >= 0 && unknowns.ports[variable.port].where == Port::Where::grist)
      result.demands.least_grist_kg = demands.least_grist_kg;
  }
  result.demands.rest_low_c = demands.rest_low_c;
  result.demands.rest_high_c = demands.rest_high_c;
  return result;
}

Design Shortened::narrowed(const Design& whole) const {
  Design here;
  for (int v : variable) here.amount_kg.push_back(whole.amount_kg[v]);
  here.rest_temperature_c = whole.rest_temperature_c;
  return here;
}

Design Shortened::widened(const Design& here, std::size_t variables) const {
  Design whole;
  whole.amount_kg.assign(variables, 0.0);
  for (std::size_t v = 0; v < variable.size(); ++v) whole.amount_kg[variable[v]] = here.amount_kg[v];
  whole.rest_temperature_c = here.rest_temperature_c;
  return whole;
}

}  // namespace oddgrist::compose

#include "compose/neighbours.hpp"

#include <algorithm>
#include <cmath>

namespace oddgrist::compose {
namespace {

constexpr double times_more = 4.0;  // from one amount tried to the next

struct Player {
  int supply = 0;
  int gauge = 0;  // what it is there for
};

// Grain and hops; nothing else stands in for anything.
std::vector<Player> players(const Unknowns& unknowns) {
  std::vector<Player> all;
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    const Variable& first = unknowns.variables[unknowns.variables_of_supply[s].front()];
    if (unknowns.supplies[s]->ingredient.kind == larder::IngredientKind::hop)
      all.push_back({s, static_cast<int>(Gauge::bitterness)});
    else if (unknowns.ports[first.port].where == Port::Where::grist)
      all.push_back({s, static_cast<int>(Gauge::original_gravity)});
  }
  return all;
}

}  // namespace

std::vector<Found> with_one_instead(const Found& found, const Unknowns& unknowns, const Linearisation& line,
                                    const Judge& judge) {
  std::vector<Player> out, in;
  for (const Player& player : players(unknowns)) {
    const bool used = is_used(found.design, unknowns, player.supply);
    if (!used) in.push_back(player);
    if (used && !unknowns.supplies[player.supply]->must) out.push_back(player);
  }
  std::vector<Found> tried;
  const auto try_instead = [&](const Player& one, const Player& other) {
    Design without = found.design;
    double lost = 0.0;
    int variable = -1;  // the newcomer goes in when most of what it replaces went in
    double most = 0.0;
    for (int supply : {one.supply, other.supply}) {
      const auto& variables = unknowns.variables_of_supply[supply];
      for (std::size_t i = 0; i < variables.size(); ++i) {
        double& kg = without.amount_kg[variables[i]];
        const double part = kg * line.per_kg[one.gauge][variables[i]];
        lost += part;
        if (part > most) most = part, variable = static_cast<int>(i);
        kg = 0.0;
      }
    }
    if (variable < 0) return;
    for (const Player& newcomer : in) {
      const auto& variables = unknowns.variables_of_supply[newcomer.supply];
      if (newcomer.gauge != one.gauge || variable >= static_cast<int>(variables.size())) continue;
      const int v = variables[variable];
      const double slope = line.per_kg[one.gauge][v];
      if (!(slope > 0.0)) continue;
      const double step_kg = unknowns.variables[v].step_kg;
      Design next = without;
      next.amount_kg[v] = std::max(1.0, std::round(lost / slope / step_kg)) * step_kg;
      tried.push_back(judge(next));
    }
  };
  for (std::size_t i = 0; i < out.size(); ++i) {
    for (std::size_t j = i; j < out.size(); ++j) {
      if (out[i].gauge == out[j].gauge) try_instead(out[i], out[j]);
    }
  }
  std::stable_sort(tried.begin(), tried.end(), [](const Found& a, const Found& b) { return a.loss < b.loss; });
  return tried;
}

std::vector<Found> with_one_more(const Found& found, const Unknowns& unknowns, const Demands& demands,
                                 const Judge& judge) {
  std::vector<Found> better;
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    if (is_used(found.design, unknowns, s)) continue;
    Found best = found;
    for (int v : unknowns.variables_of_supply[s]) {
      const double step_kg = unknowns.variables[v].step_kg;
      const double least_kg = std::ceil(std::max(demands.least_kg[s], step_kg) / step_kg - 1e-9) * step_kg;
      for (double kg = least_kg; kg <= demands.most_kg[s]; kg = std::round(times_more * kg / step_kg) * step_kg) {
        Design next = found.design;
        next.amount_kg[v] = kg;
        Found tried = judge(next);
        if (tried.loss < best.loss) best = std::move(tried);
      }
    }
    if (best.loss < found.loss) better.push_back(std::move(best));
  }
  std::stable_sort(better.begin(), better.end(), [](const Found& a, const Found& b) { return a.loss < b.loss; });
  return better;
}

std::vector<Design> with_one_fewer(const Design& design, const Unknowns& unknowns) {
  std::vector<Design> fewer;
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    if (!is_used(design, unknowns, s) || unknowns.supplies[s]->must) continue;
    fewer.push_back(design);
    for (int v : unknowns.variables_of_supply[s]) fewer.back().amount_kg[v] = 0.0;
  }
  return fewer;
}

}  // namespace oddgrist::compose

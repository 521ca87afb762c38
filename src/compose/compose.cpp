#include <utility>
#include <vector>

#include "compose/cautions.hpp"
#include "compose/clash.hpp"
#include "compose/design.hpp"
#include "compose/doubt.hpp"
#include "compose/elastic.hpp"
#include "compose/poured.hpp"
#include "compose/practice_demands.hpp"
#include "compose/proposal.hpp"
#include "compose/robust.hpp"
#include "compose/search.hpp"
#include "compose/yeast_choice.hpp"

namespace oddgrist::compose {
namespace {

// A brief with the best recipe found for it.
struct Solved {
  Unknowns unknowns;
  Demands demands;
  Found best;
  Fermentation fermentation;
  [[nodiscard]] bool is_met() const { return missed_scales(demands, best, unknowns) < met_within_scales; }
};

// Where the best breaks a limit of what can be brewed: once more with everything but the limits made cheap. What that finds is the nearest
// recipe, if it keeps them.
void keep_limits(const Brief& brief, const Unknowns& unknowns, const Demands& demands, Found& best,
                 Fermentation& chosen) {
  constexpr double cheap = 0.01;
  if (broken_limits(demands, unknowns, best.design, best.gauges).empty()) return;
  Demands limits_first = demands;
  for (Elastic& elastic : limits_first.elastics) {
    const bool fact = elastic.member >= 0 && demands.members[elastic.member].weight >= fact_weight;
    if (!fact) elastic.price *= cheap;
  }
  const Design from = best.design;
  for (const Design* start : {&from, static_cast<const Design*>(nullptr)}) {
    Found other = search(brief, unknowns, limits_first, chosen, Exactness::weighable, start);
    if (!broken_limits(demands, unknowns, other.design, other.gauges).empty()) continue;
    other.linearisations += best.linearisations;
    other.loss = other.bound = loss_of(demands, other.design, unknowns, other.gauges);
    best = std::move(other);
    pitch_for_the_wort(brief, unknowns, demands, best, chosen);
    return;
  }
}

Solved solve(const Brief& brief) {
  Solved solved{unknowns_of(brief), {}, {}, {}};
  solved.demands = demands_of(brief, solved.unknowns);
  std::vector<const Supply*> yeasts = yeasts_of(brief);
  if (yeasts.empty()) yeasts.push_back(nullptr);
  bool any = false;
  for (const Supply* yeast : yeasts) {
    Fermentation fermentation = ferment_with(brief, yeast);
    const double below = any ? solved.best.loss : unlimited;
    Found found = search_thoroughly(brief, solved.unknowns, solved.demands, fermentation, below);
    if (any && found.loss >= solved.best.loss) continue;
    any = true;
    solved.best = std::move(found);
    solved.fermentation = fermentation;
  }
  pitch_for_the_wort(brief, solved.unknowns, solved.demands, solved.best, solved.fermentation);
  keep_limits(brief, solved.unknowns, solved.demands, solved.best, solved.fermentation);
  return solved;
}

}  // namespace

Answer compose(const Brief& brief) {
  Answer answer;
  answer.cautions = cautions_of_ingredients(brief);
  if (refuses(answer.cautions)) {
    answer.outcome = Outcome::refused;
    return answer;
  }
  const auto [unknowns, demands, best, fermentation] = solve(brief);
  const bool met = missed_scales(demands, best, unknowns) < met_within_scales;
  if (!met) {
    answer.outcome = Outcome::nearest;
    answer.clashes = clashes_of(brief, unknowns, demands, fermentation, best.design,
                                [](const Brief& changed) { return solve(changed).is_met(); });
    answer.broken_limits = broken_limits(demands, unknowns, best.design, best.gauges);
  }
  if (!answer.broken_limits.empty()) {
    answer.outcome = Outcome::none;
    return answer;
  }
  const bool steady = met && brief.likely_first;
  answer.proposals.push_back(proposal_of(brief, unknowns, demands, best, fermentation, steady ? 0 : estimate_points));
  if (steady) put_likeliest_first(brief, answer);
  answer.cautions = cautions_of_proposal(brief, answer.proposals.front());
  if (refuses(answer.cautions)) {
    answer.proposals.clear();
    answer.outcome = Outcome::refused;
  }
  return answer;
}

}  // namespace oddgrist::compose

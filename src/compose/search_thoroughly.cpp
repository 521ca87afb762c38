// The search begun more than once, and a look at the recipes next door, where one descent may have stopped short.
#include <algorithm>

#include "compose/neighbours.hpp"
#include "compose/search.hpp"
#include "compose/shortlist.hpp"

namespace oddgrist::compose {
namespace {

constexpr int most_restarts = 3;
constexpr double worth_a_restart = 0.02;  // scales
constexpr double gap_worth_another_go = 0.1;
constexpr int most_next_door = 12;
constexpr std::size_t most_newcomers = 4;
constexpr double worth_going_next_door = 1e-3;  // of the loss
constexpr double worth_refitting = 0.5;         // points

// One ingredient more, fewer, or another, amounts followed, as long as that gains.
void look_next_door(Found& best, const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                    const Fermentation& fermentation) {
  const Judge judge = [&](const Design& design) { return judged(brief, unknowns, demands, fermentation, design); };
  const double at_first = best.loss;
  const auto take = [&](const Design& design) {
    Found next = refit(brief, unknowns, demands, fermentation, Exactness::weighable, design);
    if (next.loss > best.loss * (1.0 - worth_going_next_door)) return false;
    next.linearisations += best.linearisations;
    next.bound = std::min(best.bound, next.loss);
    best = std::move(next);
    return true;
  };
  bool better = true;
  for (int visit = 0; better && visit < most_next_door; ++visit) {
    better = false;
    const std::vector<Found> more = with_one_more(best, unknowns, demands, judge);
    for (std::size_t i = 0; i < std::min(more.size(), most_newcomers) && !better; ++i) better = take(more[i].design);
    for (const Design& fewer : with_one_fewer(best.design, unknowns)) {
      if (take(fewer)) {
        better = true;
        break;
      }
    }
    if (better) continue;
    const Linearisation line = linearise(brief, unknowns, best.design, fermentation);
    const std::vector<Found> instead = with_one_instead(best, unknowns, line, judge);
    for (std::size_t i = 0; i < std::min(instead.size(), most_newcomers) && !better; ++i)
      better = take(instead[i].design);
  }
  if (best.loss < at_first) best.elastic_price = elastic_prices(brief, unknowns, demands, fermentation, best.design);
}

// What the shortlist left out may still do the work of two that are used.
void look_beyond_the_shortlist(Found& best, const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                               const Fermentation& fermentation) {
  const Judge judge = [&](const Design& design) { return judged(brief, unknowns, demands, fermentation, design); };
  const double at_first = best.loss;
  for (bool better = true; better;) {
    better = false;
    const Linearisation line = linearise(brief, unknowns, best.design, fermentation);
    const std::vector<Found> instead = with_one_instead(best, unknowns, line, judge);
    for (std::size_t i = 0; i < std::min(instead.size(), most_newcomers) && !better; ++i) {
      if (instead[i].loss > best.loss + worth_refitting) break;
      Found next = refit(brief, unknowns, demands, fermentation, Exactness::weighable, instead[i].design);
      if (next.loss > best.loss * (1.0 - worth_going_next_door)) continue;
      next.linearisations += best.linearisations;
      next.bound = std::min(best.bound, next.loss);
      best = std::move(next);
      better = true;
    }
  }
  if (best.loss >= at_first) return;
  // From there once more, with a shortlist and a bound of its own, for what promises still less.
  Found again = search(brief, unknowns, demands, fermentation, Exactness::weighable, &best.design, best.loss);
  again.linearisations += best.linearisations;
  if (again.loss > best.loss) {
    again.design = best.design;
    again.gauges = best.gauges;
    again.loss = best.loss;
    again.bound = std::min(again.bound, again.loss);
    again.elastic_price = elastic_prices(brief, unknowns, demands, fermentation, best.design);
  }
  best = std::move(again);
}

}  // namespace

Found search_thoroughly(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                        const Fermentation& fermentation, double below) {
  if (below > loss_of_a_miss)
    below = unlimited;  // where demands are missed anyway, a promise from afar is worth little
  Found best = search(brief, unknowns, demands, fermentation, Exactness::weighable, nullptr, below);
  if (best.loss >= below) return best;
  if (best.loss < loss_of_a_miss && best.gap() > gap_worth_another_go) {
    Found again = search(brief, unknowns, demands, fermentation, Exactness::weighable, &best.design);
    again.linearisations += best.linearisations;
    if (again.loss < best.loss) best = std::move(again);
  }
  if (best.loss < loss_of_a_miss && unknowns.supplies.size() > shortlist_size)
    look_beyond_the_shortlist(best, brief, unknowns, demands, fermentation);
  std::vector<bool> tried(demands.members.size(), false);
  for (int restarts = 0; restarts < most_restarts; ++restarts) {
    if (missed_scales(demands, best, unknowns) < worth_a_restart) break;
    int worst = -1;
    double worst_points = 0.0;
    for (const Elastic& elastic : demands.elastics) {
      if (elastic.member < 0 || tried[elastic.member]) continue;
      const double points = elastic.price * miss_of(elastic, best.design, unknowns, best.gauges);
      if (points > worst_points) worst = elastic.member, worst_points = points;
    }
    if (worst < 0) break;
    tried[worst] = true;
    Demands without = demands;
    for (Elastic& elastic : without.elastics) {
      if (elastic.member == worst) elastic.price *= 1e-2;
    }
    const Found elsewhere = search(brief, unknowns, without, fermentation, Exactness::counted, &best.design);
    Found again = search(brief, unknowns, demands, fermentation, Exactness::weighable, &elsewhere.design);
    again.linearisations += best.linearisations + elsewhere.linearisations;
    if (again.loss < best.loss)
      best = std::move(again);
    else
      best.linearisations = again.linearisations;
  }
  if (best.loss > loss_of_a_miss) look_next_door(best, brief, unknowns, demands, fermentation);
  return best;
}

Demands demands_alone(Demands demands) {
  for (Elastic& elastic : demands.elastics) {
    if (elastic.member < 0) elastic.price = 0.0;
  }
  std::fill(demands.use_cost.begin(), demands.use_cost.end(), 0.0);
  std::fill(demands.amount_cost.begin(), demands.amount_cost.end(), 0.0);
  for (Moment& moment : demands.moments) moment.cost = 0.0;
  for (Packets& packets : demands.packets) packets.cost = 0.0;
  return demands;
}

double missed_scales(const Demands& demands, const Found& found, const Unknowns& unknowns) {
  double sum = 0.0;
  for (const Elastic& elastic : demands.elastics) {
    if (elastic.member < 0) continue;
    const Member& member = demands.members[elastic.member];
    if (member.weight > 0.0) sum += miss_of(elastic, found.design, unknowns, found.gauges) / member.scale;
  }
  return sum;
}

}  // namespace oddgrist::compose

#include "suite/ours.hpp"

#include <algorithm>

#include "compose/poured.hpp"

namespace oddgrist::bench {
namespace {

using namespace compose;

// Median of a few runs: fewer where one takes long.
template <class Run>
double timed_ms(Run run) {
  std::vector<double> times;
  double spent = 0.0;
  while (times.size() < 3 && (times.empty() || spent < 400.0)) {
    const double began = busy_ms();
    run();
    times.push_back(busy_ms() - began);
    spent += times.back();
  }
  std::sort(times.begin(), times.end());
  return times[times.size() / 2];
}

}  // namespace

Ours run_ours(Task& task) {
  Ours ours;
  Answer answer;
  ours.whole.ms = timed_ms([&] { answer = compose::compose(task.brief); });
  ours.outcome = answer.outcome;
  for (const Clash& clash : answer.clashes) ours.clash_members += clash.wishes.size();
  const auto yeasts = yeasts_of(task.brief);
  const Supply* chosen = yeasts.empty() ? nullptr : yeasts.front();
  for (const Supply* yeast : yeasts) {
    if (!answer.proposals.empty() && yeast->ingredient.id == answer.proposals.front().yeast.id) chosen = yeast;
  }
  task.fermentation = ferment_with(task.brief, chosen);
  ours.search_ms = timed_ms([&] { ours.found = search(task.brief, task.unknowns, task.demands, task.fermentation); });
  // What is judged is the recipe that is given.
  if (!answer.proposals.empty())
    ours.found.design = design_of(task.brief, task.unknowns, answer.proposals.front().recipe, nullptr);
  ours.whole.loss = true_loss(task, ours.found.design);
  Brief moved = task.brief;
  for (Wish& wish : moved.wishes) {
    if (wish.measure != Measure::bitterness) continue;
    wish.low += 1.0;
    wish.high += 1.0;
  }
  const Unknowns unknowns = unknowns_of(moved);
  const Demands demands = demands_of(moved, unknowns);
  ours.again_ms = timed_ms([&] {
    return search(moved, unknowns, demands, task.fermentation, Exactness::weighable, &ours.found.design).loss;
  });
  return ours;
}

}  // namespace oddgrist::bench

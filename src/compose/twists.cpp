#include "compose/twists.hpp"

#include <algorithm>
#include <cmath>

#include "compose/core_builder.hpp"
#include "compose/yeast_choice.hpp"

namespace oddgrist::compose {
namespace {

using larder::IngredientKind;

// Points for a pull not followed: far more than the edge of a wish, far less than missing one (elastic.cpp). What is held is held.
constexpr double pull_points = 4.0;
constexpr double held_points = 5000.0;

constexpr double outer_share = 0.2;  // of a wished range, at the end that is pulled to
constexpr int most_without = 4, most_with = 6, most_oddments = 2, most_yeasts = 4;
constexpr double share_to_try = 0.1;  // of the grist, or of the hops

bool matters(const Supply& supply) {
  switch (supply.ingredient.kind) {
    case IngredientKind::malt:
    case IngredientKind::adjunct:
    case IngredientKind::sugar:
    case IngredientKind::hop: return true;
    default: return false;
  }
}

class Twister {
 public:
  Twister(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Found& first,
          const Fermentation& fermentation)
      : brief_(brief), unknowns_(unknowns), demands_(demands), first_(first), fermentation_(fermentation) {}

  std::vector<Twist> all() {
    corners();
    oddments();
    ingredients();
    thrift();
    for (const Supply* yeast : yeasts_of(brief_)) {
      if (yeast != fermentation_.yeast && static_cast<int>(twists_.size()) < 64 && yeasts_++ < most_yeasts)
        twists_.push_back({demands_, yeast});
    }
    return std::move(twists_);
  }

 private:
  void add(std::vector<Elastic> pulls) {
    Twist twist{demands_, fermentation_.yeast};
    for (Elastic& pull : pulls) twist.demands.elastics.push_back(std::move(pull));
    twists_.push_back(std::move(twist));
  }

  // What a clear step is where nothing was wished; final gravity stands for body.
  double free_step(Measure measure) const {
    const double now = first_.gauges[static_cast<int>(measure)];
    switch (measure) {
      case Measure::colour: return 0.8 * now;
      case Measure::final_gravity: return 0.005;
      case Measure::alcohol: return 1.2;
      default: return 0.3 * now + 3.0;
    }
  }

  // Towards the upper (or lower) end of what is wished, or where nothing is wished, a clear step up (or down).
  Elastic pull(Measure measure, bool up) const {
    Elastic elastic;
    elastic.gauge = static_cast<int>(measure);
    const auto wish = std::find_if(brief_.wishes.begin(), brief_.wishes.end(),
                                   [&](const Wish& each) { return each.measure == measure; });
    const double now = first_.gauges[elastic.gauge];
    const double step = wish != brief_.wishes.end() ? std::max(wish->high - wish->low, 1e-6) : free_step(measure);
    elastic.low = -1e9;
    elastic.high = 1e9;
    if (wish != brief_.wishes.end()) {
      (up ? elastic.low : elastic.high) = up ? wish->high - outer_share * step : wish->low + outer_share * step;
    } else {
      (up ? elastic.low : elastic.high) = up ? now + step : now - step;
    }
    elastic.price = pull_points / step;
    return elastic;
  }

  void corners() {
    constexpr Measure axes[] = {Measure::colour, Measure::final_gravity, Measure::bitterness, Measure::alcohol};
    for (bool up : {true, false}) {
      for (bool fuller : {true, false}) add({pull(Measure::colour, up), pull(Measure::final_gravity, fuller)});
      add({pull(Measure::bitterness, up), pull(Measure::final_gravity, !up)});
      add({pull(Measure::alcohol, up), pull(Measure::bitterness, !up)});
    }
    for (Measure axis : axes) {
      for (bool up : {true, false}) add({pull(axis, up)});
    }
  }

  void oddments() {
    int done = 0;
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()) && done < most_oddments; ++s) {
      const Supply& supply = *unknowns_.supplies[s];
      if (supply.ingredient.kind != IngredientKind::food || !supply.must) continue;
      const double low = supply.must->low.in(kilogram);
      const double high = supply.must->sense == Must::Sense::at_least && supply.amount ? supply.amount->in(kilogram)
                                                                                       : supply.must->high.in(kilogram);
      if (!(high > low) || supply.must->sense == Must::Sense::all) continue;
      ++done;
      for (bool louder : {true, false}) {
        Elastic elastic =
            held_at(unknowns_, s, louder ? low + 0.8 * (high - low) : 0.0, louder ? 1e9 : low + 0.15 * (high - low));
        elastic.price = pull_points / (high - low);
        add({elastic});
      }
      Elastic louder = held_at(unknowns_, s, low + 0.5 * (high - low), 1e9);
      louder.price = pull_points / (high - low);
      add({louder, pull(Measure::colour, true)});
      add({louder, pull(Measure::final_gravity, false)});
    }
  }

  double total_of(bool hops) const {
    double kg = 0.0;
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      const Supply& supply = *unknowns_.supplies[s];
      if (matters(supply) && (supply.ingredient.kind == IngredientKind::hop) == hops)
        kg += amount_of(unknowns_, first_.design, s);
    }
    return kg;
  }

  void ingredients() {
    std::vector<std::pair<double, int>> used;
    std::vector<int> unused;
    Elastic changed;  // at least two of the choices are others
    changed.high = 1e9;
    changed.low = 2.0;
    changed.price = held_points;
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      const Supply& supply = *unknowns_.supplies[s];
      if (!matters(supply) || (supply.must && supply.must->low.in(kilogram) > 0.0)) continue;
      const double kg = amount_of(unknowns_, first_.design, s);
      const bool in = kg > 0.0;
      if (in) used.emplace_back(kg, s);
      if (!in) unused.push_back(s);
      changed.uses.emplace_back(s, in ? -1.0 : 1.0);
      changed.low -= in ? 1.0 : 0.0;
    }
    if (changed.uses.size() > 2) add({changed});
    std::stable_sort(used.begin(), used.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    used.resize(std::min<std::size_t>(used.size(), most_without));
    for (const auto& [kg, s] : used) add({held_at(unknowns_, s, 0.0, 0.0)});
    // Spread over the whole list where it is long.
    const std::size_t stride = std::max<std::size_t>(1, unused.size() / most_with);
    for (std::size_t i = 0, done = 0; i < unused.size() && done < most_with; i += stride, ++done) with(unused[i]);
  }

  void with(int s) {
    const Supply& supply = *unknowns_.supplies[s];
    double kg = std::max(demands_.least_kg[s], share_to_try * total_of(supply.ingredient.kind == IngredientKind::hop));
    if (supply.ingredient.malt) kg = std::min(kg, supply.ingredient.malt->most_share_of_grist * total_of(false));
    if (supply.amount) kg = std::min(kg, supply.amount->in(kilogram));
    if (kg > 0.0) add({held_at(unknowns_, s, 0.95 * kg, 1e9)});
  }

  void thrift() {
    Twist fewer{demands_, fermentation_.yeast};
    for (std::size_t s = 0; s < fewer.demands.use_cost.size(); ++s) {
      if (!unknowns_.is_given[s]) fewer.demands.use_cost[s] = 0.5;
    }
    twists_.push_back(std::move(fewer));
    Twist cheaper{demands_, fermentation_.yeast};
    bool priced = false;
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
      const int s = unknowns_.variables[v].supply;
      if (s < 0 || !(unknowns_.supplies[s]->cost_per_kg > 0.0)) continue;
      priced = true;
      cheaper.demands.amount_cost[v] *= 10.0;
    }
    for (Packets& packets : cheaper.demands.packets) packets.cost *= 10.0;
    if (priced) twists_.push_back(std::move(cheaper));
  }

  const Brief& brief_;
  const Unknowns& unknowns_;
  const Demands& demands_;
  const Found& first_;
  const Fermentation& fermentation_;
  std::vector<Twist> twists_;
  int yeasts_ = 0;
};

}  // namespace

std::vector<Twist> twists_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Found& first,
                             const Fermentation& fermentation) {
  return Twister(brief, unknowns, demands, first, fermentation).all();
}

std::optional<Found> follow(const Brief& brief, const Unknowns& unknowns, const Twist& twist,
                            const Fermentation& fermentation, const Design& from, const Linearisation& line_there) {
  constexpr double far = 4.0, near = 0.7;  // trust regions, in ordinary changes of an amount
  constexpr double gap = 0.02, worth_branching = 0.1;
  constexpr int rounds = 3, most_branches = 400;
  const CoreBuilder builder(unknowns, twist.demands, Exactness::weighable);
  LinearCore core = builder.build(line_there, from, far);
  for (std::size_t c = 0; c <= builder.rest_column(); ++c) core.columns[c].integer = false;
  const CoreAnswer chosen = solve_integer(core, gap, most_branches, {});
  if (chosen.value.empty()) return std::nullopt;
  Found found;
  found.design = builder.design_from(chosen.value);
  CoreAnswer loose;
  for (int round = 0; round < rounds; ++round) {
    const Linearisation line = linearise(brief, unknowns, found.design, fermentation);
    core = builder.build(line, found.design, near);
    builder.keep_ingredients(core, found.design);
    CoreAnswer next = solve_relaxed(core);
    if (next.value.empty()) break;
    loose = std::move(next);
    found.design = builder.design_from(loose.value);
  }
  if (loose.value.empty()) return std::nullopt;
  CoreAnswer whole = builder.rounded(core, loose.value);
  if (whole.value.empty() || whole.objective > loose.objective + worth_branching) {
    CoreAnswer branched = solve_integer(core, gap, most_branches, whole.value);
    if (!branched.value.empty()) whole = std::move(branched);
  }
  if (whole.value.empty()) return std::nullopt;
  found.design = builder.design_from(whole.value);
  found.gauges = gauges_of(forecast_of(brief, unknowns, found.design, fermentation));
  found.linearisations = rounds;
  return found;
}

Elastic held_at(const Unknowns& unknowns, int supply, double low_kg, double high_kg) {
  Elastic elastic;
  for (int variable : unknowns.variables_of_supply[supply]) elastic.amounts.emplace_back(variable, 1.0);
  elastic.low = low_kg > 0.0 ? low_kg : -1.0;
  elastic.high = high_kg;
  elastic.price = held_points / std::max(low_kg, 0.01);
  return elastic;
}

double amount_of(const Unknowns& unknowns, const Design& design, int supply) {
  double kg = 0.0;
  for (int v : unknowns.variables_of_supply[supply]) kg += design.amount_kg[v];
  return kg;
}

}  // namespace oddgrist::compose

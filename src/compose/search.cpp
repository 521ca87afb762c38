#include "compose/search.hpp"

#include <algorithm>
#include <cmath>

#include "compose/linear_core.hpp"

namespace oddgrist::compose {
namespace {

constexpr double rest_step_k = 0.5;  // what a thermometer and a lid can hold
constexpr int most_relaxed_rounds = 25;
constexpr int most_integer_rounds = 8;
constexpr double wanted_gap = 0.005;
constexpr double wanted_gap_of_a_miss =
    0.02;  // when demands are missed anyway, steps of a scale are worth less trouble
constexpr double loss_of_a_miss = 10.0;
constexpr double most_seconds_a_core = 1.0;
constexpr double first_radius = 4.0, integer_radius = 1.5, least_radius = 1e-3;

// Columns of the core: one per variable (in steps), the rest temperature (in steps above its low end), one per supply (used or
// not), one per moment (used or not), one per packet size (how many), then two slacks per elastic.
class CoreBuilder {
 public:
  CoreBuilder(const Unknowns& unknowns, const Demands& demands, Exactness exactness)
      : unknowns_(unknowns), demands_(demands), weighable_(exactness == Exactness::weighable) {}

  // `radius` limits how far each amount may move, in ordinary changes of it; infinite for no limit.
  LinearCore build(const Linearisation& line, const Design& at, double radius) const {
    LinearCore core;
    amount_columns(core, at, radius);
    use_columns(core);
    for (const Elastic& elastic : demands_.elastics) elastic_row(core, elastic, line, at);
    return core;
  }

  Design design_from(const std::vector<double>& value) const {
    Design design;
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
      design.amount_kg.push_back(std::max(0.0, value[v]) * unknowns_.variables[v].step_kg);
    }
    design.rest_temperature_c = demands_.rest_low_c + value[rest_column()] * rest_step_k;
    return design;
  }

  // Keeps the ingredients of the design and lets only amounts move: what the prices of the relaxation then mean is "this recipe".
  void keep_ingredients(LinearCore& core, const Design& design) const {
    const auto fix = [&](int column, bool used) {
      core.columns[column].low = core.columns[column].high = used ? 1.0 : 0.0;
    };
    for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
      fix(use_column(static_cast<int>(s)), is_used(design, unknowns_, static_cast<int>(s)));
    }
    for (std::size_t m = 0; m < demands_.moments.size(); ++m) {
      fix(moment_column(m), design.amount_kg[demands_.moments[m].variable] > 1e-9);
    }
  }

  std::size_t first_elastic_row() const { return link_rows_; }

  // Only "used or not" stays whole, amounts may be anything: solved in a moment, and a bound of the whole core.
  LinearCore counts_only(LinearCore core) const {
    for (std::size_t c = 0; c <= rest_column(); ++c) core.columns[c].integer = false;
    return core;
  }

  // The ingredients of a point of the core, fixed.
  LinearCore with_uses_of(LinearCore core, const std::vector<double>& value) const {
    const std::size_t uses = unknowns_.supplies.size() + demands_.moments.size() + demands_.packets.size();
    for (std::size_t c = rest_column() + 1; c <= rest_column() + uses; ++c) {
      core.columns[c].low = core.columns[c].high = std::round(value[c]);
    }
    return core;
  }

  // Whole steps nearest to a point of the core: the sum over the moments of an ingredient is rounded once, then shared out by the
  // largest remainders. No value if the steps break a hard row.
  CoreAnswer rounded(const LinearCore& core, std::vector<double> value) const {
    for (std::size_t c = 0; c <= rest_column(); ++c) {
      if (c == rest_column() || unknowns_.variables[c].supply < 0) value[c] = std::round(value[c]);
    }
    for (const auto& variables : unknowns_.variables_of_supply) share_out(variables, value);
    for (std::size_t c = 0; c <= rest_column(); ++c) {
      value[c] = std::clamp(value[c], core.columns[c].low, core.columns[c].high);
    }
    CoreAnswer answer;
    for (std::size_t r = 0; r < core.rows.size(); ++r) {
      const LinearCore::Row& row = core.rows[r];
      const std::size_t slacks = r < link_rows_ ? 0 : 2;
      double activity = 0.0;
      for (std::size_t t = 0; t + slacks < row.terms.size(); ++t)
        activity += row.terms[t].second * value[row.terms[t].first];
      const double below = std::max(0.0, row.low - activity), above = std::max(0.0, activity - row.high);
      if (slacks == 0) {
        if (below > 1e-9 || above > 1e-9) return answer;
      } else {
        value[row.terms[row.terms.size() - 2].first] = below;
        value[row.terms[row.terms.size() - 1].first] = above;
      }
    }
    answer.objective = 0.0;
    for (std::size_t c = 0; c < core.columns.size(); ++c) answer.objective += core.columns[c].cost * value[c];
    answer.status = CoreAnswer::Status::stopped;
    answer.value = std::move(value);
    return answer;
  }

 private:
  static void share_out(const std::vector<int>& variables, std::vector<double>& value) {
    double total = 0.0, floors = 0.0;
    std::vector<std::pair<double, int>> remainders;
    for (int v : variables) {
      total += value[v];
      const double floor = std::floor(value[v] + 1e-9);
      if (value[v] > 1e-6) remainders.emplace_back(value[v] - floor, v);
      value[v] = floor;
      floors += floor;
    }
    std::stable_sort(remainders.begin(), remainders.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    double left = std::round(total) - floors;
    for (const auto& [remainder, v] : remainders) {
      if (left < 0.5) break;
      value[v] += 1.0;
      left -= 1.0;
    }
  }

  std::size_t rest_column() const { return unknowns_.variables.size(); }
  int use_column(int supply) const { return static_cast<int>(unknowns_.variables.size()) + 1 + supply; }

  int moment_column(std::size_t moment) const {
    return use_column(static_cast<int>(unknowns_.supplies.size())) + static_cast<int>(moment);
  }

  void amount_columns(LinearCore& core, const Design& at, double radius) const {
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
      const Variable& variable = unknowns_.variables[v];
      const double now = at.amount_kg[v] / variable.step_kg;
      double low = 0.0, high = unlimited;
      if (variable.supply >= 0) high = std::ceil(demands_.most_kg[variable.supply] / variable.step_kg);
      if (std::isfinite(radius)) {
        const double move = radius * std::max(0.5 * now, demands_.usual_kg[v] / variable.step_kg);
        low = std::max(low, std::floor(now - move));
        high = std::min(high, std::ceil(now + move));
      }
      core.add_column(low, high, demands_.amount_cost[v] * variable.step_kg, weighable_);
    }
    core.add_column(0.0, std::floor((demands_.rest_high_c - demands_.rest_low_c) / rest_step_k + 1e-9), 0.0,
                    weighable_);
  }

  // amounts <= most * used  and  amounts >= least * used
  static void link(LinearCore& core, std::vector<std::pair<int, double>> amounts, int use, double least, double most) {
    auto at_least = amounts;
    amounts.emplace_back(use, -most);
    core.add_row(-unlimited, 0.0, std::move(amounts));
    if (least <= 0.0) return;
    at_least.emplace_back(use, -least);
    core.add_row(0.0, unlimited, std::move(at_least));
  }

  void use_columns(LinearCore& core) const {
    for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) core.add_column(0.0, 1.0, demands_.use_cost[s], true);
    for (const Moment& moment : demands_.moments) core.add_column(0.0, 1.0, moment.cost, weighable_);
    for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
      std::vector<std::pair<int, double>> amounts;
      for (int v : unknowns_.variables_of_supply[s]) amounts.emplace_back(v, unknowns_.variables[v].step_kg);
      link(core, std::move(amounts), use_column(static_cast<int>(s)), demands_.least_kg[s], demands_.most_kg[s]);
    }
    for (std::size_t m = 0; m < demands_.moments.size(); ++m) {
      const Moment& moment = demands_.moments[m];
      const Variable& variable = unknowns_.variables[moment.variable];
      link(core, {{moment.variable, variable.step_kg}}, moment_column(m), moment.least_kg,
           demands_.most_kg[variable.supply]);
    }
    for (const Packets& packets : demands_.packets) {
      std::vector<std::pair<int, double>> terms;
      for (int v : unknowns_.variables_of_supply[packets.supply]) terms.emplace_back(v, unknowns_.variables[v].step_kg);
      terms.emplace_back(core.add_column(0.0, unlimited, packets.cost, true), -packets.packet_kg);
      core.add_row(-unlimited, 0.0, std::move(terms));
    }
    link_rows_ = core.rows.size();
  }

  void elastic_row(LinearCore& core, const Elastic& elastic, const Linearisation& line, const Design& at) const {
    std::vector<std::pair<int, double>> terms;
    double constant = 0.0;
    if (elastic.gauge >= 0) {
      constant = line.value[elastic.gauge];
      for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
        const double slope = line.per_kg[elastic.gauge][v];
        constant -= slope * at.amount_kg[v];
        terms.emplace_back(static_cast<int>(v), slope * unknowns_.variables[v].step_kg);
      }
      const double slope = line.per_kelvin_of_rest[elastic.gauge];
      constant += slope * (demands_.rest_low_c - at.rest_temperature_c);
      terms.emplace_back(static_cast<int>(rest_column()), slope * rest_step_k);
    }
    for (const auto& [variable, coefficient] : elastic.amounts) {
      terms.emplace_back(variable, coefficient * unknowns_.variables[variable].step_kg);
    }
    for (const auto& [supply, coefficient] : elastic.uses) terms.emplace_back(use_column(supply), coefficient);
    // In units of the price, so that a gravity and a litre weigh alike in the solver's tolerances.
    const double unit = elastic.price > 0.0 ? elastic.price : 1.0;
    for (auto& term : terms) term.second *= unit;
    const double slack_cost = elastic.price > 0.0 ? 1.0 : 0.0;
    terms.emplace_back(core.add_column(0.0, unlimited, slack_cost), 1.0);
    terms.emplace_back(core.add_column(0.0, unlimited, slack_cost), -1.0);
    const bool open_below = elastic.low<-1e8, open_above = elastic.high> 1e8;
    core.add_row(open_below ? -unlimited : (elastic.low - constant) * unit,
                 open_above ? unlimited : (elastic.high - constant) * unit, std::move(terms));
  }

  const Unknowns& unknowns_;
  const Demands& demands_;
  bool weighable_;
  mutable std::size_t link_rows_ = 0;
};

// A plain start: the parcel as asked, the strongest base malt for about the wished strength, water for the wished volume.
Design first_guess(const Brief& brief, const Unknowns& unknowns) {
  double volume_l = 10.0, gravity_points = 50.0;
  for (const Wish& wish : brief.wishes) {
    const double middle = 0.5 * (wish.low + wish.high);
    if (wish.measure == Measure::volume) volume_l = middle;
    if (wish.measure == Measure::original_gravity) gravity_points = 1000.0 * (middle - 1.0);
    if (wish.measure == Measure::alcohol) gravity_points = middle * 7.7;
  }
  Design guess;
  guess.amount_kg.assign(unknowns.variables.size(), 0.0);
  guess.rest_temperature_c = 0.5 * (brief.rest_low.in(celsius) + brief.rest_high.in(celsius));
  int base = -1;
  double best_power = -1.0, grist_kg = 0.0;
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    const Supply& supply = *unknowns.supplies[s];
    const int first = unknowns.variables_of_supply[s].front();
    if (supply.must) {
      const Must& must = *supply.must;
      guess.amount_kg[first] = must.sense == Must::Sense::at_most ? 0.0 : must.low.in(kilogram);
    }
    const bool mashed = unknowns.ports[unknowns.variables[first].port].where == Port::Where::grist;
    if (mashed) grist_kg += guess.amount_kg[first];
    const double power = supply.ingredient.malt ? supply.ingredient.malt->diastatic_power_wk : 0.0;
    if (mashed && power > best_power) best_power = power, base = first;
  }
  if (base >= 0) {
    const double wanted = volume_l * gravity_points / 270.0;  // about 270 L.deg/kg from a kilogram of grist in a kettle
    guess.amount_kg[base] += std::max(0.0, wanted - grist_kg);
    grist_kg = std::max(grist_kg, wanted);
  }
  guess.amount_kg[0] = volume_l + brief.kit.kettle_loss.in(litre) +
                       brief.kit.boil_off.in(litre_per_hour)*brief.kit.boil.in(hour) +
                       grist_kg * brief.kit.held_by_grain.in(litre_per_kilogram);
  return guess;
}

class Search {
 public:
  Search(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Fermentation& fermentation,
         Exactness exactness)
      : brief_(brief),
        unknowns_(unknowns),
        demands_(demands),
        fermentation_(fermentation),
        exactness_(exactness),
        builder_(unknowns, demands, exactness) {}

  Found run(const Design& start) {
    move_to(start);
    relaxed_rounds();
    integer_rounds();
    if (exactness_ == Exactness::weighable) prices();
    found_.linearisations = linearisations_;
    return found_;
  }

 private:
  double true_loss(const Design& design, std::array<double, gauge_count>& gauges) const {
    gauges = gauges_of(forecast_of(brief_, unknowns_, design, fermentation_));
    return loss_of(demands_, design, unknowns_, gauges);
  }
  void move_to(const Design& design) {
    at_ = design;
    line_ = linearise(brief_, unknowns_, at_, fermentation_);
    ++linearisations_;
  }
  // In the relaxation an ingredient is "used" in part, so its loss is judged without the costs and counts of use.
  double smooth_loss(const Design& design) const {
    const auto gauges = gauges_of(forecast_of(brief_, unknowns_, design, fermentation_));
    double loss = 0.0;
    for (const Elastic& elastic : demands_.elastics) {
      if (elastic.uses.empty()) loss += elastic.price * miss_of(elastic, design, unknowns_, gauges);
    }
    for (std::size_t v = 0; v < design.amount_kg.size(); ++v) loss += demands_.amount_cost[v] * design.amount_kg[v];
    return loss;
  }

  // A trust region: a step that makes the true loss better is taken, and the region grows; one that does not shrinks it.
  void relaxed_rounds() {
    double radius = first_radius;
    double now = smooth_loss(at_);
    for (int round = 0; round < most_relaxed_rounds && radius > least_radius; ++round) {
      const CoreAnswer answer = solve_relaxed(builder_.build(line_, at_, radius));
      if (answer.value.empty()) return;
      const Design next = builder_.design_from(answer.value);
      const double then = smooth_loss(next);
      if (then < now - 1e-4 * (1.0 + now)) {
        move_to(next);
        now = then;
        radius = std::min(first_radius, 2.0 * radius);
      } else if (std::abs(then - now) <= 1e-4 * (1.0 + now)) {
        return;  // the linear core has nothing more to offer
      } else {
        radius *= 0.3;
      }
    }
  }

  // Whole numbers: counts, and in the end steps of a scale. Begins at the relaxed optimum, which only the counted question may
  // take as its answer. A step whose true loss is nowhere near the promised one shrinks the region and is not followed.
  void integer_rounds() {
    Found here;
    here.design = at_;
    here.loss = true_loss(at_, here.gauges);
    bool have = exactness_ == Exactness::counted;
    if (have) found_ = here;
    if (have && missed_scales(demands_, here, unknowns_) < 1e-3) return;
    double radius = integer_radius;
    const double gap = here.loss > loss_of_a_miss ? wanted_gap_of_a_miss : wanted_gap;
    for (int round = 0; round < most_integer_rounds && radius > least_radius; ++round) {
      const LinearCore core = builder_.build(line_, at_, radius);
      const CoreAnswer answer = solve(core, gap);
      if (answer.value.empty()) break;
      if (have && answer.objective > found_.loss * (1.0 - 1e-3)) break;  // nothing better is promised
      Found next;
      next.design = builder_.design_from(answer.value);
      next.loss = true_loss(next.design, next.gauges);
      next.bound = answer.bound;
      const bool agrees = next.loss <= answer.objective + 0.002 * std::abs(answer.objective) + 1e-6;
      const bool astray = next.loss > 3.0 * answer.objective + 1.0;
      const bool better = !have || next.loss < found_.loss;
      if (better)
        found_ = next;
      else
        found_.bound = std::min(found_.loss, answer.bound);
      have = true;
      if (better && agrees) return;
      if (better && !astray)
        move_to(next.design);
      else
        radius *= 0.4;
    }
    if (!have) found_ = here;
  }

  // Which ingredients first, then steps of a scale by rounding, and only where rounding costs too much by branching on steps too.
  CoreAnswer solve(const LinearCore& core, double gap) const {
    if (exactness_ == Exactness::counted) return solve_integer(core, gap, most_seconds_a_core, {});
    const CoreAnswer counted = solve_integer(builder_.counts_only(core), 0.1 * gap, most_seconds_a_core, {});
    if (counted.value.empty()) return counted;
    const auto good_enough = [&](const CoreAnswer& answer) {
      return answer.objective <= counted.bound + gap * std::abs(counted.bound) + 1e-9;
    };
    const auto better_of = [](CoreAnswer one, CoreAnswer other) {
      return other.value.empty() || one.objective <= other.objective ? one : other;
    };
    CoreAnswer whole = builder_.rounded(core, counted.value);
    if (!good_enough(whole)) {
      whole = better_of(
          whole, solve_integer(builder_.with_uses_of(core, counted.value), gap, most_seconds_a_core, whole.value));
    }
    if (!good_enough(whole)) {
      const CoreAnswer all = solve_integer(core, gap, most_seconds_a_core, whole.value);
      const double bound = std::max(counted.bound, all.bound);
      whole = better_of(whole, all);
      whole.bound = std::min(bound, whole.objective);
      return whole;
    }
    whole.bound = std::min(counted.bound, whole.objective);
    return whole;
  }

  // With the ingredients kept as chosen: what a little more room on each elastic would gain.
  void prices() {
    found_.elastic_price.assign(demands_.elastics.size(), 0.0);
    move_to(found_.design);
    LinearCore core = builder_.build(line_, at_, unlimited);
    builder_.keep_ingredients(core, found_.design);
    const CoreAnswer answer = solve_relaxed(core);
    if (answer.row_price.empty()) return;
    for (std::size_t e = 0; e < demands_.elastics.size(); ++e) {
      found_.elastic_price[e] = answer.row_price[builder_.first_elastic_row() + e] * demands_.elastics[e].price;
    }
  }

  const Brief& brief_;
  const Unknowns& unknowns_;
  const Demands& demands_;
  const Fermentation& fermentation_;
  Exactness exactness_;
  CoreBuilder builder_;
  Design at_;
  Linearisation line_;
  Found found_;
  int linearisations_ = 0;
};

}  // namespace

double Found::gap() const { return std::max(0.0, loss - bound) / std::max(std::abs(loss), 1e-9); }

Found search(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Fermentation& fermentation,
             Exactness exactness, const Design* start) {
  return Search(brief, unknowns, demands, fermentation, exactness)
      .run(start != nullptr ? *start : first_guess(brief, unknowns));
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

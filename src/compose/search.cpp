#include "compose/search.hpp"

#include <algorithm>
#include <cmath>

#include "compose/core_builder.hpp"

namespace oddgrist::compose {
namespace {

constexpr int most_relaxed_rounds = 25;
constexpr int most_integer_rounds = 8;
constexpr double wanted_gap = 0.005;
constexpr double wanted_gap_of_a_miss =
    0.02;  // when demands are missed anyway, steps of a scale are worth less trouble
constexpr double loss_of_a_miss = 10.0;
constexpr double most_seconds_a_core = 1.0;
constexpr double first_radius = 4.0, integer_radius = 1.5, least_radius = 1e-3;

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

#include "compose/search.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "compose/core_builder.hpp"

namespace oddgrist::compose {
namespace {

constexpr int most_relaxed_rounds = 25;
constexpr int most_rounds_a_set = 6;
constexpr int most_sets = 10;
constexpr double worth_a_step = 1e-4;  // of the loss
constexpr double wanted_gap = 0.005;
constexpr double loss_of_a_miss = 10.0;
constexpr double most_seconds_a_core = 1.0;
// Trust regions, in ordinary changes of an amount (Demands::usual_kg).
constexpr double first_radius = 4.0, set_radius = 2.0, step_radius = 0.5, least_radius = 1e-3;

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
    relaxed_rounds(most_relaxed_rounds, first_radius, nullptr);
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

  // A trust region: a step that makes the loss better is taken, and the region grows; one that does not shrinks it. `uses`: a point of
  // the core whose ingredients are kept; null: ingredients are used in part. Ends at at_, linearised there.
  void relaxed_rounds(int rounds, double most_radius, const std::vector<double>* uses) {
    const auto loss = [&](const Design& design) {
      std::array<double, gauge_count> gauges;
      return uses != nullptr ? true_loss(design, gauges) : smooth_loss(design);
    };
    double radius = most_radius;
    double now = loss(at_);
    for (int round = 0; round < rounds && radius > least_radius; ++round) {
      LinearCore core = builder_.build(line_, at_, radius);
      if (uses != nullptr) core = builder_.with_uses_of(std::move(core), *uses);
      const CoreAnswer answer = solve_relaxed(core);
      if (answer.value.empty()) return;
      const Design next = builder_.design_from(answer.value);
      const double then = loss(next);
      if (then < now - worth_a_step * (1.0 + now)) {
        move_to(next);
        now = then;
        radius = std::min(most_radius, 2.0 * radius);
      } else if (std::abs(then - now) <= worth_a_step * (1.0 + now)) {
        return;  // the linear core has nothing more to offer
      } else {
        radius *= 0.3;
      }
    }
  }

  // Ingredients, then amounts. A core around the best design so far says which ingredients promise most; their amounts are followed on
  // the true forecast before they are judged, since a promise from afar may be wrong either way; and a set once judged is shut out of
  // the next core. Ends when no other set promises to be better by more than the gap.
  void integer_rounds() {
    const Found here = found_at(at_);
    bool have = exactness_ == Exactness::counted;
    if (have) found_ = here;
    if (have && missed_scales(demands_, here, unknowns_) < 1e-3) return;
    Design centre = at_;
    Linearisation line_there = line_;
    double bound_of_judged = unlimited, promise = -unlimited;
    std::vector<std::vector<double>> judged;
    for (int round = 0; round < most_sets; ++round) {
      LinearCore core = builder_.counts_only(builder_.build(line_there, centre, set_radius));
      for (const std::vector<double>& value : judged) builder_.shut_out(core, value);
      const CoreAnswer master = solve_integer(core, 0.1 * wanted_gap, most_seconds_a_core, {});
      if (master.value.empty()) break;
      promise = master.bound;
      if (have && promise > found_.loss - gap_at(found_.loss)) break;
      at_ = builder_.design_from(master.value);
      move_to(at_);
      relaxed_rounds(most_rounds_a_set, set_radius, &master.value);
      const Found next = exactness_ == Exactness::counted ? found_at(at_) : weighed(master.value);
      judged.push_back(master.value);
      bound_of_judged = std::min(bound_of_judged, next.bound);
      if (!have || next.loss < found_.loss) {
        found_ = next;
        centre = at_;
        line_there = line_;
      }
      have = true;
      if (found_.loss <= promise + gap_at(found_.loss)) break;
    }
    if (!have) found_ = here;
    found_.bound = std::min({found_.loss, bound_of_judged, std::max(promise, 0.0)});
  }

  // The design at_ with its ingredients, in whole steps of the scale: by rounding, and where that costs too much by branching.
  Found weighed(const std::vector<double>& uses) {
    const LinearCore core = builder_.with_uses_of(builder_.build(line_, at_, step_radius), uses);
    const CoreAnswer loose = solve_relaxed(core);
    if (loose.value.empty()) return found_at(at_);
    Found best = found_at(at_);
    best.loss = unlimited;
    const auto consider = [&](const CoreAnswer& answer) {
      if (answer.value.empty()) return;
      const Found other = found_at(builder_.design_from(answer.value));
      if (other.loss < best.loss) best = other;
    };
    const CoreAnswer near = builder_.rounded(core, loose.value);
    consider(near);
    double bound = loose.objective;
    if (best.loss > bound + 0.5 * gap_at(best.loss)) {
      const CoreAnswer stepped = solve_integer(core, 0.2 * wanted_gap, most_seconds_a_core, near.value);
      consider(stepped);
      if (!stepped.value.empty()) bound = std::max(bound, stepped.bound);
    }
    if (best.loss == unlimited) best = found_at(at_);
    best.bound = std::min(bound, best.loss);
    return best;
  }

  // When demands are missed anyway, steps of a scale are worth less trouble.
  static double gap_at(double loss) { return (loss > loss_of_a_miss ? 4.0 : 1.0) * wanted_gap * loss + 1e-6; }

  Found found_at(const Design& design) const {
    Found found;
    found.design = design;
    found.loss = found.bound = true_loss(design, found.gauges);
    return found;
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

#include "compose/search.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "compose/core_builder.hpp"
#include "compose/first_guess.hpp"
#include "compose/last_steps.hpp"
#include "compose/shortlist.hpp"

namespace oddgrist::compose {
namespace {

constexpr int most_relaxed_rounds = 25;
constexpr int most_sparse_rounds = 8;
constexpr int most_rounds_a_set = 6;
constexpr int most_step_rounds = 8;
constexpr double nothing_to_gain = 2e-3;      // points: whole steps cost no more
constexpr double worth_kicking = 0.02;        // points
constexpr double worth_falling_better = 0.2;  // points
constexpr int most_from_the_start = 2;
constexpr int most_sets = 10, most_sets_counted = 3;
constexpr double worth_a_step = 1e-4;  // of the loss
constexpr double wanted_gap = 0.005;
constexpr int most_branches_a_core = 2000, most_branches_for_steps = 300, branches_to_prove = 1000;
// Trust regions, in ordinary changes of an amount (Demands::usual_kg).
constexpr double first_radius = 4.0, set_radius = 2.0, step_radius = 0.5, least_radius = 1e-3;

class Search {
 public:
  Search(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Fermentation& fermentation,
         Exactness exactness, double below = unlimited)
      : brief_(brief),
        unknowns_(unknowns),
        demands_(demands),
        fermentation_(fermentation),
        exactness_(exactness),
        below_(below - gap_at(below)),
        builder_(unknowns, demands, exactness) {}

  // The relaxation over everything. Ends at the design it likes best.
  const Design& relax(const Design& start) {
    move_to(start);
    relaxed_rounds();
    return at_;
  }
  // Then with the costs of use as if everything were used as much as it was last: what is used a little falls out.
  const Design& sparsen() {
    for (int round = 0; round < most_sparse_rounds; ++round) {
      const CoreAnswer answer = solve_flat(set_radius, sparse_costs());
      if (answer.value.empty()) break;
      const Design next = builder_.design_from(answer.value);
      const bool settled = same_uses(next, at_);
      move_to(next);
      if (settled) break;
    }
    return at_;
  }
  // Not even in part, and not even close by.
  [[nodiscard]] bool sees_no_way() const {
    const Demands alone = demands_alone(demands_);
    const std::vector<double> no_costs(unknowns_.variables.size(), 0.0);
    const LinearCore core = CoreBuilder(unknowns_, alone, exactness_).build_flat(line_, at_, first_radius, no_costs);
    return solve_relaxed(core).objective >= met_within_points;
  }
  // Of forcing in a kilogram of each variable, by the last relaxation.
  [[nodiscard]] std::vector<double> price_per_kg() const {
    std::vector<double> price(unknowns_.variables.size(), 0.0);
    for (std::size_t v = 0; v < price.size() && v < flat_price_.size(); ++v)
      price[v] = flat_price_[v] / unknowns_.variables[v].step_kg;
    return price;
  }

  // From a relaxed optimum to a recipe.
  Found settle(const Design& relaxed) {
    if (line_.per_kg[0].empty() || relaxed.amount_kg != at_.amount_kg) move_to(relaxed);
    integer_rounds();
    found_.linearisations = linearisations_;
    return found_;
  }

  // The ingredients of a design, their amounts followed.
  Found refit(const Design& design) {
    const std::vector<double> uses = builder_.uses_of(design);
    move_to(design);
    follow(uses);
    found_ = exactness_ != Exactness::weighable ? found_at(at_) : nearly_weighed(uses);
    found_.linearisations = linearisations_;
    return found_;
  }

  // With the ingredients of a design kept: what a little more room on each elastic would gain.
  std::vector<double> prices(const Design& design) {
    std::vector<double> price(demands_.elastics.size(), 0.0);
    move_to(design);
    LinearCore core = builder_.build(line_, at_, unlimited);
    builder_.keep_ingredients(core, design);
    const CoreAnswer answer = solve_relaxed(core);
    if (answer.row_price.empty()) return price;
    for (std::size_t e = 0; e < price.size(); ++e)
      price[e] = answer.row_price[builder_.first_elastic_row() + e] * demands_.elastics[e].price;
    return price;
  }
  [[nodiscard]] Found found_at(const Design& design) const {
    return judged(brief_, unknowns_, demands_, fermentation_, design);
  }
  [[nodiscard]] int linearisations() const { return linearisations_; }

 private:
  struct Centre {
    Design design;
    Linearisation line;
  };

  Judge judge() const {
    return [this](const Design& design) { return found_at(design); };
  }
  void move_to(const Design& design) {
    at_ = design;
    line_ = linearise(brief_, unknowns_, at_, fermentation_);
    ++linearisations_;
  }
  bool same_uses(const Design& one, const Design& other) const {
    for (std::size_t v = 0; v < one.amount_kg.size(); ++v) {
      if ((one.amount_kg[v] > 1e-9) != (other.amount_kg[v] > 1e-9)) return false;
    }
    return true;
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

  CoreAnswer solve_flat(double radius, const std::vector<double>& extra_per_kg) {
    CoreAnswer answer = solve_relaxed(builder_.build_flat(line_, at_, radius, extra_per_kg), flat_basis_);
    if (!answer.value.empty()) flat_basis_ = answer.basis, flat_price_ = answer.column_price;
    return answer;
  }

  // What using a thing at all costs, spread over an amount of it, per kg; `supply_kg` and `moment_kg`: the amounts.
  std::vector<double> spread_costs(const std::vector<double>& supply_kg, const std::vector<double>& moment_kg) const {
    std::vector<double> extra(unknowns_.variables.size(), 0.0);
    for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
      for (int v : unknowns_.variables_of_supply[s]) extra[v] += demands_.use_cost[s] / supply_kg[s];
    }
    for (const Moment& moment : demands_.moments) extra[moment.variable] += moment.cost / moment_kg[moment.variable];
    for (const Packets& packets : demands_.packets) {
      for (int v : unknowns_.variables_of_supply[packets.supply]) extra[v] += packets.cost / packets.packet_kg;
    }
    return extra;
  }
  std::vector<double> light_costs() const {
    std::vector<double> most(unknowns_.variables.size(), 1.0);
    for (std::size_t s = 0; s < unknowns_.supplies.size(); ++s) {
      for (int v : unknowns_.variables_of_supply[s]) most[v] = demands_.most_kg[s];
    }
    return spread_costs(demands_.most_kg, most);
  }
  std::vector<double> sparse_costs() const {
    std::vector<double> moment_kg(unknowns_.variables.size(), 1.0), supply_kg;
    const std::vector<double> ceiling = builder_.ceilings_kg(line_);
    for (const auto& variables : unknowns_.variables_of_supply) {
      double sum = 0.0, usual = 1e-4;
      for (int v : variables) {
        const double usual_here = std::max(1e-5, std::min(demands_.usual_kg[v], ceiling[v]));
        moment_kg[v] = at_.amount_kg[v] > 1e-9 ? std::max(at_.amount_kg[v], 0.02 * usual_here) : usual_here;
        usual = std::max(usual, usual_here);
        sum += at_.amount_kg[v];
      }
      supply_kg.push_back(sum > 1e-9 ? std::max(sum, 0.02 * usual) : usual);
    }
    return spread_costs(supply_kg, moment_kg);
  }

  // A trust region: a step that makes the loss better is taken, and the region grows; one that does not shrinks it.
  template <class Solve, class Loss>
  void rounds(int most, double most_radius, const Solve& solve, const Loss& loss) {
    double radius = most_radius;
    double now = loss(at_);
    for (int round = 0; round < most && radius > least_radius; ++round) {
      const CoreAnswer answer = solve(radius);
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
  void relaxed_rounds() {
    const std::vector<double> costs = light_costs();
    rounds(
        most_relaxed_rounds, first_radius, [&](double radius) { return solve_flat(radius, costs); },
        [&](const Design& design) { return smooth_loss(design); });
  }
  // The amounts of a choice of ingredients, followed on the true forecast.
  void follow(const std::vector<double>& uses) {
    std::vector<char> basis;
    rounds(
        most_rounds_a_set, set_radius,
        [&](double radius) {
          CoreAnswer answer = solve_relaxed(builder_.with_uses_of(builder_.build(line_, at_, radius), uses), basis);
          basis = answer.basis;
          return answer;
        },
        [&](const Design& design) { return found_at(design).loss; });
  }

  // Ingredients, then amounts.
  void integer_rounds() {
    const Found here = found_at(at_);
    const bool counted = exactness_ != Exactness::weighable;
    if (counted) found_ = here;
    if (counted && missed_scales(demands_, here, unknowns_) < 1e-3) return;
    const Choice choice = choose_ingredients(counted);
    if (!choice.made) found_ = here;
    found_.bound = std::min({found_.loss, choice.bound_of_judged, std::max(choice.promise, 0.0)});
    if (counted || (!choice.made && below_ < unlimited)) return;
    if (choice.to_weigh.empty()) {
      prove(choice.centre, choice.bound_of_judged);
      if (found_.loss < best_unrounded_ + worth_kicking) return;
    }
    const double bound = found_.bound;
    if (!choice.to_weigh.empty()) {
      move_to(found_.design);
      found_ = weighed(choice.to_weigh);
    }
    look_around(found_, unknowns_, demands_, judge(), choice.to_weigh.empty() ? choice.centre.line : line_, Kicks::yes);
    found_.bound = std::min(bound, found_.loss);
  }

  // A core around the best design so far says which ingredients promise most; their amounts are followed on the true forecast before they
  // are judged, since a promise from afar may be wrong either way; and a set once judged is shut out of the next core. Ends when no other
  // set promises to be better by more than the gap. Leaves the best in found_.
  struct Choice {
    bool made = false;
    Centre centre;                   // where it was found
    std::vector<double> to_weigh{};  // uses that miss their demands anyway, so that they were not weighed yet
    double bound_of_judged = unlimited;
    double promise = -unlimited;  // of what is left
  };
  Choice choose_ingredients(bool have) {
    const Centre start{at_, line_};
    Choice choice{have, start};
    bool nothing_here = false;
    int from_the_start = 0;
    double best_promise_kept = unlimited;
    std::vector<std::vector<double>> judged_uses;
    const int most = exactness_ != Exactness::weighable ? most_sets_counted : most_sets;
    for (int round = 0; round < most; ++round) {
      // A set whose amounts do not fall well on the scale is measured by what it came to, others may fall better.
      const bool falls_well = found_.loss < best_promise_kept + worth_falling_better;
      const double better =
          choice.made ? (falls_well ? best_promise_kept : found_.loss) - gap_at(found_.loss) : unlimited;
      const double good = std::min(better, below_);
      // Around the best so far; when nothing more is promised there, a few times around where the search began, which sees what the best
      // has left behind.
      CoreAnswer master;
      if (!nothing_here) master = most_promising(choice.centre, judged_uses, good);
      nothing_here = nothing_here || (round > 0 && master.value.empty());
      if (nothing_here && from_the_start++ < most_from_the_start) master = most_promising(start, judged_uses, good);
      if (master.bound > -unlimited) choice.promise = master.bound;
      if (master.value.empty()) break;
      move_to(builder_.design_from(master.value));
      follow(master.value);
      const double kept = followed_promise(master.value);
      Found next = found_at(at_);
      // What misses its demands anyway is weighed only if nothing better comes.
      const bool weigh = exactness_ == Exactness::weighable && next.loss < loss_of_a_miss;
      if (weigh) next = weighed(master.value);
      judged_uses.push_back(master.value);
      choice.bound_of_judged = std::min(choice.bound_of_judged, next.bound);
      if (!choice.made || next.loss < found_.loss) {
        found_ = next;
        choice.to_weigh = !weigh && exactness_ == Exactness::weighable ? master.value : std::vector<double>();
        best_promise_kept = kept;
        choice.centre = {at_, line_};
        nothing_here = false;
      }
      choice.made = true;
      if (exactness_ != Exactness::weighable && missed_scales(demands_, found_, unknowns_) < 1e-3) break;
    }
    return choice;
  }

  // The moments were left open when sets were weighed against each other. Once more with moments whole, for a moment: either
  // something better turns up, or the bound rises.
  void prove(const Centre& centre, double bound_of_judged) {
    const double good = found_.loss - gap_at(found_.loss);
    const LinearCore core = builder_.build(centre.line, centre.design, set_radius, Whole::moments);
    const CoreAnswer master = solve_integer(core, 0.1 * wanted_gap, branches_to_prove, {}, good);
    const double bound = std::max(found_.bound, std::min(master.bound, bound_of_judged));
    if (!master.value.empty()) {
      move_to(builder_.design_from(master.value));
      follow(master.value);
      const Found next = weighed(master.value);
      if (next.loss < found_.loss) found_ = next;
    }
    found_.bound = std::min(found_.loss, bound);
  }

  CoreAnswer most_promising(const Centre& centre, const std::vector<std::vector<double>>& judged, double below) const {
    LinearCore core = builder_.build(centre.line, centre.design, set_radius, Whole::uses);
    for (const std::vector<double>& value : judged) builder_.shut_out(core, value);
    const double gap = exactness_ == Exactness::weighable ? 0.1 * wanted_gap : 4.0 * wanted_gap;
    return solve_integer(core, gap, most_branches_a_core, {}, below);
  }

  // What the core at the followed design promises its ingredients, to be held against what it promises others.
  double followed_promise(const std::vector<double>& uses) const {
    return solve_relaxed(builder_.with_uses_of(builder_.build(line_, at_, set_radius), uses)).objective;
  }

  // The design at_ with its ingredients, in whole steps of the scale: by rounding, and where that costs too much by branching.
  Found weighed(const std::vector<double>& uses) {
    const CoreAnswer loose =
        solve_integer(builder_.with_uses_of(builder_.build(line_, at_, set_radius, Whole::moments), uses),
                      0.1 * wanted_gap, most_branches_a_core, {});
    if (loose.value.empty()) return found_at(at_);
    best_unrounded_ = std::min(best_unrounded_, loose.bound);
    move_to(builder_.design_from(loose.value));
    Found best = found_at(at_);
    best.loss = unlimited;
    double bound = loose.bound;
    double radius = step_radius;
    int idle = 0;
    for (int round = 0; round < most_step_rounds; ++round) {
      const LinearCore core = builder_.with_uses_of(builder_.build(line_, at_, radius), uses);
      const CoreAnswer whole = in_steps(core);
      if (whole.value.empty()) break;
      const Found next = found_at(builder_.design_from(whole.value));
      if (round == 0) bound = std::max(bound, whole.bound);
      if (next.loss > whole.objective + gap_at(next.loss)) radius *= 0.5;  // not as promised
      const bool better = next.loss < best.loss - gap_at(best.loss);
      if (next.loss < best.loss) best = next;
      idle = better ? 0 : idle + 1;
      // Just as promised, or the same core once more: another round would say the same.
      const bool as_promised =
          next.loss < loss_of_a_miss && std::abs(next.loss - whole.objective) < 0.1 * gap_at(next.loss);
      const bool settled = as_promised || next.design.amount_kg == at_.amount_kg;
      if (settled || idle == 2 || best.loss <= loose.bound + nothing_to_gain) break;
      move_to(next.design);
    }
    if (best.loss == unlimited) best = found_at(at_);
    look_around(best, unknowns_, demands_, judge(), line_, Kicks::no);
    best.bound = std::min(bound, best.loss);
    return best;
  }

  // The same without branching: rounded, then a look around. For when an answer is wanted before the next frame.
  Found nearly_weighed(const std::vector<double>& uses) {
    const LinearCore core = builder_.with_uses_of(builder_.build(line_, at_, step_radius), uses);
    const CoreAnswer loose = solve_relaxed(core);
    if (loose.value.empty()) return found_at(at_);
    const CoreAnswer near = builder_.rounded(core, loose.value);
    if (near.value.empty()) return weighed(uses);
    Found found = found_at(builder_.design_from(near.value));
    look_around(found, unknowns_, demands_, judge(), line_, Kicks::no);
    found.bound = std::min(found.loss, loose.objective);
    return found;
  }

  // Whole steps by rounding, and where that costs too much by branching.
  CoreAnswer in_steps(const LinearCore& core) const {
    CoreAnswer loose = solve_relaxed(core);
    if (loose.value.empty()) return loose;
    CoreAnswer near = builder_.rounded(core, loose.value);
    near.bound = loose.objective;
    if (!near.value.empty() && near.objective <= loose.objective + 0.5 * gap_at(near.objective)) return near;
    CoreAnswer stepped = solve_integer(core, 0.2 * gap_at(loose.objective) / std::max(loose.objective, 1e-9),
                                       most_branches_for_steps, near.value);
    return stepped.value.empty() ? near : stepped;
  }

  // When demands are missed anyway, steps of a scale are worth less trouble.
  static double gap_at(double loss) {
    if (loss == unlimited) return 0.0;
    return (loss > loss_of_a_miss ? 4.0 : 1.0) * wanted_gap * loss + 1e-6;
  }

  const Brief& brief_;
  const Unknowns& unknowns_;
  const Demands& demands_;
  const Fermentation& fermentation_;
  Exactness exactness_;
  double below_;  // what promises no less than this is not looked into
  CoreBuilder builder_;
  Design at_;
  Linearisation line_;
  Found found_;
  int linearisations_ = 0;
  double best_unrounded_ = unlimited;  // what the best set would lose if a scale had no steps
  std::vector<char> flat_basis_;
  std::vector<double> flat_price_;
};

}  // namespace

double Found::gap() const { return std::max(0.0, loss - bound) / std::max(std::abs(loss), 1e-9); }

Found search(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Fermentation& fermentation,
             Exactness exactness, const Design* start, double below) {
  Search whole(brief, unknowns, demands, fermentation, exactness, below);
  const Design relaxed = whole.relax(start != nullptr ? *start : first_guess(brief, unknowns));
  Found found;
  if (exactness == Exactness::asked && whole.sees_no_way()) {
    found = whole.found_at(relaxed);
  } else if (unknowns.supplies.size() <= shortlist_size) {
    found = whole.settle(relaxed);
  } else {
    const Design sparse = whole.sparsen();
    const std::vector<bool> keep = shortlist(unknowns, demands, sparse, whole.price_per_kg());
    const Shortened part = shortened(unknowns, demands, keep);
    found = Search(brief, part.unknowns, part.demands, fermentation, exactness, below).settle(part.narrowed(sparse));
    found.design = part.widened(found.design, unknowns.variables.size());
  }
  if (exactness == Exactness::weighable) found.elastic_price = whole.prices(found.design);
  found.linearisations += whole.linearisations();
  return found;
}

std::vector<bool> shortlist_for(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                const Fermentation& fermentation, const Design& start) {
  if (unknowns.supplies.size() <= shortlist_size) return std::vector<bool>(unknowns.supplies.size(), true);
  Search whole(brief, unknowns, demands, fermentation, Exactness::counted);
  whole.relax(start);
  const Design& sparse = whole.sparsen();
  std::vector<bool> keep = shortlist(unknowns, demands, sparse, whole.price_per_kg());
  for (std::size_t s = 0; s < keep.size(); ++s) keep[s] = keep[s] || is_used(start, unknowns, static_cast<int>(s));
  return keep;
}

Found refit(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Fermentation& fermentation,
            Exactness exactness, const Design& design) {
  const std::vector<bool> keep = [&] {
    std::vector<bool> used(unknowns.supplies.size());
    for (std::size_t s = 0; s < used.size(); ++s)
      used[s] = unknowns.supplies[s]->must.has_value() || is_used(design, unknowns, static_cast<int>(s));
    return used;
  }();
  const Shortened part = shortened(unknowns, demands, keep);
  Found found = Search(brief, part.unknowns, part.demands, fermentation, exactness).refit(part.narrowed(design));
  found.design = part.widened(found.design, unknowns.variables.size());
  return found;
}

Found judged(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Fermentation& fermentation,
             const Design& design) {
  Found found;
  found.design = design;
  found.gauges = gauges_of(forecast_of(brief, unknowns, design, fermentation));
  found.loss = found.bound = loss_of(demands, design, unknowns, found.gauges);
  return found;
}

std::vector<double> elastic_prices(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                   const Fermentation& fermentation, const Design& design) {
  return Search(brief, unknowns, demands, fermentation, Exactness::weighable).prices(design);
}

}  // namespace oddgrist::compose

#include "compose/alternatives.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "compose/cautions.hpp"
#include "compose/clash.hpp"
#include "compose/comparison.hpp"
#include "compose/poured.hpp"
#include "compose/twists.hpp"
#include "compose/yeast_choice.hpp"

namespace oddgrist::compose {
namespace {

using larder::IngredientKind;

constexpr double malt_share_a_step = 0.25, hop_share_a_step = 0.5, oddment_choice_steps = 1.0;
// Of a missed wish, where the first misses wishes as well.
constexpr double allowed_share_of_misses = 0.02;

struct Candidate {
  Found found;
  Fermentation fermentation;
  std::vector<Trait> traits;
  Recipe recipe;
};

// Shares of one group by ingredient; hops by ingredient and moment.
std::map<std::string, double> shares_of(const Proposal& proposal, Group group) {
  std::map<std::string, double> shares;
  double total = 0.0;
  for (const Addition& addition : proposal.additions) {
    if (group_of(addition.kind) != group) continue;
    std::string key = addition.ingredient_id;
    if (group == Group::hop)
      key += fmt::format("@{}:{:.0f}", static_cast<int>(addition.route), addition.minutes_before_boil_end);
    shares[key] += addition.amount.in(kilogram);
    total += addition.amount.in(kilogram);
  }
  for (auto& [key, kg] : shares) kg /= std::max(total, 1e-12);
  return shares;
}

// Half of what must be taken out and put in to turn one into the other: 0 alike, 1 nothing in common.
double share_changed(const std::map<std::string, double>& one, const std::map<std::string, double>& other) {
  double sum = 0.0;
  for (const auto& [key, share] : one) sum += std::abs(share - (other.contains(key) ? other.at(key) : 0.0));
  for (const auto& [key, share] : other) sum += one.contains(key) ? 0.0 : share;
  return 0.5 * sum;
}

std::vector<Addition> plain_additions(const Unknowns& unknowns, const Candidate& candidate) {
  std::vector<Addition> additions;
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v) {
    const Variable& variable = unknowns.variables[v];
    if (variable.supply < 0 || candidate.found.design.amount_kg[v] <= 1e-9) continue;
    const auto& ingredient = unknowns.supplies[variable.supply]->ingredient;
    const Port& port = unknowns.ports[variable.port];
    additions.push_back({ingredient.name, ingredient.id, ingredient.kind,
                         candidate.found.design.amount_kg[v] * kilogram, route_of(port), port.minutes_before_boil_end,
                         false});
  }
  if (candidate.fermentation.yeast != nullptr) {
    const auto& yeast = candidate.fermentation.yeast->ingredient;
    additions.push_back({yeast.name, yeast.id, yeast.kind, candidate.fermentation.pitched_kg * kilogram});
  }
  return additions;
}

class Chooser {
 public:
  Chooser(const Brief& brief, const Answer& answer, const AlternativeOptions& options)
      : brief_(brief),
        answer_(answer),
        options_(options),
        unknowns_(unknowns_of(brief)),
        demands_(demands_of(brief, unknowns_)) {}

  Alternatives run() {
    const Proposal& first = answer_.proposals.front();
    first_.fermentation = fermentation_of(brief_, first.recipe);
    first_.found.design = design_of(brief_, unknowns_, first.recipe, nullptr);
    first_.found.gauges = gauges_of(first.forecast);
    first_.found.loss = first.loss;
    line_ = linearise(brief_, unknowns_, first_.found.design, first_.fermentation);
    sketch(first_);
    result_.first = character_of(brief_, first);
    const double misses = missed_scales(demands_, first_.found, unknowns_);
    result_.allowance = options_.allowance;
    const double most_loss =
        first.loss + options_.allowance + (misses >= met_within_scales ? allowed_share_of_misses * first.loss : 0.0);
    for (Twist& twist : twists_of(brief_, unknowns_, demands_, first_.found, first_.fermentation))
      try_one(twist, misses, most_loss);
    choose();
    return std::move(result_);
  }

 private:
  void sketch(Candidate& candidate) const {
    const auto forecast =
        forecast_of(brief_, unknowns_, candidate.found.design, candidate.fermentation, process::Trace::on);
    double food_kg = 0.0;
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      if (unknowns_.supplies[s]->ingredient.kind == IngredientKind::food)
        food_kg += amount_of(unknowns_, candidate.found.design, s);
    }
    candidate.traits = traits_of(forecast, food_kg, "");
  }

  void try_one(const Twist& twist, double misses, double most_loss) {
    ++result_.tried;
    Candidate candidate;
    candidate.fermentation =
        twist.yeast == first_.fermentation.yeast ? first_.fermentation : ferment_with(brief_, twist.yeast);
    auto found = follow(brief_, unknowns_, twist, candidate.fermentation, first_.found.design, line_);
    if (!found) return;
    candidate.found = std::move(*found);
    pitch_for_the_wort(brief_, unknowns_, demands_, candidate.found, candidate.fermentation);
    if (candidate.fermentation.yeast == nullptr)
      candidate.found.loss = loss_of(demands_, candidate.found.design, unknowns_, candidate.found.gauges);
    if (missed_scales(demands_, candidate.found, unknowns_) > std::max(1.02 * misses, met_within_scales)) return;
    if (candidate.found.loss > most_loss) return;
    ++result_.kept_wishes;
    // What was proven of the twisted demands says nothing of the brief's; what was proven of the first recipe holds for all.
    candidate.found.bound = std::min(answer_.proposals.front().bound, candidate.found.loss);
    candidate.found.elastic_price.clear();
    sketch(candidate);
    candidates_.push_back(std::move(candidate));
  }

  struct Apart {
    double character = 0.0, ingredients = 0.0;
    [[nodiscard]] double both() const { return std::hypot(character, ingredients); }
    [[nodiscard]] double greater() const { return std::max(character, ingredients); }
  };
  Apart apart(const Candidate& one, const Candidate& other) const {
    Proposal a, b;
    a.additions = plain_additions(unknowns_, one);
    b.additions = plain_additions(unknowns_, other);
    return {steps_between(one.traits, other.traits), ingredient_steps_between(a, b)};
  }

  // Again and again the one that is farthest from all chosen so far; of two alike, the one found first.
  void choose() {
    std::vector<double> nearest(candidates_.size(), 1e9);
    std::vector<bool> differs(candidates_.size(), true);
    const auto judge = [&](const Candidate& chosen) {
      for (std::size_t c = 0; c < candidates_.size(); ++c) {
        const Apart distance = apart(candidates_[c], chosen);
        nearest[c] = std::min(nearest[c], distance.both());
        if (distance.greater() < options_.least_steps) differs[c] = false;
      }
    };
    judge(first_);
    while (static_cast<int>(result_.others.size()) < options_.most) {
      std::size_t best = candidates_.size();
      for (std::size_t c = 0; c < candidates_.size(); ++c) {
        if (differs[c] && (best == candidates_.size() || nearest[c] > nearest[best] + 1e-9)) best = c;
      }
      if (best == candidates_.size()) break;
      Alternative other = tell(candidates_[best]);
      if (!refuses(other.cautions)) result_.others.push_back(std::move(other));
      judge(candidates_[best]);
    }
  }

  Alternative tell(const Candidate& candidate) const {
    const Proposal& first = answer_.proposals.front();
    Alternative other;
    other.proposal = proposal_of(brief_, unknowns_, demands_, candidate.found, candidate.fermentation);
    other.character = character_of(brief_, other.proposal);
    other.points_more = candidate.found.loss - first.loss;
    other.character_steps = steps_between(result_.first.traits, other.character.traits);
    other.ingredient_steps = ingredient_steps_between(first, other.proposal);
    other.proposal.name = what_differs(first, result_.first.traits, other.proposal, other.character.traits);
    other.cautions = cautions_of_proposal(brief_, other.proposal);
    compare(brief_, first, other);
    return other;
  }

  const Brief& brief_;
  const Answer& answer_;
  const AlternativeOptions& options_;
  const Unknowns unknowns_;
  const Demands demands_;
  Candidate first_;
  Linearisation line_;  // at the first design
  std::vector<Candidate> candidates_;
  Alternatives result_;
};

}  // namespace

Alternatives alternatives_of(const Brief& brief, const Answer& answer, const AlternativeOptions& options) {
  if (answer.outcome == Outcome::refused || answer.proposals.empty()) return {};
  return Chooser(brief, answer, options).run();
}

double ingredient_steps_between(const Proposal& one, const Proposal& other) {
  const auto changed = [&](Group group) { return share_changed(shares_of(one, group), shares_of(other, group)); };
  const double malts = changed(Group::fermentable) / malt_share_a_step, hops = changed(Group::hop) / hop_share_a_step;
  const double yeast = names_in(one, Group::yeast) == names_in(other, Group::yeast) ? 0.0 : 1.0;
  const double foods = names_in(one, Group::food) == names_in(other, Group::food) ? 0.0 : oddment_choice_steps;
  return std::sqrt(malts * malts + hops * hops + yeast + foods * foods);
}

double cost_of(const Brief& brief, const Proposal& proposal) {
  double cost = 0.0;
  for (const auto* list : {&brief.given, &brief.have}) {
    for (const Supply& supply : *list) {
      double kg = 0.0;
      for (const Addition& addition : proposal.additions) {
        if (addition.ingredient_id == supply.ingredient.id) kg += addition.amount.in(kilogram);
      }
      if (supply.packet && !supply.amount && supply.packet->in(kilogram) > 0.0)
        kg = std::ceil(kg / supply.packet->in(kilogram)-1e-9) * supply.packet->in(kilogram);
      cost += supply.cost_per_kg * kg;
    }
  }
  return cost;
}

std::string why_so_few(const Alternatives& alternatives) {
  if (alternatives.others.size() >= 3 || alternatives.tried == 0) return {};
  if (alternatives.kept_wishes == 0)
    return fmt::format("None of the {} others tried comes near enough to the wishes.", alternatives.tried);
  return fmt::format(
      "Of {} others tried, {} kept the wishes as well; the rest of these differ too little to be worth a line. Wider "
      "wishes or more "
      "in the house would give more choice.",
      alternatives.tried, alternatives.kept_wishes);
}

}  // namespace oddgrist::compose

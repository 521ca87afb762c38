#include "compose/robust.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "compose/cautions.hpp"
#include "compose/clash.hpp"
#include "compose/design.hpp"
#include "compose/doubt.hpp"
#include "compose/doubt_inputs.hpp"
#include "compose/doubt_points.hpp"
#include "compose/elastic.hpp"
#include "compose/poured.hpp"
#include "compose/search.hpp"
#include "compose/yeast_choice.hpp"

namespace oddgrist::compose {
namespace {

// Every doubt any recipe of the brief can have, but for those of single weighings.
std::vector<std::string> doubt_names_of(const Brief& brief) {
  Doubtful every;
  every.usual.kit = brief.kit;
  add_method_doubts(every, true, true);
  add_kit_doubts(every);
  add_steeping_doubts(every);
  for (const auto* list : {&brief.given, &brief.have}) {
    for (const Supply& supply : *list) {
      add_doubts_of(every, supply.ingredient, 0);
      if (!supply.ingredient.yeast) continue;
      every.usual.yeast = *supply.ingredient.yeast;
      add_yeast_doubts(every, supply.ingredient);
    }
  }
  std::vector<std::string> names;
  for (const Doubt& doubt : every.doubts) names.push_back(doubt.name);
  return names;
}

// The same doubt, the same coordinate, whatever else is in the recipe. What the brief alone does not tell of comes behind.
Layout layout_of(const Brief& brief, const Doubtful& doubtful, unsigned sample) {
  std::vector<std::string> names = doubt_names_of(brief);
  Layout layout{{}, names.size(), sample};
  for (const Doubt& doubt : doubtful.doubts) {
    const auto found = std::find(names.begin(), names.end(), doubt.name);
    if (found == names.end()) {
      layout.places.push_back(layout.dimensions++);
    } else {
      layout.places.push_back(static_cast<std::size_t>(found - names.begin()));
      found->clear();  // a namesake takes the next
    }
  }
  return layout;
}

// What comes of a recipe on each of the days, one column a wish.
using Days = std::vector<std::vector<double>>;

Days days_of(const Brief& brief, const Proposal& proposal, int points, unsigned sample) {
  const Doubtful doubtful = doubtful_of(brief, proposal);
  const Layout layout = layout_of(brief, doubtful, sample);
  Days days(brief.wishes.size(), std::vector<double>(static_cast<std::size_t>(std::max(0, points))));
  over_points(points, 0, [&](const auto& next_stretch) {
    Rebrew rebrew(doubtful);
    Points places(doubtful.doubts, layout);
    while (const std::optional<Stretch> stretch = next_stretch()) {
      places.go_to(stretch->first);
      for (std::size_t point = stretch->first; point < stretch->end; ++point) {
        const auto gauges = gauges_of(rebrew.forecast(places.next()));
        for (std::size_t w = 0; w < days.size(); ++w)
          days[w][point] = gauges[static_cast<std::size_t>(brief.wishes[w].measure)];
      }
    }
  });
  return days;
}

Chance chance_in(const Brief& brief, const Days& days, int points) {
  Chance chance;
  chance.each.assign(brief.wishes.size(), 0.0);
  if (points < 1) return chance;
  for (std::size_t point = 0; point < static_cast<std::size_t>(points); ++point) {
    bool all = true;
    for (std::size_t w = 0; w < days.size(); ++w) {
      const bool inside = days[w][point] >= brief.wishes[w].low && days[w][point] <= brief.wishes[w].high;
      chance.each[w] += inside ? 1.0 : 0.0;
      all = all && inside;
    }
    chance.all += all ? 1.0 : 0.0;
  }
  chance.all /= points;
  for (double& each : chance.each) each /= points;
  return chance;
}

double mean_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (double value : values) sum += value;
  return values.empty() ? 0.0 : sum / static_cast<double>(values.size());
}

constexpr double price_of_aim = 30.0;  // of the price of an edge: more than any saving, less than a wish
constexpr int points_of_a_try = 512;
constexpr double least_gain_of_a_try = 0.002;
constexpr double price_of_anything_new = 1e4;  // a kg

// How much likelier one is than the other; where neither has a chance of everything, by the wishes one by one.
double gain_of(const Chance& from, const Chance& to) {
  constexpr double hopeless = 0.005;
  const double gain = to.all - from.all;
  if (gain != 0.0 || from.all > hopeless) return gain;
  return mean_of(to.each) - mean_of(from.each);
}

struct Candidate {
  Proposal proposal;
  Chance chance, again;  // in the first sample and in an independent one
};

class Steadying {
 public:
  Steadying(const Brief& brief, const Proposal& first, const SteadyOptions& options)
      : brief_(brief),
        options_(options),
        unknowns_(unknowns_of(brief)),
        demands_(demands_of(brief, unknowns_)),
        first_(judged(first)),
        best_(first_),
        missed_(missed_by(first)) {}

  void consider(const Proposal& proposal) {
    if (proposal.recipe == best_.proposal.recipe || missed_by(proposal) > missed_ + met_within_scales) return;
    const Candidate candidate = judged(proposal);
    const double over_first =
        std::min(gain_of(first_.chance, candidate.chance), gain_of(first_.again, candidate.again));
    const double over_best = std::min(gain_of(best_.chance, candidate.chance), gain_of(best_.again, candidate.again));
    if (over_first >= options_.least_gain && over_best > 0.0) best_ = candidate;
  }

  // Aims the best so far elsewhere within the wishes, with the same ingredients at the same moments: their amounts and the rest are
  // found as if any amount could be weighed, then rounded. A step of the scale is little beside what is not known.
  void aim(double share) {
    const Proposal from = best_.proposal;
    const Fermentation fermentation = fermentation_of(brief_, from.recipe);
    const Design start = design_of(brief_, unknowns_, from.recipe, nullptr);
    Demands aims = aimed_from(from, share);
    for (std::size_t v = 0; v < start.amount_kg.size(); ++v) {
      if (!(start.amount_kg[v] > 0.0)) aims.amount_cost[v] += price_of_anything_new;
    }
    Found found = search(brief_, unknowns_, aims, fermentation, Exactness::counted, &start);
    for (std::size_t v = 0; v < start.amount_kg.size(); ++v) {
      const double step_kg = unknowns_.variables[v].step_kg;
      found.design.amount_kg[v] = std::round(found.design.amount_kg[v] / step_kg) * step_kg;
    }
    consider(proposal_from(found.design, fermentation));
  }

  // Small changes one after the other - of one amount, of all amounts, of the rest - each kept if it makes the recipe likelier.
  void refine() {
    const Proposal from = best_.proposal;
    const Fermentation fermentation = fermentation_of(brief_, from.recipe);
    Design at = design_of(brief_, unknowns_, from.recipe, nullptr);
    const int points = std::min(options_.points, points_of_a_try);
    Chance chance = chance_of(brief_, from, points);
    for (const double share : {0.03, 0.03, 0.015}) {
      for (std::size_t v = 0; v < at.amount_kg.size() + 2; ++v) {
        for (const double change : {share, -share}) {
          const Design next = changed(at, v, change);
          if (next.amount_kg == at.amount_kg && next.rest_temperature_c == at.rest_temperature_c) continue;
          const Proposal proposal = proposal_from(next, fermentation);
          if (missed_by(proposal) > missed_ + met_within_scales) continue;
          ++tried_;
          const Chance then = chance_of(brief_, proposal, points);
          if (gain_of(chance, then) < least_gain_of_a_try) continue;
          at = next;
          chance = then;
          break;
        }
      }
    }
    consider(proposal_from(at, fermentation));
  }

  Steady result() const {
    const bool changed = !(best_.proposal.recipe == first_.proposal.recipe);
    return {best_.proposal, first_.chance, best_.chance, changed, tried_};
  }

 private:
  // The design with one variable changed by a share, or behind the variables all of them, or the rest by as many tenths of 10 K.
  Design changed(const Design& from, std::size_t what, double share) const {
    Design design = from;
    const std::size_t count = design.amount_kg.size();
    if (what > count) {
      design.rest_temperature_c =
          std::clamp(from.rest_temperature_c + 10.0 * share, demands_.rest_low_c, demands_.rest_high_c);
      return design;
    }
    for (std::size_t v = 0; v < count; ++v) {
      const Variable& variable = unknowns_.variables[v];
      const bool bound = variable.supply >= 0 && unknowns_.supplies[static_cast<std::size_t>(variable.supply)]->must;
      if (!(design.amount_kg[v] > 0.0) || (what == count ? bound : what != v)) continue;
      const double moved = std::max(variable.step_kg, std::abs(share) * design.amount_kg[v]);
      const double amount_kg = design.amount_kg[v] + std::copysign(moved, share);
      design.amount_kg[v] = std::max(variable.step_kg, std::round(amount_kg / variable.step_kg) * variable.step_kg);
    }
    return design;
  }

  // With the loss of the brief's own demands; its bound is that of the first, which holds for any recipe.
  Proposal proposal_from(const Design& design, Fermentation fermentation) const {
    Found found;
    found.design = design;
    found.gauges = gauges_of(forecast_of(brief_, unknowns_, design, fermentation));
    pitch_for_the_wort(brief_, unknowns_, demands_, found, fermentation);
    found.loss = loss_of(demands_, design, unknowns_, found.gauges);
    found.bound = std::min(first_.proposal.bound, found.loss);
    return proposal_of(brief_, unknowns_, demands_, found, fermentation);
  }

  Candidate judged(const Proposal& proposal) {
    ++tried_;
    return {proposal, chance_of(brief_, proposal, options_.points, 0), chance_of(brief_, proposal, options_.points, 1)};
  }

  double missed_by(const Proposal& proposal) const {
    Found found;
    found.design = design_of(brief_, unknowns_, proposal.recipe, nullptr);
    found.gauges = gauges_of(proposal.forecast);
    return missed_scales(demands_, found, unknowns_);
  }

  // The demands as they are, but for where within each wish the recipe is best: so far from its ends as the recipe's doubts reach on that
  // side, or a share of it. Where that leaves no room the aim is the point at which both sides are short by as much.
  Demands aimed_from(const Proposal& from, double share) const {
    Demands aimed = demands_;
    Days days = days_of(brief_, from, options_.points, 0);
    const auto gauges = gauges_of(from.forecast);
    for (std::size_t e = 0; e + 1 < aimed.elastics.size(); ++e) {
      const Elastic& demand = aimed.elastics[e];
      Elastic& edge = aimed.elastics[e + 1];
      if (demand.member < 0 || edge.member >= 0 || edge.gauge != demand.gauge) continue;
      const Member& member = aimed.members[static_cast<std::size_t>(demand.member)];
      if (member.kind != Member::Kind::wish) continue;
      const auto w = static_cast<std::size_t>(member.index);
      const double value = gauges[static_cast<std::size_t>(demand.gauge)];
      const double low = demand.low + share * (value - quantile_among(days[w], likely_low));
      const double high = demand.high - share * (quantile_among(days[w], likely_high) - value);
      const double middle = 0.5 * (low + high);
      edge.low = std::clamp(std::min(low, middle), demand.low, demand.high);
      edge.high = std::clamp(std::max(high, middle), demand.low, demand.high);
      if (low > high) edge.low = edge.high = std::clamp(middle, demand.low, demand.high);
      edge.price *= price_of_aim;
    }
    return aimed;
  }

  const Brief& brief_;
  const SteadyOptions& options_;
  Unknowns unknowns_;
  Demands demands_;
  int tried_ = 0;
  Candidate first_, best_;
  double missed_ = 0.0;
};

}  // namespace

Chance chance_of(const Brief& brief, const Proposal& proposal, int points, unsigned sample) {
  return chance_in(brief, days_of(brief, proposal, points, sample), points);
}

Steady steadiest(const Brief& brief, const Proposal& first, std::span<const Proposal> others,
                 const SteadyOptions& options) {
  Steadying steadying(brief, first, options);
  for (const Proposal& other : others) steadying.consider(other);
  if (brief.wishes.empty() || options.points < 1) return steadying.result();
  for (double share : {0.5, 1.0, 1.0}) steadying.aim(share);
  steadying.refine();
  return steadying.result();
}

Steady put_steadiest_first(const Brief& brief, Answer& answer, std::span<const Proposal> others) {
  Steady steady = steadiest(brief, answer.proposals.front(), others);
  if (!steady.changed) return steady;
  std::vector<Caution> cautions = cautions_of_proposal(brief, steady.proposal);
  if (refuses(cautions)) {
    steady.changed = false;
    return steady;
  }
  answer.proposals.front() = steady.proposal;
  answer.cautions = std::move(cautions);
  return steady;
}

}  // namespace oddgrist::compose

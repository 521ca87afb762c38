#include "compose/warm.hpp"

#include <algorithm>

#include "compose/cautions.hpp"
#include "compose/clash.hpp"
#include "compose/poured.hpp"
#include "compose/search.hpp"
#include "compose/yeast_choice.hpp"

namespace oddgrist::compose {
namespace {

constexpr int points_of_a_nudge = 64;  // ranges within 5 % of their width, until it settles

bool same_measures(const std::vector<Wish>& one, const std::vector<Wish>& other) {
  return std::equal(one.begin(), one.end(), other.begin(), other.end(),
                    [](const Wish& a, const Wish& b) { return a.measure == b.measure; });
}

}  // namespace

Warm::Warm(Brief brief) : brief_(std::move(brief)), unknowns_(unknowns_of(brief_)) { settle(); }

const Answer& Warm::settle() {
  answer_ = compose(brief_);
  settled_ = true;
  if (answer_.proposals.empty()) return answer_;
  const Recipe& recipe = answer_.proposals.front().recipe;
  design_ = design_of(brief_, unknowns_, recipe, nullptr);
  fermentation_ = ferment_with(brief_, nullptr);
  for (const Supply* yeast : yeasts_of(brief_)) {
    if (yeast->ingredient.id == recipe.yeast) fermentation_ = ferment_with(brief_, yeast);
  }
  return answer_;
}

const Answer& Warm::nudge(std::vector<Wish> wishes) {
  const bool same = same_measures(wishes, brief_.wishes);
  brief_.wishes = std::move(wishes);
  if (!same) unknowns_ = unknowns_of(brief_);
  if (!same || answer_.proposals.empty()) return settle();
  const Demands demands = demands_of(brief_, unknowns_);
  Found found = refit(brief_, unknowns_, demands, fermentation_, Exactness::weighable, design_);
  pitch_for_the_wort(brief_, unknowns_, demands, found, fermentation_);
  design_ = found.design;
  settled_ = false;
  answer_.proposals = {proposal_of(brief_, unknowns_, demands, found, fermentation_, points_of_a_nudge)};
  answer_.outcome = missed_scales(demands, found, unknowns_) < met_within_scales ? Outcome::met : Outcome::nearest;
  answer_.clashes.clear();
  answer_.cautions = cautions_of_proposal(brief_, answer_.proposals.front());
  return refuses(answer_.cautions) ? settle() : answer_;
}

}  // namespace oddgrist::compose

#include "compose/clash.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "compose/search.hpp"

namespace oddgrist::compose {
namespace {

// The demands with some members switched off (weight 0) or made cheap to miss.
Demands reweighted(const Demands& demands, const std::vector<double>& factor) {
  Demands result = demands;
  for (std::size_t m = 0; m < factor.size(); ++m) result.members[m].weight *= factor[m];
  for (Elastic& elastic : result.elastics) {
    if (elastic.member >= 0)
      elastic.price *= factor[elastic.member];
    else
      elastic.price *= 1e-3;  // preferences must not disturb a question about demands
  }
  return result;
}

double largest_miss(const Demands& demands, const Found& found, const Unknowns& unknowns, int member, bool& below) {
  double largest = 0.0;
  for (const Elastic& elastic : demands.elastics) {
    if (elastic.member != member) continue;
    const double miss = miss_of(elastic, found.design, unknowns, found.gauges);
    if (miss > largest) {
      largest = miss;
      below = value_of(elastic, found.design, unknowns, found.gauges) < elastic.low;
    }
  }
  return largest;
}

std::string change_words(const Brief& brief, const Unknowns& unknowns, const Member& member, double miss, bool below) {
  switch (member.kind) {
    case Member::Kind::wish: {
      const Wish& wish = brief.wishes[member.index];
      return fmt::format("let {} be {}", measure_name(wish.measure),
                         measure_words(wish.measure, below ? wish.low - miss : wish.high + miss));
    }
    case Member::Kind::must:
      return fmt::format("use {} {} of {}", mass_words(miss), below ? "less" : "more",
                         unknowns.supplies[member.index]->ingredient.name);
    case Member::Kind::stock:
      return fmt::format("get {} more of {}", mass_words(miss), unknowns.supplies[member.index]->ingredient.name);
    case Member::Kind::water: return fmt::format("get {:.3g} L more of {}", miss, brief.waters[member.index].name);
    case Member::Kind::kettle:
      return fmt::format("a kettle {:.3g} L larger", miss / (1.0 - brief.kit.kettle_headspace.in(ratio)));
    case Member::Kind::fermenter: return fmt::format("a fermenter {:.3g} L larger", miss / 0.85);
    case Member::Kind::most_malts: return fmt::format("allow {:.0f} more malt or grain", std::ceil(miss - 1e-6));
    case Member::Kind::most_hops: return fmt::format("allow {:.0f} more hop", std::ceil(miss - 1e-6));
    case Member::Kind::share:
      return fmt::format("let more of the grist be {} than usual", unknowns.supplies[member.index]->ingredient.name);
    case Member::Kind::enzymes: return "accept a grist short of enzymes (add a malt rich in them)";
    case Member::Kind::thickness: return "accept a thicker mash";
  }
  return "";
}

}  // namespace

std::vector<Clash> clashes_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                              const Fermentation& fermentation, const Design& nearest) {
  std::vector<double> factor(demands.members.size(), 1.0);
  // Every trial begins at the nearest recipe: what is dropped or loosened is never far from there.
  const auto try_with = [&](const Demands& trial) {
    return search(brief, unknowns, trial, fermentation, Exactness::counted, &nearest);
  };
  const auto can_be_met = [&] {
    const Demands trial = reweighted(demands, factor);
    return missed_scales(trial, try_with(trial), unknowns) < met_within_scales;
  };
  if (can_be_met()) return {};
  // Deletion filter: what can be left out while the rest still clashes is no part of the clash. Customs are tried first, so that
  // the set that remains names wishes and facts where it can.
  std::vector<int> order(factor.size());
  for (std::size_t m = 0; m < order.size(); ++m) order[m] = static_cast<int>(m);
  std::stable_sort(order.begin(), order.end(),
                   [&](int a, int b) { return demands.members[a].weight < demands.members[b].weight; });
  for (int m : order) {
    factor[m] = 0.0;
    if (can_be_met()) factor[m] = 1.0;
  }
  Clash clash;
  std::vector<std::string> cures;
  for (std::size_t m = 0; m < factor.size(); ++m) {
    if (factor[m] == 0.0) continue;
    clash.wishes.push_back(demands.members[m].words);
    std::vector<double> cheap = factor;
    cheap[m] = 1e-3;
    const Demands trial = reweighted(demands, cheap);
    bool below = false;
    const double miss = largest_miss(trial, try_with(trial), unknowns, static_cast<int>(m), below);
    if (miss > 0.0) cures.push_back(change_words(brief, unknowns, demands.members[m], miss, below));
  }
  for (const std::string& cure : cures)
    clash.least_change += (clash.least_change.empty() ? "any one of: " : "; or ") + cure;
  if (cures.size() == 1) clash.least_change = cures.front();
  return {clash};
}

}  // namespace oddgrist::compose

#include "compose/clash.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "compose/core_builder.hpp"
#include "compose/search.hpp"
#include "compose/shortlist.hpp"

namespace oddgrist::compose {
namespace {

constexpr double small = 0.02;
constexpr double cheap_weight =
    0.5;  // of a demand that may be missed: above every preference made small, below every other demand

// The demands with some members switched off (weight 0) or made cheap to miss.
Demands reweighted(const Demands& demands, const std::vector<double>& factor) {
  Demands result = demands;
  for (std::size_t m = 0; m < factor.size(); ++m) result.members[m].weight *= factor[m];
  for (Elastic& elastic : result.elastics) {
    if (elastic.member >= 0)
      elastic.price *= factor[elastic.member];
    else
      elastic.price *= small;  // preferences must not disturb a question about demands
  }
  // Nor must money and handiness; but a little of both keeps the search from straying.
  for (double& cost : result.use_cost) cost *= small;
  for (double& cost : result.amount_cost) cost *= small;
  for (Moment& moment : result.moments) moment.cost *= small;
  for (Packets& packets : result.packets) packets.cost *= small;
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

// Tries which demands of a set can stand together.
class Filter {
 public:
  Filter(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Fermentation& fermentation,
         const Design& nearest)
      : brief_(brief),
        unknowns_(unknowns),
        demands_(demands),
        fermentation_(fermentation),
        nearest_(nearest),
        line_(linearise(brief, unknowns, nearest, fermentation)),
        factor_(demands.members.size(), 1.0) {}

  // Begins at the nearest recipe, since what is dropped or loosened is seldom far from there; only where that fails, at a plain guess.
  [[nodiscard]] Found try_with(const std::vector<double>& factor) const {
    const Demands trial = reweighted(demands_, factor);
    Found found = search(brief_, unknowns_, trial, fermentation_, Exactness::counted, &nearest_);
    if (missed_scales(trial, found, unknowns_) < met_within_scales) return found;
    Found other = search(brief_, unknowns_, trial, fermentation_, Exactness::counted);
    return other.loss < found.loss ? other : found;
  }
  [[nodiscard]] bool can_be_met(const std::vector<double>& factor) const {
    return missed_scales(reweighted(demands_, factor), try_with(factor), unknowns_) < met_within_scales;
  }
  [[nodiscard]] bool can_be_met() const { return can_be_met(factor_); }
  // The recipe that misses a member of the set least and nothing else of it: refit from what the core says, the long way if that fails.
  [[nodiscard]] Found loosened(int member) const {
    std::vector<double> cheap = factor_;
    cheap[member] = cheap_weight / demands_.members[member].weight;
    const Demands trial = reweighted(demands_, cheap);
    if (const auto design = promised(trial, unlimited)) {
      const Found found = refit(brief_, unknowns_, trial, fermentation_, Exactness::counted, *design);
      Demands others = trial;
      others.members[member].weight = 0.0;
      if (missed_scales(others, found, unknowns_) < met_within_scales) return found;
    }
    return try_with(cheap);
  }
  // The same asked of one linear core: quick, and seldom wrong.
  [[nodiscard]] bool seems_possible() const {
    return promised(reweighted(demands_, factor_), met_within_points).has_value();
  }
  // The core's word, followed on the true forecast; the long way only where that disappoints.
  [[nodiscard]] bool is_possible() const {
    const Demands trial = reweighted(demands_, factor_);
    if (const auto design = promised(trial, met_within_points)) {
      const Found found = refit(brief_, unknowns_, trial, fermentation_, Exactness::counted, *design);
      if (missed_scales(trial, found, unknowns_) < met_within_scales) return true;
    }
    return can_be_met();
  }

  // Deletion filter: what can be left out while the rest still clashes is no part of the clash. In halves first, since most of a long
  // list can go at once; in the end every member left has been tried by itself. Customs are tried first, so that the set that remains
  // names wishes and facts where it can.
  template <class Possible>
  void filter(const Possible& possible, std::size_t longest) {
    std::vector<int> order;
    for (std::size_t m = 0; m < factor_.size(); ++m) {
      if (factor_[m] > 0.0) order.push_back(static_cast<int>(m));
    }
    std::stable_sort(order.begin(), order.end(),
                     [&](int a, int b) { return demands_.members[a].weight < demands_.members[b].weight; });
    for (std::size_t length = std::min(longest, std::bit_ceil(order.size()) / 2); length >= 1; length /= 2) {
      for (std::size_t first = 0; first < order.size();) {
        const std::size_t last = std::min(order.size(), first + length);
        set(order, first, last, 0.0);
        if (possible()) {
          set(order, first, last, 1.0);
          first = last;
        } else {
          order.erase(order.begin() + static_cast<std::ptrdiff_t>(first),
                      order.begin() + static_cast<std::ptrdiff_t>(last));
        }
      }
    }
  }

  // Empty: everything can be met.
  [[nodiscard]] std::vector<double> smallest() {
    if (can_be_met()) return {};
    filter([&] { return seems_possible(); }, factor_.size());
    // The core's word is not enough: the set must clash in the true forecast, and nothing in it be idle.
    if (can_be_met()) {
      std::fill(factor_.begin(), factor_.end(), 1.0);
      filter([&] { return can_be_met(); }, factor_.size());
    } else {
      filter([&] { return is_possible(); }, 1);
    }
    return factor_;
  }

 private:
  static constexpr double core_radius = 4.0;        // ordinary changes of an amount
  static constexpr double met_within_points = 1.0;  // the least weight at met_within_scales, and some preferences

  [[nodiscard]] std::optional<Design> promised(const Demands& trial, double below) const {
    const CoreBuilder builder(unknowns_, trial, Exactness::counted);
    const LinearCore core = builder.uses_only(builder.build(line_, nearest_, core_radius));
    const CoreAnswer answer = solve_integer(core, below < unlimited ? 1.0 : 0.01, 0.5, {}, below);
    if (answer.value.empty()) return std::nullopt;
    return builder.design_from(answer.value);
  }
  void set(const std::vector<int>& order, std::size_t first, std::size_t last, double value) {
    for (std::size_t i = first; i < last; ++i) factor_[order[i]] = value;
  }

  const Brief& brief_;
  const Unknowns& unknowns_;
  const Demands& demands_;
  const Fermentation& fermentation_;
  const Design& nearest_;
  Linearisation line_;
  std::vector<double> factor_;
};

// In the words of the brief, each member with the least change that would cure the clash.
Clash clash_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Filter& filter,
               const std::vector<double>& factor) {
  Clash clash;
  std::vector<std::string> cures;
  for (std::size_t m = 0; m < factor.size(); ++m) {
    if (factor[m] == 0.0) continue;
    clash.wishes.push_back(demands.members[m].words);
    bool below = false;
    const double miss =
        largest_miss(demands, filter.loosened(static_cast<int>(m)), unknowns, static_cast<int>(m), below);
    if (miss > 0.01 * demands.members[m].scale)
      cures.push_back(change_words(brief, unknowns, demands.members[m], miss, below));
  }
  for (const std::string& cure : cures)
    clash.least_change += (clash.least_change.empty() ? "any one of: " : "; or ") + cure;
  if (cures.size() == 1) clash.least_change = cures.front();
  return clash;
}

}  // namespace

std::vector<Clash> clashes_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                              const Fermentation& fermentation, const Design& nearest) {
  const std::vector<bool> keep = shortlist_for(brief, unknowns, demands, fermentation, nearest);
  if (std::find(keep.begin(), keep.end(), false) != keep.end()) {
    // What clashes on the shortlist clashes in the whole larder if the search says so once more; and what cures it there cures it here.
    const Shortened part = shortened(unknowns, demands, keep);
    const Design narrowed = part.narrowed(nearest);
    Filter filter(brief, part.unknowns, part.demands, fermentation, narrowed);
    const std::vector<double> factor = filter.smallest();
    if (!factor.empty() && !Filter(brief, unknowns, demands, fermentation, nearest).can_be_met(factor))
      return {clash_of(brief, part.unknowns, part.demands, filter, factor)};
  }
  Filter filter(brief, unknowns, demands, fermentation, nearest);
  const std::vector<double> factor = filter.smallest();
  if (factor.empty()) return {};
  return {clash_of(brief, unknowns, demands, filter, factor)};
}

}  // namespace oddgrist::compose

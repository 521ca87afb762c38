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
    const bool is_mash_ph = elastic.gauge == static_cast<int>(Gauge::mash_ph);
    if (elastic.member >= 0 && is_mash_ph && factor[elastic.member] == 0.0) result.least_grist_kg = 0.0;
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

using Unit = std::vector<int>;  // members

// More stocks than this are no longer named one by one: the house as a whole holds too little.
constexpr std::size_t most_stocks_named = 8;

Unit stocks(const Demands& demands, const std::vector<double>& factor) {
  Unit house;
  for (std::size_t m = 0; m < factor.size(); ++m) {
    if (factor[m] > 0.0 && demands.members[m].kind == Member::Kind::stock) house.push_back(static_cast<int>(m));
  }
  return house;
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
        factor_(demands.members.size(), 1.0) {
    look_from(nearest);
  }

  // One more place where the forecast is made linear.
  void look_from(const Design& design) {
    views_.push_back({design, linearise(brief_, unknowns_, design, fermentation_)});
  }

  // Begins at the nearest recipe, since what is dropped or loosened is seldom far from there; where that fails, at a plain guess, and at
  // much more and much less of everything.
  [[nodiscard]] Found try_with(const std::vector<double>& factor, Exactness exactness = Exactness::asked) const {
    const Demands trial = reweighted(demands_, factor);
    const Design more = scaled(3.0), less = scaled(1.0 / 3.0);
    std::vector<const Design*> starts = {&nearest_, nullptr};
    if (exactness == Exactness::asked) starts.insert(starts.end(), {&more, &less});
    Found best;
    best.loss = unlimited;
    for (const Design* start : starts) {
      Found found = search(brief_, unknowns_, trial, fermentation_, exactness, start);
      const bool met = missed_scales(trial, found, unknowns_) < met_within_scales;
      if (met || found.loss < best.loss) best = std::move(found);
      if (met) break;
    }
    return best;
  }
  [[nodiscard]] Demands asked(const std::vector<double>& factor) const { return reweighted(demands_, factor); }
  [[nodiscard]] bool can_be_met() const {
    return missed_scales(asked(factor_), try_with(factor_), unknowns_) < met_within_scales;
  }
  // The recipe that misses some members of the set least and nothing else of it: refit from what a core says, the long way if that fails.
  [[nodiscard]] Found loosened(const Unit& unit) const {
    std::vector<double> cheap = factor_;
    for (int m : unit) cheap[m] = cheap_weight / demands_.members[m].weight;
    const Demands trial = reweighted(demands_, cheap);
    Demands others = trial;
    for (int m : unit) others.members[m].weight = 0.0;
    for (const View& view : views_) {
      const auto design = promised(trial, view, unlimited);
      if (!design) continue;
      Found found = refit(brief_, unknowns_, trial, fermentation_, Exactness::counted, *design);
      if (missed_scales(others, found, unknowns_) < met_within_scales) return found;
    }
    return try_with(cheap, Exactness::counted);
  }
  // The same asked of linear cores alone: quick, and seldom wrong.
  [[nodiscard]] bool seems_possible() const {
    const Demands trial = demands_alone(reweighted(demands_, factor_));
    return std::any_of(views_.begin(), views_.end(),
                       [&](const View& view) { return promised(trial, view, met_within_points).has_value(); });
  }
  // A core's word, followed on the true forecast; the long way only where that disappoints.
  [[nodiscard]] bool is_possible() {
    const Demands trial = reweighted(demands_, factor_), alone = demands_alone(trial);
    for (const View& view : views_) {
      const auto design = promised(alone, view, met_within_points);
      if (!design) continue;
      const Found found = refit(brief_, unknowns_, trial, fermentation_, Exactness::counted, *design);
      if (missed_scales(trial, found, unknowns_) < met_within_scales) return true;
    }
    const Found found = try_with(factor_);
    if (missed_scales(trial, found, unknowns_) >= met_within_scales) return false;
    look_from(found.design);
    return true;
  }

  // Deletion filter: what can be left out while the rest still clashes is no part of the clash. In halves first, since most of a long
  // list can go at once; in the end every unit left has been tried by itself. False, and nothing done, if more than `most` are needed.
  template <class Possible>
  bool filter(const Possible& possible, std::vector<Unit> units, std::size_t longest,
              std::size_t most = ~std::size_t{0}) {
    const std::vector<double> before = factor_;
    for (std::size_t length = std::min(longest, std::bit_ceil(units.size()) / 2); length >= 1; length /= 2) {
      std::size_t needed = 0;
      for (std::size_t first = 0; first < units.size();) {
        const std::size_t last = std::min(units.size(), first + length);
        set(units, first, last, 0.0);
        if (possible()) {
          set(units, first, last, 1.0);
          first = last;
          if (++needed > most) {
            factor_ = before;
            return false;
          }
        } else {
          units.erase(units.begin() + static_cast<std::ptrdiff_t>(first),
                      units.begin() + static_cast<std::ptrdiff_t>(last));
        }
      }
    }
    return true;
  }
  // What is left out together. Customs come first, so that the set that remains names wishes and facts where it can.
  [[nodiscard]] std::vector<Unit> units() const {
    std::vector<int> members;
    for (std::size_t m = 0; m < factor_.size(); ++m) {
      if (factor_[m] > 0.0) members.push_back(static_cast<int>(m));
    }
    std::stable_sort(members.begin(), members.end(),
                     [&](int a, int b) { return demands_.members[a].weight < demands_.members[b].weight; });
    const Unit house = stocks(demands_, factor_);
    std::vector<Unit> units;
    for (int m : members) {
      if (house.size() <= most_stocks_named || demands_.members[m].kind != Member::Kind::stock) units.push_back({m});
    }
    if (house.size() > most_stocks_named) units.push_back(house);
    return units;
  }
  template <class Possible>
  void filter(const Possible& possible) {
    filter(possible, units(), factor_.size());
    const Unit house = stocks(demands_, factor_);
    if (house.size() <= most_stocks_named) return;
    std::vector<Unit> each;
    for (int m : house) each.push_back({m});
    filter(possible, each, factor_.size(), most_stocks_named);
  }

  // The last word on a set: with all the time a search takes. A recipe that meets it is kept in view.
  [[nodiscard]] bool is_met_after_all() {
    for (Exactness exactness : {Exactness::asked, Exactness::counted}) {
      const Found found = try_with(factor_, exactness);
      if (missed_scales(asked(factor_), found, unknowns_) >= met_within_scales) continue;
      look_from(found.design);
      return true;
    }
    return false;
  }

  // Empty: everything can be met. What the cores take for a clash must clash in the true forecast; if it does not, the recipe that meets it
  // is one more place to look from.
  [[nodiscard]] std::vector<double> smallest() {
    if (can_be_met()) return {};
    for (int round = 0; round < most_rounds; ++round) {
      std::fill(factor_.begin(), factor_.end(), 1.0);
      filter([&] { return seems_possible(); });
      if (is_met_after_all()) continue;
      const std::vector<double> before = factor_;
      filter([&] { return is_possible(); }, units(), 1);  // and nothing in it be idle
      if (factor_ == before || !is_met_after_all()) return factor_;
    }
    std::fill(factor_.begin(), factor_.end(), 1.0);
    filter([&] { return is_possible(); });
    return factor_;
  }

 private:
  static constexpr double core_radius = 4.0;  // ordinary changes of an amount
  static constexpr int most_rounds = 8;
  static constexpr int most_branches = 600;

  // Where the forecast has been made linear.
  struct View {
    Design design;
    Linearisation line;
  };

  // The nearest recipe with so many times of everything that was not given.
  [[nodiscard]] Design scaled(double times) const {
    Design design = nearest_;
    for (std::size_t v = 0; v < design.amount_kg.size(); ++v) {
      const int supply = unknowns_.variables[v].supply;
      if (supply < 0 || !unknowns_.supplies[supply]->must) design.amount_kg[v] *= times;
    }
    return design;
  }
  // The design of a core that promises to miss by less than `below`. First what the relaxation uses is tried as it is; to choose between
  // ingredients is only needed where they are counted.
  [[nodiscard]] std::optional<Design> promised(const Demands& trial, const View& view, double below) const {
    const CoreBuilder builder(unknowns_, trial, Exactness::counted);
    const LinearCore core = builder.build(view.line, view.design, core_radius, Whole::uses);
    if (below < unlimited) {
      const CoreAnswer loose = solve_relaxed(core);
      if (loose.value.empty() || loose.objective >= below) return std::nullopt;
      const std::vector<double> uses = builder.uses_of(builder.design_from(loose.value));
      const CoreAnswer near = solve_relaxed(builder.with_uses_of(core, uses));
      if (!near.value.empty() && near.objective < below) return builder.design_from(near.value);
    }
    const CoreAnswer answer = solve_integer(core, below < unlimited ? 1.0 : 0.01, most_branches, {}, below);
    if (answer.value.empty()) return std::nullopt;
    return builder.design_from(answer.value);
  }
  void set(const std::vector<Unit>& units, std::size_t first, std::size_t last, double value) {
    for (std::size_t i = first; i < last; ++i) {
      for (int m : units[i]) factor_[m] = value;
    }
  }

  const Brief& brief_;
  const Unknowns& unknowns_;
  const Demands& demands_;
  const Fermentation& fermentation_;
  const Design& nearest_;
  std::vector<View> views_;
  std::vector<double> factor_;
};

// What to fetch if the house as a whole holds too little: of what is missed most, by weight.
std::string fetch_words(const Unknowns& unknowns, const Demands& demands, const Found& found, const Unit& house) {
  constexpr std::size_t most_named = 3;
  constexpr double share_worth_naming = 0.1;
  std::vector<std::pair<double, int>> missing;
  for (int m : house) {
    bool below = false;
    const double miss_kg = largest_miss(demands, found, unknowns, m, below);
    if (miss_kg > 0.01 * demands.members[m].scale) missing.emplace_back(miss_kg, m);
  }
  std::sort(missing.rbegin(), missing.rend());
  std::string words;
  for (std::size_t i = 0; i < std::min(most_named, missing.size()); ++i) {
    if (missing[i].first < share_worth_naming * missing.front().first) break;
    const Supply& supply = *unknowns.supplies[demands.members[missing[i].second].index];
    words +=
        fmt::format("{}{} more of {}", i == 0 ? "get " : " and ", mass_words(missing[i].first), supply.ingredient.name);
  }
  return words;
}

// In the words of the brief, each member with the least change that would cure the clash.
Clash clash_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands, const Filter& filter,
               const std::vector<double>& factor) {
  Clash clash;
  std::vector<std::string> cures;
  const Unit house = stocks(demands, factor);
  const bool as_a_whole = house.size() > most_stocks_named;
  for (std::size_t m = 0; m < factor.size(); ++m) {
    const Member& member = demands.members[m];
    if (factor[m] == 0.0 || (as_a_whole && member.kind == Member::Kind::stock)) continue;
    clash.wishes.push_back(member.words);
    bool below = false;
    const int here = static_cast<int>(m);
    const double miss = largest_miss(demands, filter.loosened({here}), unknowns, here, below);
    if (miss > 0.01 * member.scale) cures.push_back(change_words(brief, unknowns, member, miss, below));
  }
  if (as_a_whole) {
    clash.wishes.push_back(
        fmt::format("no more of anything than there is in the house ({} ingredients)", house.size()));
    const std::string words = fetch_words(unknowns, demands, filter.loosened(house), house);
    if (!words.empty()) cures.push_back(words);
  }
  for (const std::string& cure : cures)
    clash.least_change += (clash.least_change.empty() ? "any one of: " : "; or ") + cure;
  if (cures.size() == 1) clash.least_change = cures.front();
  return clash;
}

}  // namespace

// In a large larder, of the ingredients that matter. What clashes among them must clash in the whole larder too; if it does not, what meets
// it there matters as well, and is one more place to look from. After a few rounds of that none is named, rather than a wrong one.
std::vector<Clash> clashes_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                              const Fermentation& fermentation, const Design& nearest) {
  constexpr int most_rounds = 12;
  std::vector<bool> keep = shortlist_for(brief, unknowns, demands, fermentation, nearest);
  std::vector<Design> seen;
  for (int round = 0; round < most_rounds; ++round) {
    const Shortened part = shortened(unknowns, demands, keep);
    const Design narrowed = part.narrowed(nearest);
    Filter filter(brief, part.unknowns, part.demands, fermentation, narrowed);
    for (const Design& design : seen) filter.look_from(part.narrowed(design));
    const std::vector<double> factor = filter.smallest();
    if (factor.empty()) return {};
    if (std::find(keep.begin(), keep.end(), false) != keep.end()) {
      const Filter whole(brief, unknowns, demands, fermentation, nearest);
      const Found found = whole.try_with(factor);
      if (missed_scales(whole.asked(factor), found, unknowns) < met_within_scales) {
        seen.push_back(found.design);
        for (std::size_t s = 0; s < keep.size(); ++s)
          keep[s] = keep[s] || is_used(found.design, unknowns, static_cast<int>(s));
        continue;
      }
    }
    return {clash_of(brief, part.unknowns, part.demands, filter, factor)};
  }
  return {};
}

}  // namespace oddgrist::compose

// The recipes next to a recipe, counted by hand from what it uses.
#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "compose/neighbours.hpp"
#include "compose/yeast_choice.hpp"
#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

struct House {
  Brief brief = sample::harvest();
  Unknowns unknowns = unknowns_of(brief);
  Demands demands = demands_of(brief, unknowns);
  Fermentation fermentation = ferment_with(brief, yeasts_of(brief).front());
  Judge judge = [this](const Design& design) { return judged(brief, unknowns, demands, fermentation, design); };

  [[nodiscard]] int supply(const std::string& name) const {
    const std::string id = larder::catalogue().find(name)->id;
    for (std::size_t s = 0; s < unknowns.supplies.size(); ++s) {
      if (unknowns.supplies[s]->ingredient.id == id) return static_cast<int>(s);
    }
    return -1;
  }
  void use(Design& design, const std::string& name, std::size_t moment, double kg) const {
    design.amount_kg[unknowns.variables_of_supply[supply(name)][moment]] = kg;
  }
  // 12 L of water, the parcel, and two malts and one hop of the house.
  [[nodiscard]] Found plain() const {
    Design design;
    design.amount_kg.assign(unknowns.variables.size(), 0.0);
    for (std::size_t v = 0; v < unknowns.variables.size() && unknowns.variables[v].supply < 0; ++v)
      design.amount_kg[v] = 7.0;
    use(design, "smoked wheat malt", 0, 0.35);
    use(design, "home-dried hops", 0, 0.045);
    use(design, "pale ale malt", 0, 1.5);
    use(design, "light Munich malt", 0, 0.5);
    use(design, "Northern Brewer", 1, 0.01);
    return judge(design);
  }
};

TEST(Neighbours, OneInsteadOfOneOrTwo) {
  const House house;
  const Found found = house.plain();
  const Linearisation line = linearise(house.brief, house.unknowns, found.design, house.fermentation);
  const auto instead = with_one_instead(found, house.unknowns, line, house.judge);
  // Three malts of the house are not used, and each may stand in for the pale malt, the Munich malt, or both. No other hop is in the house.
  ASSERT_EQ(instead.size(), 9u);
  int of_both = 0;
  for (const Found& next : instead) {
    int gone = 0, come = 0;
    for (int s = 0; s < static_cast<int>(house.unknowns.supplies.size()); ++s) {
      const bool before = is_used(found.design, house.unknowns, s), now = is_used(next.design, house.unknowns, s);
      gone += before && !now ? 1 : 0;
      come += !before && now ? 1 : 0;
    }
    EXPECT_EQ(come, 1);
    EXPECT_TRUE(gone == 1 || gone == 2);
    of_both += gone == 2 ? 1 : 0;
    EXPECT_TRUE(is_used(next.design, house.unknowns, house.supply("smoked wheat malt")));
    EXPECT_TRUE(is_used(next.design, house.unknowns, house.supply("home-dried hops")));
    // The newcomer brings the gravity of what it replaces: by slopes, so nearly.
    const int gravity = static_cast<int>(Gauge::original_gravity);
    EXPECT_NEAR(next.gauges[gravity], found.gauges[gravity], 0.002);
    EXPECT_EQ(next.loss, house.judge(next.design).loss);
  }
  EXPECT_EQ(of_both, 3);
  EXPECT_TRUE(
      std::is_sorted(instead.begin(), instead.end(), [](const Found& a, const Found& b) { return a.loss < b.loss; }));
}

TEST(Neighbours, OneFewerLeavesWhatWasGiven) {
  const House house;
  const auto fewer = with_one_fewer(house.plain().design, house.unknowns);
  ASSERT_EQ(fewer.size(), 3u);  // without the pale malt, the Munich malt, the hop
  for (const Design& design : fewer) {
    EXPECT_TRUE(is_used(design, house.unknowns, house.supply("smoked wheat malt")));
    EXPECT_TRUE(is_used(design, house.unknowns, house.supply("home-dried hops")));
  }
}

// Far too weak: more of a malt gains, more hops do not.
TEST(Neighbours, OneMoreGains) {
  const House house;
  const Found found = house.plain();
  const auto more = with_one_more(found, house.unknowns, house.demands, house.judge);
  ASSERT_FALSE(more.empty());
  for (const Found& next : more) EXPECT_LT(next.loss, found.loss);
  EXPECT_TRUE(is_used(more.front().design, house.unknowns, house.supply("wheat malt")));
}

}  // namespace
}  // namespace oddgrist::compose

// How much of the doubt would be gone if some inputs were known exactly, and so what a brewer had best measure.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "compose/doubt.hpp"

namespace oddgrist::compose {

// Shares of an upshot's variance that belong to a group of inputs, without any straight lines assumed. `first`: what is gone, on
// average, once the group is known. `total`: what is left when all the others are known. Both are 0 where nothing moves the upshot.
struct Indices {
  Upshots first{}, total{};
};

// Variance of each upshot, and the indices of each group, from points x (groups + 2) forecasts. Jansen's estimators (Comput. Phys.
// Commun. 117:35, 1999; Saltelli et al., Comput. Phys. Commun. 181:259, 2010, table 2): A and B are independent points, C is A with
// the group's inputs of B; 1 - first = E[(f(B) - f(C))^2] / 2V, total = E[(f(A) - f(C))^2] / 2V. The same whatever the threads.
struct Shares {
  Upshots variance{};
  std::vector<Indices> groups;
};
inline constexpr int index_points = 512;
[[nodiscard]] Shares shares_of(const Doubtful& doubtful, std::span<const std::vector<std::size_t>> groups,
                               int points = index_points, int threads = 0);

// What a brewer can do to know an input better.
enum class Gauging {
  hydrometer_before_boil,
  plain_water_boiled,
  jug_after_transfer,
  thermometer_in_ice,
  glass_fermented_out,
  meter_in_mash,
  water_drop_test,
  malt_analysis,
  spoon_in_water,
  colour_in_glass,
  hop_analysis,
  beer_analysis,
  liquor_strained,
  scale_checked,
  water_weighed,
  finer_scale,
  warmest_noted,
  lees_measured,
};

struct Measuring {
  Gauging by = Gauging::hydrometer_before_boil;
  std::string of;                   // the ingredient, if it is about one
  std::vector<std::size_t> doubts;  // what it tells; places in Doubtful::doubts
  Upshots narrowing{};  // of each likely range: the share of its width that goes if all of these were known exactly
  double worth = 0.0;   // narrowing of what was wished, in half-ranges of the wishes, by their weights
};

// Those that narrow anything wished, the one worth most first. `intervals`: the likely ranges. What cannot be measured is not among them.
[[nodiscard]] std::vector<Measuring> measurings_of(const Brief& brief, const Doubtful& doubtful,
                                                   std::span<const Estimate, upshot_count> intervals,
                                                   int points = index_points);

}  // namespace oddgrist::compose

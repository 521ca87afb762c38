// What brewers keep to (larder/practice.hpp), as demands on a design: hard rows are demands that nothing outweighs, soft ones and what is
// assumed are preferences that any wish outweighs.
#pragma once

#include <string>
#include <vector>

#include "compose/elastic.hpp"
#include "compose/proposal.hpp"
#include "larder/practice.hpp"

namespace oddgrist::compose {

// A range taken for granted because the brief wishes nothing there.
struct AssumedWish {
  Measure measure = Measure::alcohol;
  double low = 0.0, high = 0.0;
  const larder::PracticeRow* row = nullptr;
};
[[nodiscard]] std::vector<AssumedWish> assumed_wishes_of(const Brief& brief);

// What the brief comes to in rough figures, wished or assumed.
struct Intent {
  double volume_l = 10.0, most_volume_l = 10.0, gravity_sg = 1.050;
};
[[nodiscard]] Intent intent_of(const Brief& brief);

void add_practice(const Brief& brief, const Unknowns& unknowns, Demands& demands);

// Soft rows the design leaves, and what that means.
[[nodiscard]] std::vector<Departure> departures_of(const Demands& demands, const Design& design,
                                                   const std::array<double, gauge_count>& gauges);
// Hard rows the design breaks, in words; empty for anything that can be brewed.
[[nodiscard]] std::vector<std::string> broken_limits(const Demands& demands, const Unknowns& unknowns,
                                                     const Design& design,
                                                     const std::array<double, gauge_count>& gauges);

}  // namespace oddgrist::compose

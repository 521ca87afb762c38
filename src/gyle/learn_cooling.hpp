// How long a kit takes from flame-out (or the end of a hot stand) to cold: learned from temperatures read on the way. It has no part in the
// joint belief of learn.hpp, since no other reading tells of it, and the forecast counts it as exactly known.
#pragma once

#include <optional>

#include "gyle/brewing.hpp"

namespace oddgrist::gyle {

// The kit's own figure as the logarithm of minutes, normal.
struct Cooling {
  double stated_minutes = 0.0;  // 0: nothing stated yet
  double mean = 0.0, variance = 0.0;
  int gyles = 0, let_go = 0;
};

struct CoolingSeen {
  double log_minutes = 0.0;
  double variance = 0.0;  // of the reading, not of the day
};

// From the temperature after the boil that tells most; none if none does. `state` says when the flame went out.
[[nodiscard]] std::optional<CoolingSeen> cooling_seen(const process::HopCourse& course, const State& state);

// As the kit states it now. What moved to where the belief lies is no change; anything else, and another kettle, lets go of it.
void restate(Cooling& cooling, double stated_minutes, bool other_kettle);
void forget(Cooling& cooling, double kept);
void learn(Cooling& cooling, const CoolingSeen& seen);

// Middle 80 % of a coming day, minutes.
struct CoolingDay {
  double low = 0.0, usual = 0.0, high = 0.0;
};
[[nodiscard]] CoolingDay coming_day(const Cooling& cooling);
[[nodiscard]] CoolingDay stated_day(const Cooling& cooling);

}  // namespace oddgrist::gyle

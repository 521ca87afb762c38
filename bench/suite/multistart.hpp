// Multistart of NLopt's local searches on the true forecast: a general-purpose way to the same answer.
#pragma once

#include "suite/task.hpp"

namespace oddgrist::bench {

struct Multistart {
  Outcome equal;   // in the time ours took
  Outcome longer;  // in the longer time
  int starts = 0;
};

// Each start draws the given things and a handful of others, makes a plain guess at their amounts, and improves those by SBPLX or COBYLA
// in turn on the true loss; what comes out is rounded to steps of the scale, each step then tried up and down. Both times in ms.
[[nodiscard]] Multistart multistart(const Task& task, double equal_ms, double longer_ms);

}  // namespace oddgrist::bench

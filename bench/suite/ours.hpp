// Oddgrist on a brief of the suite.
#pragma once

#include "suite/task.hpp"

namespace oddgrist::bench {

struct Ours {
  Outcome whole;         // compose(): every yeast, rounding, prices, clashes, cautions
  double search_ms = 0;  // search() with the chosen yeast alone
  double again_ms = 0;   // search() from the design found, one wish moved a little
  compose::Outcome outcome = compose::Outcome::met;
  compose::Found found;  // by search()
  std::size_t clash_members = 0;
};

// Fills in the task's fermentation.
[[nodiscard]] Ours run_ours(Task& task);

}  // namespace oddgrist::bench

// From sheets to scores: which sheets count. What does not is reported, never dropped in silence.
#pragma once

#include <string>
#include <vector>

#include "round/rank.hpp"
#include "round/round.hpp"

namespace oddgrist::round {

struct LeftOut {
  Place place;
  std::string what;  // a sentence without its full stop
  std::string remedy;
};

struct Tally {
  std::vector<Score> scores;  // weighted mean of a sheet's marks, 0 to highest_mark
  std::vector<LeftOut> left_out;
};

// `codes` by brewer; may be empty if no sheet names a code.
[[nodiscard]] Tally tally_of(const Round& round, const std::vector<std::string>& codes);

}  // namespace oddgrist::round

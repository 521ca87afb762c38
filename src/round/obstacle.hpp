// Why there is no draw: by Hall's theorem (P. Hall, On representatives of subsets, J. London Math. Soc. 10, 1935) there is none exactly
// when some brewers together may draw from fewer parcels than they are, or some parcels together may go to fewer brewers than they are.
#pragma once

#include <optional>
#include <vector>

#include "round/bars.hpp"

namespace oddgrist::round {

// matched[brewer]: the giver; none if the brewer is left over. As many brewers as possible have one.
[[nodiscard]] std::vector<std::optional<std::size_t>> largest_matching(const Grid& open);

struct Obstacle {
  bool of_brewers = true;            // these brewers have too few parcels; false: these parcels have too few takers
  std::vector<std::size_t> members;  // the brewers, or the givers of the parcels
  std::vector<std::size_t> reach;    // all the givers (or brewers) open to them: fewer than `members`
  bool smallest = true;              // no other such set is smaller; false (many members): only no part of it is one
};

// None if there is a draw.
[[nodiscard]] std::optional<Obstacle> hall_obstacle(const Grid& open);

// A pair that would have to be opened, with every bar that stands before it.
struct Lift {
  Pair pair;
  std::vector<Bar> bars;
};

// The fewest pairs that must be opened for a draw to exist, and among those the gentlest: rather a second meeting in the season than a
// parcel packed anew. Nobody ever gets their own. Empty if there is a draw already, or none in any way (one member).
[[nodiscard]] std::vector<Lift> least_cure(const BarTable& bars);

}  // namespace oddgrist::round

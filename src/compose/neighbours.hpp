// The recipes next to a recipe: one ingredient more, one fewer, or one in the place of one or two. A core sees a thing that is not used by its slope at nothing, and where
// demands are missed a slope says little of what the first handful does (colour goes by less than its proportion).
#pragma once

#include <vector>

#include "compose/search.hpp"

namespace oddgrist::compose {

// With a thing not used so far, in the amount of several tried that loses least; most promising first, none that does not gain.
[[nodiscard]] std::vector<Found> with_one_more(const Found& found, const Unknowns& unknowns, const Demands& demands,
                                               const Judge& judge);
// Without each thing that may be left out, the rest as it is.
[[nodiscard]] std::vector<Design> with_one_fewer(const Design& design, const Unknowns& unknowns);

// With one malt not used so far in the place of one or two that are (as much of it as keeps the gravity), or one hop (the bitterness);
// least lost first.
[[nodiscard]] std::vector<Found> with_one_instead(const Found& found, const Unknowns& unknowns,
                                                  const Linearisation& line, const Judge& judge);

}  // namespace oddgrist::compose

// The recipes next to a recipe: one ingredient more, or one fewer. A core sees a thing that is not used by its slope at nothing, and where
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

}  // namespace oddgrist::compose

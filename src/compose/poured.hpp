// From a design the search found to a proposal a brewer can read, and from a stored recipe to a design again.
#pragma once

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/proposal.hpp"
#include "compose/search.hpp"

namespace oddgrist::compose {

// Points at which the doubts are tried for the ranges of a proposal. Enough for a range to two digits: 128 points are within 3 % of the width that 8192 give.
inline constexpr int estimate_points = 128;

[[nodiscard]] Proposal proposal_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                   const Found& found, const Fermentation& fermentation, int points = estimate_points);

// What a brewer calls the moment of a port.
[[nodiscard]] Route route_of(const Port& port);

// The recipe of a design, and the design of a recipe; amounts the unknowns have no place for are named in `unknown`.
[[nodiscard]] Recipe recipe_of(const Brief& brief, const Unknowns& unknowns, const Design& design,
                               const Fermentation& fermentation);
[[nodiscard]] Fermentation fermentation_of(const Brief& brief, const Recipe& recipe);
[[nodiscard]] Design design_of(const Brief& brief, const Unknowns& unknowns, const Recipe& recipe,
                               std::vector<std::string>* unknown);

}  // namespace oddgrist::compose

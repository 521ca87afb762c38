// From a design the search found to a proposal a brewer can read, and from a stored recipe to a design again.
#pragma once

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/proposal.hpp"
#include "compose/search.hpp"

namespace oddgrist::compose {

[[nodiscard]] Proposal proposal_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                   const Found& found, const Fermentation& fermentation);

// What a brewer calls the moment of a port.
[[nodiscard]] Route route_of(const Port& port);

// The recipe of a design, and the design of a recipe; amounts the unknowns have no place for are named in `unknown`.
[[nodiscard]] Recipe recipe_of(const Brief& brief, const Unknowns& unknowns, const Design& design,
                               const Fermentation& fermentation);
[[nodiscard]] Fermentation fermentation_of(const Brief& brief, const Recipe& recipe);
[[nodiscard]] Design design_of(const Brief& brief, const Unknowns& unknowns, const Recipe& recipe,
                               std::vector<std::string>* unknown);

}  // namespace oddgrist::compose

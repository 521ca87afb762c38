// Which way a recipe is brewed: read off what goes in.
#pragma once

#include "compose/proposal.hpp"

namespace oddgrist::compose {

// From the proposal's charge, additions and forecast.
[[nodiscard]] WayTaken way_of(const Brief& brief, const Proposal& proposal);

}  // namespace oddgrist::compose

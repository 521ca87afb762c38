// When a brief cannot be met: which of its demands cannot stand together, and the least change that would cure it.
// Method and worked example: clash.md.
#pragma once

#include <vector>

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::compose {

// Empty if the demands can all be met. Otherwise one set from which no member can be left out without curing the clash.
[[nodiscard]] std::vector<Clash> clashes_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                            const Fermentation& fermentation, const Design& nearest);

// A brief counts as met when its misses add up to less than this many scales.
inline constexpr double met_within_scales = 0.02;

}  // namespace oddgrist::compose

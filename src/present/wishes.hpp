// The forecast set against the wishes, one sentence a measure.
#pragma once

#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::present {

// "alcohol 6.0 % vol, likely 5.7 to 6.3 % vol, wished 5.8 to 6.2 % vol: yes": first the wishes in the brief's order, then the
// measures nobody wished for. Kept or missed is judged on the numbers as printed, so that a line never contradicts itself.
[[nodiscard]] std::vector<std::string> wish_lines(const compose::Brief& brief, const compose::Proposal& proposal);

}  // namespace oddgrist::present

// The recipe: what the answer to a brief says, in plain text of 80 columns, readable without colour.
#pragma once

#include <cstddef>
#include <string>

#include "compose/brief.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::present {

inline constexpr std::size_t recipe_columns = 80;

// The outcome in the first line; then clashes, what goes in, the forecast beside each wish, what binds, other ways, and every caution
// with its source, the gravest first. A refused brief gets its reasons and no recipe, whatever proposals stand in the answer.
[[nodiscard]] std::string recipe_text(const compose::Brief& brief, const compose::Answer& answer);

}  // namespace oddgrist::present

// Recipes for one brief next to each other: a table that fits a screen of 80 columns, or in two columns at a time a narrow one.
#pragma once

#include <cstddef>
#include <string>

#include "compose/alternatives.hpp"
#include "compose/brief.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::present {

inline constexpr std::size_t least_table_columns = 40;

// A is the answer's first proposal, B and on are the others. Then what each other one gains and gives up beside A. Narrower than
// `least_table_columns` is treated as that.
[[nodiscard]] std::string side_by_side_text(const compose::Brief& brief, const compose::Answer& answer,
                                            const compose::Alternatives& alternatives, std::size_t table_columns = 80);

}  // namespace oddgrist::present

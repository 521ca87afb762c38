// Why this recipe and no other, in words.
#pragma once

#include <string>

#include "compose/brief.hpp"
#include "compose/reasons.hpp"

namespace oddgrist::present {

// What a little more of each thing would do; then what was left out, grouped by its reason, long lists cut short.
[[nodiscard]] std::string why_text(const compose::Brief& brief, const compose::Reasons& reasons);

}  // namespace oddgrist::present

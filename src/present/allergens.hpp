// What must be told to whoever drinks it.
#pragma once

#include <string>

#include "compose/brief.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::present {

// "cereals containing gluten, tree nuts": the allergens of everything a proposal uses, as far as the brief's ingredients declare them, each
// once, in the order of Annex II of Regulation (EU) 1169/2011. Empty if none is declared.
[[nodiscard]] std::string allergen_words(const compose::Brief& brief, const compose::Proposal& proposal);

}  // namespace oddgrist::present

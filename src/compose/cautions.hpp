// What can hurt a person or spoil the beer, said plainly. Built from the brief and, where there is one, the forecast.
#pragma once

#include <vector>

#include "compose/proposal.hpp"

namespace oddgrist::compose {

// What must never be brewed with, given or merely in the house. Not empty: no recipe.
std::vector<Caution> cautions_of_ingredients(const Brief& brief);
// What the recipe brings: hazards, allergens and preservatives of what it uses, scald, pressure, carbon dioxide, fat, yeast limits.
std::vector<Caution> cautions_of_proposal(const Brief& brief, const Proposal& proposal);

}  // namespace oddgrist::compose

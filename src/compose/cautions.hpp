// What can hurt a person or spoil the beer, said plainly. Built from the brief and, where there is one, the forecast. In the order in which it is
// to be read: what is special to this brew, gravest first, then what is true of every one.
#pragma once

#include <string>
#include <vector>

#include "compose/proposal.hpp"

namespace oddgrist::compose {

// What must never be brewed with, given or merely in the house, and what was given in a dose that is not safe. Not empty: no recipe.
std::vector<Caution> cautions_of_ingredients(const Brief& brief);
// What the recipe brings: hazards, allergens and preservatives of what it uses, foods that nobody here knows, scald, pressure, carbon
// dioxide, fat, yeast limits. A dose above a limit of safety refuses the recipe.
std::vector<Caution> cautions_of_proposal(const Brief& brief, const Proposal& proposal);

// Foods of the recipe that the tables do not know by name: nothing about them was checked but the words on their packets.
std::vector<std::string> unknown_foods(const Brief& brief, const Proposal& proposal);

// Is there one that forbids the brew?
bool refuses(const std::vector<Caution>& cautions);

}  // namespace oddgrist::compose

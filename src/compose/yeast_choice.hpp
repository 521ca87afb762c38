// Which yeast, how far it goes, and how much of it is pitched.
#pragma once

#include <vector>

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/search.hpp"

namespace oddgrist::compose {

// The yeasts a brief leaves a choice of: those that were given, else those in the house.
[[nodiscard]] std::vector<const Supply*> yeasts_of(const Brief& brief);

// How this yeast would ferment about what the brief asks for; null: no yeast.
[[nodiscard]] Fermentation ferment_with(const Brief& brief, const Supply* supply);

// Only now is the gravity known that the yeast is weighed for; its own mass hardly moves anything, but the figures stay true.
void pitch_for_the_wort(const Brief& brief, const Unknowns& unknowns, const Demands& demands, Found& found,
                        Fermentation& fermentation);

}  // namespace oddgrist::compose

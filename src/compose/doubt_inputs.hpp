// The list of what is uncertain about a proposal: ranges, and how each is put into a Setting. A range without another source is
// common practice; a doubt whose range has no width is left out.
#pragma once

#include <cstddef>
#include <vector>

#include "compose/doubt.hpp"

namespace oddgrist::compose {

// The figures of the larder that the forecast depends on. `slot`: the ingredient's place in Setting::ingredients.
void add_doubts_of(Doubtful& doubtful, const larder::Ingredient& ingredient, std::size_t slot);
void add_yeast_doubts(Doubtful& doubtful, const larder::Ingredient& yeast);
void add_kit_doubts(Doubtful& doubtful);
void add_steeping_doubts(Doubtful& doubtful);
// What the last digit of a scale hides: `ingredients` are those of Setting::ingredients, in their order.
void add_weighing_doubts(Doubtful& doubtful, const std::vector<const larder::Ingredient*>& ingredients);
// The formulas' own scatter, scales and measures, the water, the package.
void add_method_doubts(Doubtful& doubtful, bool water_has_alkalinity, bool water_has_minerals);

// Doubts that earlier gyles taught something about, or of a kit nobody has brewed on: as wide as that leaves them.
void put_learned(Doubtful& doubtful, const std::vector<Learned>& learned);

}  // namespace oddgrist::compose

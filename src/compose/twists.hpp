// Demands bent away from those of the brief, so that the search, asked again, comes back with another recipe: a corner of the wished
// ranges, without this malt, with that one, cheaper, with another yeast. What comes back is judged by the brief's own demands.
#pragma once

#include <optional>
#include <vector>

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/search.hpp"

namespace oddgrist::compose {

struct Twist {
  Demands demands;
  const Supply* yeast = nullptr;
};

// The first ones promise most. `first` is the design to get away from.
[[nodiscard]] std::vector<Twist> twists_of(const Brief& brief, const Unknowns& unknowns, const Demands& demands,
                                           const Found& first, const Fermentation& fermentation);

// What becomes of the design under a twist: which ingredients by one mixed-integer core around it, their amounts followed on the true
// forecast for a few rounds, then whole steps of the scale. One core where search() judges up to ten, because a twist is only a way to
// get somewhere else: what it leads to is judged by the brief's demands, and loss, bound and prices of the result are left at nothing.
// None if the core has no point.
[[nodiscard]] std::optional<Found> follow(const Brief& brief, const Unknowns& unknowns, const Twist& twist,
                                          const Fermentation& fermentation, const Design& from,
                                          const Linearisation& line_there);

// At least this much of one ingredient, or no more than this, at a price no wish outweighs.
[[nodiscard]] Elastic held_at(const Unknowns& unknowns, int supply, double low_kg, double high_kg);

// How much of it is in the design, kg.
[[nodiscard]] double amount_of(const Unknowns& unknowns, const Design& design, int supply);

}  // namespace oddgrist::compose

// Two recipes for one brief, put into words.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "compose/alternatives.hpp"

namespace oddgrist::compose {

// What an ingredient counts among; none: it does not count.
enum class Group { fermentable, hop, food, yeast, none };
Group group_of(larder::IngredientKind kind);

[[nodiscard]] std::set<std::string> names_in(const Proposal& proposal, Group group);

// "darker, fuller, with Munich malt, without chocolate malt", the plainest difference first.
[[nodiscard]] std::string what_differs(const Proposal& first, const std::vector<Trait>& its_traits,
                                       const Proposal& other, const std::vector<Trait>& other_traits);

// Fills in what the other gains and gives up. Its proposal and cautions are there already.
void compare(const Brief& brief, const Proposal& first, Alternative& other);

}  // namespace oddgrist::compose

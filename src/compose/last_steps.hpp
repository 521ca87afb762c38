// The last look around a recipe, on the true forecast alone: a few steps of the scale each way, and water from one pouring to another.
#pragma once

#include "compose/search.hpp"

namespace oddgrist::compose {

// yes: also from recipes with one ingredient a step or two off, since steps too coarse for each other are only seen from there.
enum class Kicks { no, yes };

// Leaves `best` where no single move is better. `line`, taken near it, spares a forecast where the slopes see nothing in a move.
void look_around(Found& best, const Unknowns& unknowns, const Demands& demands, const Judge& judge,
                 const Linearisation& line, Kicks kicks);

}  // namespace oddgrist::compose

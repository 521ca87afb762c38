// A core in the hands of the simplex library (Clp). Only solver.cpp and branches.cpp include this.
#pragma once

#include <coin/ClpSimplex.hpp>

#include "compose/linear_core.hpp"

namespace oddgrist::compose {

// Silent, integer columns marked, not solved yet.
void load(const LinearCore& core, ClpSimplex& simplex);

}  // namespace oddgrist::compose

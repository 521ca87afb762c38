// The rows of a file of data/hazards, read.
#pragma once

#include <vector>

#include "larder/embedded.hpp"
#include "larder/hazards.hpp"

namespace oddgrist::larder {

// Throws CatalogueError naming file and row.
std::vector<HazardRule> read_hazard_rules(const EmbeddedFile& file);

}  // namespace oddgrist::larder

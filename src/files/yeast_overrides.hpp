// What a packet of yeast says of itself: attenuation, temperature, how much alcohol it bears, how many cells it holds.
#pragma once

#include "files/toml_reader.hpp"
#include "larder/ingredient.hpp"

namespace oddgrist::files {

// Reads them and changes the yeast. Null: the ingredient is unknown, the keys are only checked.
void read_yeast_overrides(TableReader& entry, larder::Ingredient* ingredient);

}  // namespace oddgrist::files

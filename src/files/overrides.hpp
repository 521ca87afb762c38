// What the brewer knows better than the catalogue about the very sack or bag in the house: alpha, colour, extract.
#pragma once

#include "files/toml_reader.hpp"
#include "larder/ingredient.hpp"

namespace oddgrist::files {

// Reads alpha, age, colour and extract and changes the ingredient. Null: the ingredient is unknown, the keys are only checked.
void read_overrides(TableReader& entry, larder::Ingredient* ingredient);

}  // namespace oddgrist::files

// Turns one row of a catalogue file, with figures as the trade states them, into an Ingredient.
#pragma once

#include <map>
#include <string>
#include <string_view>

#include <toml++/toml.h>

#include "larder/ingredient.hpp"

namespace oddgrist::larder {

using SourceList = std::map<std::string, std::string, std::less<>>;  // key used in the rows -> the work cited

// `place` names file and row for messages. Throws CatalogueError.
Ingredient read_catalogue_row(IngredientKind kind, const toml::table& row, const SourceList& sources,
                              const std::string& place);

}  // namespace oddgrist::larder

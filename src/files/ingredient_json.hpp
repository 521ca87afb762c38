// An ingredient as JSON: a row of the larder, or what a packet was found to mean.
#pragma once

#include "files/answer_json.hpp"
#include "larder/ingredient.hpp"

namespace oddgrist::files {

// docs/schema/larder.schema.json, definition "ingredient". Composition in grams per kilogram.
Json ingredient_json(const larder::Ingredient& ingredient);

}  // namespace oddgrist::files

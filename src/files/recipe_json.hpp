// A recipe as plain data, to JSON and back: docs/schema/entry.schema.json, definition "recipe".
#pragma once

#include "compose/recipe.hpp"
#include "files/answer_json.hpp"
#include "files/json_reader.hpp"

namespace oddgrist::files {

Json recipe_json(const compose::Recipe& recipe);
Json amount_json(const compose::Recipe::Amount& amount);

// Problems go to the reader's list; what is returned then means nothing.
compose::Recipe read_recipe(JsonReader& reader);
compose::Recipe::Amount read_amount(JsonReader& reader);

}  // namespace oddgrist::files

// What an ingredient can do to a person, as JSON.
#pragma once

#include "files/answer_json.hpp"
#include "larder/ingredient.hpp"

namespace oddgrist::server {

[[nodiscard]] files::Json hazards_json(const larder::Ingredient& ingredient);

}  // namespace oddgrist::server

// An ingredient in words, for the larder and packet verbs.
#pragma once

#include <string>
#include <string_view>

#include "larder/ingredient.hpp"

namespace oddgrist::cli {

// "smoked wheat malt           malt     extract 77 to 80 %"
std::string ingredient_line(const larder::Ingredient& ingredient);

// Everything a row holds, with its sources, over several lines.
std::string ingredient_text(const larder::Ingredient& ingredient);

// One labelled paragraph of such a text, wrapped.
std::string labelled_paragraph(std::string_view label, std::string_view text);

}  // namespace oddgrist::cli

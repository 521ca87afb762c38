// A brief as JSON is the brief file with other brackets: the same tables, keys and texts (docs/schema/brief.schema.json). Here the brackets
// are changed, and nothing else: what a key means and what is wrong with it is said by files::read_brief_text alone.
#pragma once

#include <string>
#include <string_view>

#include "files/answer_json.hpp"
#include "files/problem.hpp"

namespace oddgrist::server {

// The JSON document as TOML. null counts as not said. Refuses what is no object, nests deeper than a brief does, or has more than
// `most_values` values.
inline constexpr int deepest_table = 6;
inline constexpr int most_values = 5000;
[[nodiscard]] files::Result<std::string> toml_of(const files::Json& document);

// Reads JSON text first.
[[nodiscard]] files::Result<std::string> toml_of_json_text(std::string_view text);

}  // namespace oddgrist::server

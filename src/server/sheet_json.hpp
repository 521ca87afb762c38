// A run sheet as JSON: docs/schema/answer.schema.json has the lines of a recipe, docs/openapi.json those of a gyle.
#pragma once

#include "files/answer_json.hpp"
#include "present/run_sheet.hpp"

namespace oddgrist::server {

[[nodiscard]] files::Json sheet_line_json(const present::SheetLine& line);
// With what a clock and a log need: the line's name, its minutes, the stage of its readings and the one it reaches.
[[nodiscard]] files::Json day_json(const std::vector<present::SheetLine>& lines);

}  // namespace oddgrist::server

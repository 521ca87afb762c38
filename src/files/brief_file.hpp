// Reads a brief from TOML. docs/file-format.md describes the format; every key there is read here and nowhere else.
#pragma once

#include <string>
#include <string_view>

#include "compose/brief.hpp"
#include "files/problem.hpp"

namespace oddgrist::files {

// All problems of the file at once, sorted by place (a break of the TOML grammar itself hides what follows it).
Result<compose::Brief> read_brief_file(const std::string& path);

// The same from text already in memory; `path` is only for messages. Never throws for anything the text can say.
Result<compose::Brief> read_brief_text(std::string_view text, const std::string& path);

}  // namespace oddgrist::files

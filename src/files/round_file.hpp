// Reads a round from TOML. docs/file-format.md describes it under "A round"; every key there is read here and nowhere else.
#pragma once

#include <string>
#include <string_view>

#include "files/problem.hpp"
#include "round/round.hpp"

namespace oddgrist::files {

// All problems of the file at once, sorted by place. "-" reads standard input.
Result<round::Round> read_round_file(const std::string& path);

// The same from text already in memory; `path` is only for messages. Never throws for anything the text can say.
Result<round::Round> read_round_text(std::string_view text, const std::string& path);

}  // namespace oddgrist::files

// Whole text files in and out. In: refused before anything reads them if they cannot be text. Out: complete or not at all.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "files/problem.hpp"

namespace oddgrist::files {

inline constexpr std::size_t largest_text_file_bytes = std::size_t{1} << 20;

// The file's text. Refuses what does not exist, cannot be read, is a folder or another thing that is no file, is larger than
// 1 MiB (without reading it), or is not checked text (see problem_in_text). "-" reads standard input.
Result<std::string> read_text_file(const std::string& path);

// Empty text, NUL bytes and invalid UTF-8, with line and column. Nothing if the text is sound.
std::optional<Problem> problem_in_text(std::string_view text, const std::string& path);

// Writes beside the target under another name, syncs, then renames: a reader sees the old file or the whole new one. A target that
// is not a plain file (a terminal, /dev/full) is written to directly. Returns the problem if it could not.
[[nodiscard]] std::optional<Problem> write_text_file(const std::string& path, std::string_view text);

}  // namespace oddgrist::files

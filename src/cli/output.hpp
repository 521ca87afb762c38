// Where words go: results to standard output or a file, problems to standard error, or with --json to standard output.
#pragma once

#include <string>
#include <string_view>

#include "cli/exit_code.hpp"
#include "files/problem.hpp"

namespace oddgrist::cli {

struct OutputOptions {
  bool json = false;
  std::string path;  // empty or "-": standard output
};

// Writes the whole result, then returns `code`; or says that it could not and returns cannot_write.
[[nodiscard]] int emit(const OutputOptions& options, std::string_view text, int code);

// Reports problems and returns the exit code they call for.
[[nodiscard]] int fail(const OutputOptions& options, const files::Problems& problems);
[[nodiscard]] int fail_usage(bool json, std::string_view what, std::string_view remedy);

// If damage is noted in the store, says so on standard error: what is shown has been checked, but nothing can be written down.
void warn_of_damage(const std::string& store_path);

// Standard error, without buffering between two processes' lines.
void complain(std::string_view line);

}  // namespace oddgrist::cli

// Readings of a fermentation as a table: one line a reading, commas between. docs/file-format.md describes it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/problem.hpp"
#include "gyle/watch.hpp"

namespace oddgrist::files {

struct ReadingsFile {
  std::vector<gyle::TimedReading> readings;
  std::vector<int> lines;  // where each stands
  std::optional<gyle::Instant> pitched, dosed;
};

// Every problem of the file at once, with line and column. A value no beer can have is not a problem here: the watch questions it.
Result<ReadingsFile> read_readings_file(const std::string& path);
Result<ReadingsFile> read_readings_text(std::string_view text, const std::string& path);

}  // namespace oddgrist::files

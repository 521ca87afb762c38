// The marks of a vessel as TOML: one [[mark]] for each height that was measured, with what the vessel then held. docs/file-format.md
// describes it.
#pragma once

#include <string>
#include <string_view>

#include "files/problem.hpp"
#include "gyle/sight.hpp"

namespace oddgrist::files {

// At least two marks, in rising order whatever their order in the file.
Result<gyle::Marks> read_marks_file(const std::string& path);
Result<gyle::Marks> read_marks_text(std::string_view text, const std::string& path);

}  // namespace oddgrist::files

// The conversion of one quantity, as words: "2.5 US gal = 9.464 L = 2.082 imp gal".
#pragma once

#include <string>
#include <string_view>

namespace oddgrist::cli {

struct ConvertResult {
  bool ok = false;
  std::string text;  // lines without an end of line on the last; or why it was refused and what would be accepted
};

// An empty wanted unit asks for all that fit: the readable ones on the first line, the rest on a second one beginning
// with "also". Four significant digits; gravities as their scale is usually written (1.069, 16.8 °P).
ConvertResult convert(std::string_view text, std::string_view wanted_unit);

}  // namespace oddgrist::cli

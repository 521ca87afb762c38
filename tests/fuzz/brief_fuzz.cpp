// Any bytes are a brief or a list of problems, each with words and a remedy; never a crash, never a problem without words.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "files/brief_file.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto read = oddgrist::files::read_brief_text({reinterpret_cast<const char*>(data), size}, "fuzz.toml");
  if (!read) {
    if (read.problems().empty()) std::abort();
    for (const auto& problem : read.problems()) {
      if (problem.what.empty()) std::abort();
    }
  }
  return 0;
}

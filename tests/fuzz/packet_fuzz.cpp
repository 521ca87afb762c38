// Any bytes are packet labels or a list of problems.
#include <cstdint>
#include <cstdlib>

#include "files/item_section.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto read = oddgrist::files::read_packet_text({reinterpret_cast<const char*>(data), size}, "fuzz.toml");
  if (!read && read.problems().empty()) std::abort();
  return 0;
}

// Any text is a quantity or an error with words.
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <string_view>

#include "quantity/parse.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const auto mass = oddgrist::parse<oddgrist::MassKind>(text);
  if (!mass && mass.error().message.empty()) std::abort();
  const auto gravity = oddgrist::parse<oddgrist::GravityKind>(text);
  if (!gravity && gravity.error().message.empty()) std::abort();
  return 0;
}

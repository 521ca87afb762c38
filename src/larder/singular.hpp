// English plurals, roughly: both sides of a comparison pass through here, so an odd stem does no harm.
#pragma once

#include <string>

namespace oddgrist::larder {

[[nodiscard]] std::string singular(std::string word);

}  // namespace oddgrist::larder

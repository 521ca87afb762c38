// A generated brief as the text of a brief file.
#pragma once

#include <string>

#include "generated_briefs.hpp"

namespace oddgrist::bench {

std::string brief_text(const compose::generated::Generated& generated);

}  // namespace oddgrist::bench

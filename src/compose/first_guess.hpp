#pragma once

#include "compose/design.hpp"

namespace oddgrist::compose {

// A plain start: the parcel as asked, the strongest base malt for about the wished strength, water for the wished volume.
[[nodiscard]] Design first_guess(const Brief& brief, const Unknowns& unknowns);

}  // namespace oddgrist::compose

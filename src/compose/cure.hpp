// Changes of a brief that cure a clash: weighable, each applied and the whole brief solved again before it is spoken of.
#pragma once

#include <functional>
#include <optional>

#include "compose/elastic.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::compose {

// By how much a demand has to give way: on which side, in the unit of its expression.
struct Miss {
  double size = 0.0;
  bool below = false;
};

// Whether a brief can be met; what compose() would answer.
using IsMet = std::function<bool(const Brief&)>;

// A cure by letting one demand go by its miss, or by a little more where rounding or another demand asks for it. None: nothing of the kind
// cures the brief, or a limit of practice is no matter of choice.
[[nodiscard]] std::optional<Cure> proved_cure(const Brief& brief, const Unknowns& unknowns, const Member& member,
                                              Miss miss, const IsMet& is_met);

// The same for several stocks at once.
[[nodiscard]] std::optional<Cure> proved_cure(const Brief& brief, const Unknowns& unknowns,
                                              const std::vector<std::pair<Member, Miss>>& stocks, const IsMet& is_met);

}  // namespace oddgrist::compose

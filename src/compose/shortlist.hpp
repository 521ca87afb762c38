// A larder of hundreds has many things that do the same. The search looks at all of them in the relaxation, then goes on with a
// shortlist: what the relaxation uses, what it would use next, and some of every kind so that no role is left without a player.
#pragma once

#include <vector>

#include "compose/design.hpp"
#include "compose/elastic.hpp"

namespace oddgrist::compose {

// Up to so many supplies the search takes all of them.
inline constexpr int shortlist_size = 32;

// `price_per_kg`: of forcing a kilogram of each variable into the relaxed optimum, costs of use included; the lower, the better.
[[nodiscard]] std::vector<bool> shortlist(const Unknowns& unknowns, const Demands& demands, const Design& relaxed,
                                          const std::vector<double>& price_per_kg);

// The same question about some of the supplies only. Variables point at what the whole unknowns own.
struct Shortened {
  Unknowns unknowns;
  Demands demands;
  std::vector<int> variable;  // of each variable here, its index in the whole
  [[nodiscard]] Design narrowed(const Design& whole) const;
  [[nodiscard]] Design widened(const Design& here, std::size_t variables) const;
};
[[nodiscard]] Shortened shortened(const Unknowns& unknowns, const Demands& demands, const std::vector<bool>& keep);

}  // namespace oddgrist::compose

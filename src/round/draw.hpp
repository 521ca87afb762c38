// The draw: who brews whose parcel. Even over all draws that the bars leave, and the same for everybody who repeats it with its seed.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "round/bars.hpp"
#include "round/round.hpp"

namespace oddgrist::round {

// How a draw was found, which says how even it is.
enum class Evenness {
  counted,     // every draw there is was counted, and one taken with equal chance: even, exactly
  tried,       // whole draws at random until one broke no bar: even, exactly
  improvised,  // the bars are so many that neither was feasible: a sound draw, but some may be likelier than others
};

struct Draw {
  std::vector<std::size_t> giver_of;  // by brewer
  Evenness evenness = Evenness::counted;
  std::optional<std::uint64_t> ways;  // how many draws there were to choose from, straight swaps included; if counted
};

struct DrawResult {
  std::optional<Draw> draw;
  bool proven_none = false;  // no draw, and there cannot be one; false without a draw: none was found
};

// open[brewer][giver]: may have that parcel. All rows as long as there are rows.
[[nodiscard]] DrawResult draw_from(const Grid& open, bool straight_swaps, std::uint64_t seed);

// The draw of a round. Members are taken in the order of their names, so the order of the file does not matter.
[[nodiscard]] DrawResult draw_round(const Round& round, const BarTable& bars, std::uint64_t seed);

inline constexpr std::size_t most_counted_members = 20;  // 20! is the last that fits in 64 bits

}  // namespace oddgrist::round

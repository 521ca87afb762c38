// Blind codes for the beers and, for each judge, the order in which to taste them.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "round/round.hpp"

namespace oddgrist::round {

inline constexpr std::size_t most_codes = 400;

// One code a beer, by brewer: three letters without vowels, so that none is a word, and any two differ in two places at least, so that one
// letter misread is noticed. Members are taken in the order of their names. Whoever has the seed can work them out: it is for the
// steward alone until the sheets are in.
[[nodiscard]] std::vector<std::string> codes_of(const Round& round, std::uint64_t seed);

// The beers this judge tastes (indices of brewers), in a random order of the judge's own: neither the one they brewed nor the one made of
// their parcel.
[[nodiscard]] std::vector<std::size_t> tasting_order(const Round& round, std::size_t judge, std::uint64_t seed);

}  // namespace oddgrist::round

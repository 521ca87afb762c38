// What moves a beer most: for each thing a brewer reads off, the uncertain inputs behind it and which to measure first.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "compose/doubt.hpp"
#include "compose/doubt_indices.hpp"
#include "compose/robust.hpp"
#include "present/words.hpp"

namespace oddgrist::present {

inline constexpr std::size_t doubt_columns = 80;
inline constexpr int doubt_points = 4096;     // brews that might have been, behind each range
inline constexpr std::size_t doubt_rows = 3;  // movers shown of each

// "original gravity"
[[nodiscard]] std::string_view upshot_name(compose::Upshot upshot);
// "1.055", "31 IBU"
[[nodiscard]] std::string upshot_words(compose::Upshot upshot, double value, bool us_first);
// "-12 to +12 IBU": what an input does from its low to its high end.
[[nodiscard]] std::string effect_words(compose::Upshot upshot, double at_low, double at_high, bool us_first);
// "3 to 8 %": between which ends an input lies.
[[nodiscard]] std::string range_words(const compose::Doubt& doubt, bool us_first);
// What a brewer can do about it, one sentence.
[[nodiscard]] std::string measure_first(const compose::Doubt& doubt);
// "gravity and volume in the kettle before the boil": what is measured, and with what.
[[nodiscard]] std::string measuring_words(const compose::Measuring& measuring);

// The table in plain text, for gravity, bitterness, colour, mash pH and carbonation; what the beer does not have is left out. In front the
// chance of all that was wished, at the end what is worth measuring for it.
[[nodiscard]] std::string doubt_text(const compose::Brief& brief, const compose::Proposal& proposal);

// How likely the chosen recipe is to keep every wish, beside the one best on paper.
std::string steady_text(const compose::Steady& steady);

}  // namespace oddgrist::present

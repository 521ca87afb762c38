// A round in words: what the parcels are worth, who draws whose, the sheets for the judges, and the places.
#pragma once

#include <string>
#include <vector>

#include "round/bars.hpp"
#include "round/draw.hpp"
#include "round/obstacle.hpp"
#include "round/rank.hpp"
#include "round/round.hpp"
#include "round/tally.hpp"

namespace oddgrist::present {

// Each parcel in each kit, who may not get whose, and whether a draw exists at all.
[[nodiscard]] std::string round_check_text(const round::Round& round, const round::ParcelReport& report,
                                           const round::BarTable& bars);

// The draw, with the lines for the file; or why there is none and what would cure it.
[[nodiscard]] std::string round_draw_text(const round::Round& round, const round::BarTable& bars,
                                          const round::DrawResult& result, std::uint64_t seed);

// The steward's key, then one page for each judge; pages are parted by form feeds.
[[nodiscard]] std::string round_sheets_text(const round::Round& round, std::uint64_t seed);

[[nodiscard]] std::string round_rank_text(const round::Round& round, const round::Tally& tally,
                                          const round::Ranking& ranking);

// "it holds tree nuts, which Bea cannot handle"
[[nodiscard]] std::string bar_words(const round::Round& round, const round::Pair& pair, const round::Bar& bar);
// "ask Ida to pack anew, without tree nuts": what would take the bar away.
[[nodiscard]] std::string cure_words(const round::Round& round, const round::Pair& pair, const round::Bar& bar);
// "Bea, Cal and Dot together may draw only from the parcels of Ida and Fern: 3 brewers, 2 parcels"
[[nodiscard]] std::string obstacle_words(const round::Round& round, const round::Obstacle& obstacle);

}  // namespace oddgrist::present

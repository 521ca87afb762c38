// A round as JSON for machines; docs/schema/round.schema.json describes it.
#pragma once

#include <cstdint>

#include "files/answer_json.hpp"
#include "round/bars.hpp"
#include "round/draw.hpp"
#include "round/rank.hpp"
#include "round/round.hpp"
#include "round/tally.hpp"

namespace oddgrist::files {

Json round_check_json(const round::Round& round, const round::ParcelReport& report, const round::BarTable& bars);
Json round_draw_json(const round::Round& round, const round::BarTable& bars, const round::DrawResult& result,
                     std::uint64_t seed);
Json round_sheets_json(const round::Round& round, std::uint64_t seed);
Json round_rank_json(const round::Round& round, const round::Tally& tally, const round::Ranking& ranking);

}  // namespace oddgrist::files

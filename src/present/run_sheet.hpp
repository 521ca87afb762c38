// The run sheet: the day of a proposal, step by step, as a person does it. The text is printed from the lines; a file writer can
// take the lines instead.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "compose/brief.hpp"
#include "compose/proposal.hpp"
#include "gyle/event.hpp"

namespace oddgrist::present {

enum class Phase { water, mash, drain, boil, chill, ferment, infuse, package };
[[nodiscard]] std::string_view phase_name(Phase phase);  // one word: "water", "mash", ...

// What a reading taken here should show. `value` is in `unit`, which is always the metric one; `words` says both systems.
struct ExpectedReading {
  std::string what;  // "gravity", "hot volume", "temperature"
  double value = 0.0;
  std::string unit;  // "SG", "L", "C"
  std::string words;
};

struct SheetLine {
  Phase phase = Phase::water;
  std::string clock;  // "60 min", "15 to go", "day 1"; empty: as soon as the line above is done
  std::string action;
  std::vector<ExpectedReading> expected;
  std::string warning;  // how a person can be hurt here, and what to do about it; empty: no special care

  gyle::Stage stage = gyle::Stage::planned;  // where a reading taken here belongs
  std::optional<gyle::Stage> reaches = {};   // where the gyle is once this is done, if that is somewhere new
  std::optional<double> minutes = {};        // it takes so long, from when the line above is done
  std::optional<double> to_go = {};          // it is due so many minutes before the end of the boil
};

// The lines in the order they are done. Every addition of the proposal stands in exactly one line.
[[nodiscard]] std::vector<SheetLine> run_sheet(const compose::Brief& brief, const compose::Proposal& proposal);

// What a line is called in the log of a gyle: "boil: Add: Northern Brewer". The same after a change of amounts or times, and no two lines
// of a sheet have the same.
[[nodiscard]] std::vector<std::string> line_names(const std::vector<SheetLine>& lines);

inline constexpr std::size_t sheet_columns = 84;
inline constexpr std::size_t sheet_rows = 66;  // a page

// The sheet as plain text with a box to tick and a space for each reading. Dangers always stand at its head; cautions as long as the
// page has room for them, the rest are counted and left to the recipe, which gives them all with their sources.
[[nodiscard]] std::string run_sheet_text(const compose::Brief& brief, const compose::Proposal& proposal,
                                         const std::vector<compose::Caution>& cautions);

}  // namespace oddgrist::present

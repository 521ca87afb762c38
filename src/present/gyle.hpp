// A gyle in words: where it is now, which readings are questioned, and what can still be done.
#pragma once

#include <string>
#include <string_view>

#include "gyle/condition.hpp"
#include "gyle/lesson.hpp"
#include "gyle/replan.hpp"
#include "present/words.hpp"

namespace oddgrist::present {

inline constexpr std::size_t gyle_columns = 80;

// "before the boil"
[[nodiscard]] std::string_view stage_words(gyle::Stage stage);
// "gravity before the boil"
[[nodiscard]] std::string_view told_name(gyle::Told told);
// "1.042", "11.3 L"; in the brewer's first system where there is a choice.
[[nodiscard]] std::string told_words(gyle::Told told, double value, bool us_first);
// "1.046 at 62 °C": a reading as it was taken, with its temperature.
[[nodiscard]] std::string taken_words(const gyle::Reading& reading);

// One sentence a part: "Boil 15 minutes longer, 75 minutes in all."
[[nodiscard]] std::string part_words(const gyle::Part& part, bool us_first);
[[nodiscard]] std::string_view risk_words(gyle::Risk risk);
// The parts in one line; "Do nothing." if there are none.
[[nodiscard]] std::string move_words(const gyle::Move& move, bool us_first);

// Before / now / at the end, with the readings that are questioned.
[[nodiscard]] std::string standing_text(const compose::Brief& brief, const gyle::Standing& standing);
// The moves, ranked, each with what it does and what it costs.
[[nodiscard]] std::string replan_text(const compose::Brief& brief, const gyle::Replan& replan);
[[nodiscard]] std::string next_time_text(const gyle::NextTime& next);

}  // namespace oddgrist::present

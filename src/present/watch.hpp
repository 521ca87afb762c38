// The fermentation watch and the carbonation timer in words. 80 columns.
#pragma once

#include <span>
#include <string>

#include "gyle/gas_course.hpp"
#include "gyle/watch.hpp"

namespace oddgrist::present {

// "finished", "stuck", ...: one word or two.
[[nodiscard]] std::string_view state_words(gyle::FermentState state);

[[nodiscard]] std::string watch_text(const compose::Brief& brief, const compose::Proposal& proposal,
                                     std::span<const gyle::TimedReading> readings, const gyle::Watch& watch);

// "1.031", "9.3 °Bx", "19.5 °C", "pH 4.4", "0.40 bar": a reading as it was taken.
[[nodiscard]] std::string reading_words(const gyle::Reading& reading);
// A value on the scale of a sight.
[[nodiscard]] std::string sight_value(gyle::Sight sight, double value);

// One sentence for each: what does not fit, what it should be, what it may have been.
[[nodiscard]] std::string question_words(std::span<const gyle::TimedReading> readings, const gyle::Question& question);

[[nodiscard]] std::string gas_text(const gyle::GasPlan& plan, std::span<const gyle::GaugeReading> readings,
                                   const gyle::GasCourse& course, gyle::Instant now, bool us_units_first);

}  // namespace oddgrist::present

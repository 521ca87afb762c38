// Everything there is to say of a proposal's mash: its course, what the course makes of the starch, its pH and its enzymes. Computed by
// process; collected here for the words and for JSON.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "compose/proposal.hpp"
#include "process/mash_course.hpp"

namespace oddgrist::present {

struct MashAnswer {
  process::MashSetting setting;
  process::MashCourse course;
  bool cooling_measured = false;  // the time constant is from two readings of this vessel
  process::CourseConversion conversion;
  std::optional<process::MashAcidityReading> acidity;
  double diastatic_power_wk = 0.0;
  science::EnzymeVerdict enzymes = science::EnzymeVerdict::too_little;
  double forecast_rest_c = 0.0;  // the recipe's own rest, which the forecast uses
  double forecast_mash_ph = 0.0;
  double empirical_limit = 0.0;      // apparent, 0..1: what the forecast's empirical law stands for at its rest
  double forecast_wort_limit = 0.0;  // apparent, 0..1: of the forecast's wort, sugars of every grain counted
  double kinetic_limit = 0.0;        // apparent, 0..1: at the end of the course
  std::optional<double> kinetic_limit_least;  // with decoctions
};

// The setting of a proposal's mash, or nothing when it has none.
std::optional<process::MashSetting> mash_setting_of(const compose::Brief& brief, const compose::Proposal& proposal);

struct MashAnswerVerdict {
  std::optional<MashAnswer> answer;
  std::string refusal, remedy;
};
MashAnswerVerdict mash_answer(const compose::Brief& brief, const compose::Proposal& proposal,
                              const process::MashSetting& setting, bool cooling_measured);

}  // namespace oddgrist::present

// The fermentation in words: how long, how far, what to watch, and the gas in the room. 80 columns.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compose/proposal.hpp"
#include "process/fermentation_course.hpp"

namespace oddgrist::present {

// `room_m3`: the closed room the fermenter stands in; nothing: not stated.
[[nodiscard]] std::string ferment_text(const compose::Brief& brief, const compose::Proposal& proposal,
                                       const process::FermentationCourse& course, std::optional<double> room_m3);

// Sentences that must not be missed, the gravest first; empty if all is well.
[[nodiscard]] std::vector<std::string> ferment_warnings(const process::FermentationCourse& course,
                                                        std::optional<double> room_m3);

}  // namespace oddgrist::present

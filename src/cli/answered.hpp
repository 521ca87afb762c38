// What every verb that looks at one recipe begins with: read the brief, compose, pick the proposal.
#pragma once

#include <functional>
#include <string>

#include "cli/learned.hpp"
#include "cli/output.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::cli {

struct AnsweredBrief {
  const compose::Brief& brief;
  const compose::Answer& answer;
  const compose::Proposal& proposal;
  int code = all_well;  // or wishes_missed
  const std::vector<gyle::LearnedFigure>& learned;
};

// Calls `go` with the proposal of that number (1 is the first) and returns its exit code. A brief that cannot be read, an answer
// without a recipe (the reasons are printed in place of something that somebody might follow) and a number too high end here.
// units: "si", "us", or empty for what the brief says.
[[nodiscard]] int with_proposal(const std::string& brief_path, const std::string& units, int number,
                                const OutputOptions& output, const std::function<int(const AnsweredBrief&)>& go,
                                const LearnedOptions& learned = {});

}  // namespace oddgrist::cli

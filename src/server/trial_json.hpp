// A bench trial as JSON: docs/schema/trial.schema.json. The command line prints the same.
#pragma once

#include <string>

#include "files/answer_json.hpp"
#include "present/trial.hpp"

namespace oddgrist::server {

[[nodiscard]] files::Json trial_json(const present::TrialPlan& plan, const present::Trial& trial,
                                     const std::string& picks);

}  // namespace oddgrist::server

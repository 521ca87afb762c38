// Where a gyle is, and what can still be done, as JSON: docs/schema/gyle-now.schema.json and gyle-replan.schema.json.
#pragma once

#include "files/answer_json.hpp"
#include "gyle/condition.hpp"
#include "gyle/lesson.hpp"
#include "gyle/replan.hpp"

namespace oddgrist::files {

[[nodiscard]] Json standing_json(const gyle::Standing& standing);
[[nodiscard]] Json replan_json(const gyle::Replan& replan);
[[nodiscard]] Json next_time_json(const gyle::NextTime& next);

}  // namespace oddgrist::files

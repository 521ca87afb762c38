// What is learned of a kit as JSON: docs/schema/kit.schema.json.
#pragma once

#include <vector>

#include "files/answer_json.hpp"
#include "gyle/learn.hpp"

namespace oddgrist::files {

[[nodiscard]] Json learned_json(const std::vector<gyle::LearnedFigure>& figures);
[[nodiscard]] Json useful_json(const std::vector<gyle::UsefulReading>& useful);

}  // namespace oddgrist::files

// Gas forced into a keg as JSON: docs/schema/gas.schema.json.
#pragma once

#include <span>

#include "files/answer_json.hpp"
#include "gyle/gas_course.hpp"

namespace oddgrist::files {

// Readings in the order the course was reckoned with.
[[nodiscard]] Json gas_json(const gyle::GasPlan& plan, std::span<const gyle::GaugeReading> readings,
                            const gyle::GasCourse& course);

}  // namespace oddgrist::files

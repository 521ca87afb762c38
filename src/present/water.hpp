// A water report as a brewer reads it, 80 columns wide.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "present/water_findings.hpp"

namespace oddgrist::present {

[[nodiscard]] std::string water_text(const WaterFindings& findings, bool us_units_first);
// Every water, then the blend if there is one.
[[nodiscard]] std::string waters_text(const std::vector<WaterFindings>& waters,
                                      const std::optional<WaterFindings>& blend, bool us_units_first);

}  // namespace oddgrist::present

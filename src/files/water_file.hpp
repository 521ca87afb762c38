// A water report as TOML: [water], or several [[water]] with amounts for a blend. docs/file-format.md describes it. Ions are read by the
// same code as the [[water]] of a brief, so a brief will do.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/problem.hpp"
#include "quantity/quantity.hpp"
#include "science/water_report.hpp"

namespace oddgrist::files {

struct ReportedWater {
  std::string name;
  std::optional<Volume> amount;  // its share of a blend
  science::WaterReport report;   // as printed
  science::WaterReading reading;
  std::optional<Concentration> chlorine;  // free and bound, as Cl2
  bool distilled = false;                 // no figure at all: reckoned as distilled, as in a brief
  Place place;
};

// At least one water. Whatever the science refuses (hardness below its calcium, an alkalinity impossible at its pH) is a problem with
// its place.
Result<std::vector<ReportedWater>> read_water_file(const std::string& path);
Result<std::vector<ReportedWater>> read_water_text(std::string_view text, const std::string& path);

// "7 °dH", "125 mg/L CaCO3", "2.5 mEq/L", "12 °fH", "152 mg/L HCO3", "5 °e", "7.3 gpg"; mmol/L only for hardness, as an alkalinity in mmol/L
// may mean either of two things. A bare mg/L is refused likewise. The text of what is wrong, with the choices, in `fault`.
enum class HardnessSense { hardness, alkalinity };
std::optional<science::Hardness> parse_hardness(std::string_view text, HardnessSense sense, std::string& fault);

}  // namespace oddgrist::files

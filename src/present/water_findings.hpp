// What a water report means to a brewer: hardness and alkalinity, what it is above, what boiling or diluting it would leave.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "quantity/quantity.hpp"
#include "science/water_report.hpp"

namespace oddgrist::present {

struct WaterToRead {
  std::string name;
  std::optional<Volume> amount;
  science::WaterReading reading;
  std::optional<double> ph;
  std::optional<Concentration> chlorine;
  bool distilled = false;
};

struct IonLine {
  std::string name;
  double mg_per_l = 0.0, meq_per_l = 0.0;
  bool stated = true;       // false: not in the report, taken as 0
  bool worked_out = false;  // from the hardness
};

struct Dilution {
  double distilled_share = 0.0;
  science::WaterIons<double> ions;
};

struct Boiled {
  science::WaterIons<double> ions;
  double chalk_mg_per_l = 0.0;  // falls out
};

struct WaterFindings {
  WaterToRead water;
  std::vector<IonLine> ions;  // alkalinity as bicarbonate last
  double hardness_meq_per_l = 0.0;
  double carbonate_hardness_meq_per_l = 0.0;  // what boiling can take at most: the lesser of hardness and alkalinity
  double residual_alkalinity_meq_per_l = 0.0;
  std::vector<science::WaterCeiling> exceeded;
  std::optional<Boiled> boiled;  // none when boiling changes nothing
  std::vector<Dilution> diluted;
  std::optional<double> share_below_ceilings;  // of distilled water that brings every ion exceeded to its ceiling
};

WaterFindings water_findings(const WaterToRead& water);

// All of them together; nothing unless there are at least two and each says its amount. The pH of a blend is not a mean, so it has
// none; its chlorine is one when all state it.
std::optional<WaterFindings> blend_findings(const std::vector<WaterToRead>& waters);

// What open boiling and cooling leaves: chalk falls until 1 mEq/L of alkalinity or of calcium is left. Common practice, no source; the
// equilibrium would go lower, the fall is slow.
Boiled water_boiled(const science::WaterIons<double>& water);

// "calcium", "alkalinity"
std::string ion_name(science::WaterIon ion);
double ion_value(const science::WaterIons<double>& water, science::WaterIon ion);
std::string slip_words(science::ReportSlip slip);

// The units hardness is stated in, with their signs.
struct HardnessColumn {
  science::HardnessUnit unit;
  const char* sign;
  const char* json_key;
  int decimals;
};
inline constexpr std::array<HardnessColumn, 7> hardness_columns{{
    {science::HardnessUnit::milliequivalent_per_l, "mEq/L", "meq_per_l", 2},
    {science::HardnessUnit::calcium_carbonate_mg_per_l, "mg/L CaCO3", "mg_per_l_caco3", 0},
    {science::HardnessUnit::german_degree, "°dH", "german_degrees", 1},
    {science::HardnessUnit::french_degree, "°fH", "french_degrees", 1},
    {science::HardnessUnit::english_degree, "°e", "english_degrees", 1},
    {science::HardnessUnit::us_grain_per_gallon, "gpg", "us_grains_per_gallon", 1},
    {science::HardnessUnit::millimole_per_l, "mmol/L", "mmol_per_l", 2},
}};

}  // namespace oddgrist::present

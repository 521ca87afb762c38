// A water report as it comes: some ions, hardness and alkalinity in whatever unit, perhaps a pH. What it says, and
// whether it adds up.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "science/water.hpp"

namespace oddgrist::science {

struct Hardness {
  double value = 0.0;
  HardnessUnit unit = HardnessUnit::milliequivalent_per_l;
};

struct WaterReport {
  std::optional<double> calcium_mg_per_l, magnesium_mg_per_l, sodium_mg_per_l, potassium_mg_per_l;
  std::optional<double> chloride_mg_per_l, sulphate_mg_per_l, nitrate_mg_per_l;
  std::optional<double> bicarbonate_mg_per_l;  // the ion itself; give this or alkalinity
  std::optional<Hardness> alkalinity;
  std::optional<Hardness> hardness;  // calcium and magnesium together
  std::optional<double> ph;
  double temperature_c = 20.0;
};

enum class WaterIon { calcium, magnesium, sodium, potassium, chloride, sulphate, nitrate, alkalinity };

constexpr std::string_view water_ion_word(WaterIon ion) {
  constexpr std::string_view words[] = {"calcium",  "magnesium", "sodium",  "potassium",
                                        "chloride", "sulphate",  "nitrate", "alkalinity"};
  return words[static_cast<std::size_t>(ion)];
}

struct ChargeBalance {
  double cations_meq_per_l = 0.0;
  double anions_meq_per_l = 0.0;
  double error_percent = 0.0;  // 100 (cations - anions) / (cations + anions); 0 for pure water
  bool acceptable = true;      // within 5 %, or within 0.2 mEq/L
  bool within_laboratory_limit =
      true;  // Standard Methods 1030 E: 0.2 mEq/L up to 3 mEq/L of anions, 2 % up to 10, 5 % above
};

// A way a number gets onto the wrong line of a report.
enum class ReportSlip {
  other,                             // the value that would balance, for a reason unknown
  sulphate_as_sulphur,               // the laboratory printed SO4-S
  nitrate_as_nitrogen,               // NO3-N
  alkalinity_as_calcium_carbonate,   // taken for bicarbonate
  bicarbonate_as_calcium_carbonate,  // taken for alkalinity as CaCO3
  calcium_as_calcium_carbonate,      // calcium hardness taken for calcium
  magnesium_as_calcium_carbonate,
  total_hardness_as_calcium,  // total hardness as CaCO3 taken for calcium
};

struct WaterSuspect {
  WaterIon ion;
  ReportSlip slip;
  double reported;  // mg/L; alkalinity in mEq/L
  double corrected;
  double error_percent_after;
};

struct WaterReading {
  WaterIons<double> ions;
  ChargeBalance balance;
  double bicarbonate_mg_per_l = 0.0;
  std::vector<WaterIon> filled_in;  // not in the report: magnesium or calcium from hardness
  std::vector<WaterIon> missing;    // not in the report and taken as 0: the balance can't be trusted
  std::vector<WaterSuspect>
      suspects;  // only when the balance is not acceptable and nothing is missing but potassium and nitrate;
                 // known slips first, then single ions from the smallest relative change up
};

struct WaterVerdict {
  std::optional<WaterReading> reading;
  std::string refusal;  // empty with a reading
};

// Refuses negative or impossible numbers (ions above 20 g/L, pH outside 2..12.5, temperature outside 0..90 C),
// bicarbonate and alkalinity both given, hardness below the calcium or magnesium it should contain, a bicarbonate unit
// for hardness.
WaterVerdict read_water_report(const WaterReport& report);

ChargeBalance water_charge_balance(const WaterIons<double>& water);

// ---- Ceilings for a water to drink

enum class CeilingKind { health, taste };

struct WaterCeiling {
  WaterIon ion;
  CeilingKind kind;
  double mg_per_l;
  const char* reason;
  const char* source;
};

std::span<const WaterCeiling> water_ceilings();
// Those a water is above.
std::vector<WaterCeiling> water_ceilings_exceeded(const WaterIons<double>& water);

}  // namespace oddgrist::science

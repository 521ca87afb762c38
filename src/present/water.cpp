#include "present/water.hpp"

#include <cmath>

#include <fmt/format.h>

#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using science::WaterIons;

constexpr std::size_t page_columns = 80;
constexpr std::size_t label_columns = 18;

void put(std::string& text, std::string_view label, std::string_view words) {
  const auto lines = wrapped(words, page_columns - label_columns);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    text += padded(i == 0 ? label : "", label_columns) + lines[i] + "\n";
  }
}

std::string right(const std::string& text, std::size_t width) {
  const std::size_t taken = columns(text);
  return std::string(taken < width ? width - taken : 0, ' ') + text;
}

void write_ions(std::string& text, const WaterFindings& findings) {
  text += padded("ion", label_columns) + right("mg/L", 8) + right("mEq/L", 9) + "\n";
  for (const IonLine& ion : findings.ions) {
    text += padded(ion.name, label_columns) + right(fixed(ion.mg_per_l, 1), 8) + right(fixed(ion.meq_per_l, 2), 9);
    if (!ion.stated) text += "  not in the report, taken as 0";
    if (ion.worked_out) text += "  from the hardness";
    text += "\n";
  }
}

// One row a measure, one column a unit.
void write_hardness(std::string& text, const WaterFindings& findings) {
  constexpr std::size_t width[] = {7, 12, 7, 7, 7, 7, 8};
  const auto row = [&](std::string_view label, double meq_per_l, bool molar) {
    text += padded(label, label_columns);
    for (std::size_t i = 0; i < hardness_columns.size(); ++i) {
      const HardnessColumn& column = hardness_columns[i];
      const bool meant = molar || column.unit != science::HardnessUnit::millimole_per_l;
      text +=
          right(meant ? fixed(meq_per_l / science::meq_per_l_per_unit(column.unit), column.decimals) : "-", width[i]);
    }
    text += "\n";
  };
  text += padded("", label_columns);
  for (std::size_t i = 0; i < hardness_columns.size(); ++i) text += right(hardness_columns[i].sign, width[i]);
  text += "\n";
  row("hardness", findings.hardness_meq_per_l, true);
  row("  carbonate", findings.carbonate_hardness_meq_per_l, true);
  row("  the rest", findings.hardness_meq_per_l - findings.carbonate_hardness_meq_per_l, true);
  row("alkalinity", findings.water.reading.ions.alkalinity_meq_per_l, false);
  row("residual", findings.residual_alkalinity_meq_per_l, false);
}

// Alkalinity is reckoned in mEq/L; people know it as bicarbonate.
std::string ion_amount(science::WaterIon ion, double value) {
  if (ion != science::WaterIon::alkalinity) return fixed(value, 1) + " mg/L";
  return fmt::format("{} mEq/L ({} mg/L HCO3)", fixed(value, 2), fixed(value * science::bicarbonate_mg_per_meq, 0));
}

void write_balance(std::string& text, const WaterFindings& findings) {
  const science::WaterReading& reading = findings.water.reading;
  const science::ChargeBalance& balance = reading.balance;
  std::string verdict = "agrees with itself";
  if (!balance.acceptable) {
    verdict = "does not add up";
  } else if (!balance.within_laboratory_limit) {
    verdict = "fair for a yearly mean, too far off for a single sample (Standard Methods 1030 E)";
  }
  put(text, "charge",
      fmt::format("cations {} mEq/L, anions {} mEq/L, error {} %: {}.", fixed(balance.cations_meq_per_l, 2),
                  fixed(balance.anions_meq_per_l, 2), fixed(balance.error_percent, 1), verdict));
  if (!balance.acceptable && reading.suspects.empty()) {
    put(text, "",
        reading.missing.empty() ? "No single figure explains it."
                                : "Figures are missing, so nothing can be said of which is wrong.");
  }
  constexpr std::size_t most_suspects = 3;
  for (std::size_t i = 0; i < std::min(reading.suspects.size(), most_suspects); ++i) {
    const science::WaterSuspect& suspect = reading.suspects[i];
    put(text, i == 0 ? "likely wrong" : "  or",
        fmt::format("{}: {} should be {}; {}.", ion_name(suspect.ion), ion_amount(suspect.ion, suspect.reported),
                    ion_amount(suspect.ion, suspect.corrected), slip_words(suspect.slip)));
  }
}

void write_ceilings(std::string& text, const WaterFindings& findings) {
  for (const science::WaterCeiling& ceiling : findings.exceeded) {
    put(text, ceiling.kind == science::CeilingKind::health ? "! health" : "! taste",
        fmt::format("{} is above {} mg/L: {}. Source: {}.", ion_name(ceiling.ion), fixed(ceiling.mg_per_l, 0),
                    ceiling.reason, ceiling.source));
  }
  if (findings.exceeded.empty()) {
    put(text, "ceilings",
        "Below those of WHO for nitrate, and for the taste of sodium, chloride and sulphate; nothing else was looked "
        "at.");
  }
}

void write_chlorine(std::string& text, const WaterFindings& findings, const Units& units) {
  constexpr double sodium = science::sodium_metabisulphite_mg_per_mg_chlorine;
  constexpr double potassium = science::potassium_metabisulphite_mg_per_mg_chlorine;
  const auto& chlorine = findings.water.chlorine;
  if (!chlorine) {
    put(text, "chlorine",
        fmt::format("Not stated. Chlorine makes chlorophenols with malt, which taste of plaster at some micrograms a "
                    "litre. For each mg/L, "
                    "free or bound, {} mg/L of sodium or {} mg/L of potassium metabisulphite (2 Cl2 for each S2O5). "
                    "Sulphite is an "
                    "allergen; none is left over if no more than that is used.",
                    fixed(sodium, 2), fixed(potassium, 2)));
    return;
  }
  const double mg_per_l = chlorine->in(milligram_per_litre);
  if (!(mg_per_l > 0.0)) {
    put(text, "chlorine", "None, so no metabisulphite.");
    return;
  }
  const double litres = findings.water.amount ? findings.water.amount->in(litre) : 10.0;
  put(text, "chlorine",
      fmt::format("{} mg/L. For {} dissolve {} mg of sodium or {} mg of potassium metabisulphite (2 Cl2 for each "
                  "S2O5): of 1 g in 1 L "
                  "of water as many mL. Good for chloramine too, which does not boil off. Sulphite is an allergen; do "
                  "not add more.",
                  fixed(mg_per_l, 2), units.volume(litres * litre), fixed(sodium * mg_per_l * litres, 0),
                  fixed(potassium * mg_per_l * litres, 0)));
}

void write_treated(std::string& text, const WaterFindings& findings) {
  if (findings.water.distilled) return;
  text += padded("what would do", label_columns) + right("Ca mg/L", 10) + right("alk mEq/L", 12) +
          right("mg/L CaCO3", 12) + right("residual mEq/L", 16) + "\n";
  const auto row = [&](const std::string& label, const WaterIons<double>& ions) {
    const double alkalinity = ions.alkalinity_meq_per_l;
    text += padded(label, label_columns) + right(fixed(ions.calcium_mg_per_l, 0), 10) +
            right(fixed(alkalinity, 2), 12) + right(fixed(alkalinity * science::calcium_carbonate_mg_per_meq, 0), 12) +
            right(fixed(science::residual_alkalinity_kolbach_meq_per_l(ions), 2), 16) + "\n";
  };
  row("as it is", findings.water.reading.ions);
  if (findings.boiled) row("boiled", findings.boiled->ions);
  for (const Dilution& dilution : findings.diluted) {
    row(fixed(100.0 * dilution.distilled_share, 0) + " % distilled", dilution.ions);
  }
  if (findings.boiled) {
    put(text, "",
        fmt::format("Boiled and decanted, {} mg/L of chalk falls out: down to 1 mEq/L of alkalinity or of calcium. "
                    "Common practice, no "
                    "source.",
                    fixed(findings.boiled->chalk_mg_per_l, 0)));
  } else {
    put(text, "",
        "Boiling would take no chalk out: alkalinity or calcium is at or below 1 mEq/L (common practice, no source).");
  }
  if (findings.share_below_ceilings) {
    put(text, "",
        fmt::format("With {} % of distilled water every ion is at or below its ceiling.",
                    fixed(std::ceil(100.0 * *findings.share_below_ceilings), 0)));
  }
}

}  // namespace

std::string water_text(const WaterFindings& findings, bool us_units_first) {
  const Units units(us_units_first);
  std::string heading = "Water: " + findings.water.name;
  if (findings.water.amount) heading += ", " + units.volume(*findings.water.amount);
  if (findings.water.ph) heading += ", pH " + fixed(*findings.water.ph, 2);
  if (findings.water.distilled) heading += "; no figures, so reckoned as distilled";
  std::string text;
  for (const std::string& line : wrapped(heading, page_columns)) text += line + "\n";
  if (findings.water.distilled) return text;
  text += "\n";
  write_ions(text, findings);
  write_balance(text, findings);
  text += "\n";
  write_hardness(text, findings);
  put(text, "", "Residual alkalinity by Kolbach (1953): alkalinity less Ca/3.5 and Mg/7, stated for cast-out wort.");
  text += "\n";
  write_ceilings(text, findings);
  write_chlorine(text, findings, units);
  text += "\n";
  write_treated(text, findings);
  return text;
}

std::string waters_text(const std::vector<WaterFindings>& waters, const std::optional<WaterFindings>& blend,
                        bool us_units_first) {
  std::string text;
  for (const WaterFindings& findings : waters) {
    if (!text.empty()) text += '\n';
    text += water_text(findings, us_units_first);
  }
  if (blend) {
    text += '\n';
    text += water_text(*blend, us_units_first);
  }
  if (!blend && waters.size() > 1) text += "\nNo blend: that takes an amount for each water.\n";
  return text;
}

}  // namespace oddgrist::present

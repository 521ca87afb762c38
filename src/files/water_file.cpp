#include "files/water_file.hpp"

#include <algorithm>
#include <array>
#include <cctype>

#include "files/text_file.hpp"
#include "files/toml_reader.hpp"
#include "files/water_section.hpp"
#include "quantity/number.hpp"
#include "science/carbonate.hpp"

namespace oddgrist::files {
namespace {

using science::Hardness;
using science::HardnessUnit;
using science::WaterReport;

// What only a report states. The ions, the amount and the name are those of a brief's [[water]].
constexpr std::array<std::string_view, 5> report_keys = {"alkalinity", "hardness", "ph", "temperature", "chlorine"};
constexpr std::array<std::string_view, 9> figure_keys = {"calcium",   "magnesium",   "sodium",
                                                         "potassium", "chloride",    "sulphate",
                                                         "nitrate",   "bicarbonate", "alkalinity-as-caco3"};

struct Spelling {
  std::string_view text;  // lower case, without spaces, degree signs and the word "as"
  HardnessUnit unit;
};
constexpr std::array spellings = std::to_array<Spelling>({
    {"meq/l", HardnessUnit::milliequivalent_per_l},
    {"mval/l", HardnessUnit::milliequivalent_per_l},
    {"mmol/l", HardnessUnit::millimole_per_l},
    {"mmol/lcaco3", HardnessUnit::millimole_per_l},
    {"mg/lcaco3", HardnessUnit::calcium_carbonate_mg_per_l},
    {"ppmcaco3", HardnessUnit::calcium_carbonate_mg_per_l},
    {"mg/lhco3", HardnessUnit::bicarbonate_mg_per_l},
    {"ppmhco3", HardnessUnit::bicarbonate_mg_per_l},
    {"dh", HardnessUnit::german_degree},
    {"dkh", HardnessUnit::german_degree},
    {"fh", HardnessUnit::french_degree},
    {"f", HardnessUnit::french_degree},
    {"e", HardnessUnit::english_degree},
    {"eh", HardnessUnit::english_degree},
    {"gpg", HardnessUnit::us_grain_per_gallon},
});
constexpr std::string_view choices =
    "mEq/L, mg/L CaCO3, mg/L HCO3 (alkalinity only), mmol/L (hardness only), °dH, °fH, °e or gpg";

std::string folded_unit(std::string_view unit) {
  std::string folded;
  for (std::size_t i = 0; i < unit.size(); ++i) {
    const auto letter = static_cast<unsigned char>(unit[i]);
    if (unit.substr(i, 2) == "°") {
      ++i;
    } else if (std::isspace(letter) == 0) {
      folded += static_cast<char>(std::tolower(letter));
    }
  }
  for (const std::string_view word : {"as", "-", "⁻"}) {
    if (const auto at = folded.find(word); at != std::string::npos) folded.erase(at, word.size());
  }
  return folded;
}

std::optional<Hardness> read_hardness(TableReader& entry, std::string_view key, HardnessSense sense) {
  const toml::node* node = entry.take(key);
  if (node == nullptr) return std::nullopt;
  const auto* text = node->as_string();
  std::string fault = fmt::format("is {}, but a quantity with its unit belongs here", type_words(*node));
  const auto hardness = text != nullptr ? parse_hardness(text->get(), sense, fault) : std::nullopt;
  if (!hardness) {
    entry.report(entry.place_of(*node), key, fmt::format("{}: {}", entry.field(key), fault),
                 fmt::format("Write for instance {} = \"125 mg/L CaCO3\"; units: {}", key, choices));
  }
  return hardness;
}

// Takes what only a report states out of the table, so that the brief's reader finds nothing it does not know.
toml::table taken_out(toml::table& entry) {
  toml::table own;
  for (const std::string_view key : report_keys) {
    const auto found = entry.find(key);
    if (found == entry.end()) continue;
    own.insert(found->first, std::move(found->second));
    entry.erase(key);
  }
  return own;
}

void read_own(TableReader& own, ReportedWater& water) {
  water.report.alkalinity = read_hardness(own, "alkalinity", HardnessSense::alkalinity);
  water.report.hardness = read_hardness(own, "hardness", HardnessSense::hardness);
  constexpr science::Range ph = science::carbonate_range_ph, heat = science::carbonate_range_c;
  water.report.ph = own.number("ph", ph.low, ph.high, fmt::format("from {} to {}", ph.low, ph.high));
  const auto temperature = own.quantity<TemperatureKind>(
      "temperature", {heat.low * celsius, heat.high * celsius, "from 0 °C to 90 °C, where the pH was read"}, "20 °C");
  if (temperature) water.report.temperature_c = temperature->in(celsius);
  water.chlorine = own.quantity<ConcentrationKind>(
      "chlorine", {0.0 * milligram_per_litre, 10.0 * milligram_per_litre, "from 0 mg/L to 10 mg/L"}, "0.5 mg/L");
}

// What the brief's reader made of the ions, told apart into printed and missing.
void take_ions(const toml::table& entry, const science::WaterIons<double>& ions, WaterReport& report) {
  const auto copy = [&](std::string_view key, std::optional<double>& into, double value) {
    if (entry.contains(key)) into = value;
  };
  copy("calcium", report.calcium_mg_per_l, ions.calcium_mg_per_l);
  copy("magnesium", report.magnesium_mg_per_l, ions.magnesium_mg_per_l);
  copy("sodium", report.sodium_mg_per_l, ions.sodium_mg_per_l);
  copy("potassium", report.potassium_mg_per_l, ions.potassium_mg_per_l);
  copy("chloride", report.chloride_mg_per_l, ions.chloride_mg_per_l);
  copy("sulphate", report.sulphate_mg_per_l, ions.sulphate_mg_per_l);
  copy("nitrate", report.nitrate_mg_per_l, ions.nitrate_mg_per_l);
  copy("bicarbonate", report.bicarbonate_mg_per_l, ions.alkalinity_meq_per_l * science::bicarbonate_mg_per_meq);
  if (entry.contains("alkalinity-as-caco3")) {
    report.alkalinity = Hardness{ions.alkalinity_meq_per_l, HardnessUnit::milliequivalent_per_l};
  }
}

void check_alkalinity_once(const toml::table& entry, TableReader& own) {
  if (!own.has("alkalinity")) return;
  for (const std::string_view key : {"bicarbonate", "alkalinity-as-caco3"}) {
    if (entry.contains(key)) {
      own.report(own.place_of("alkalinity"), "alkalinity", fmt::format("alkalinity and {} are both given", key),
                 "Keep the one the report prints");
    }
  }
}

// A refusal of the science as a problem of the file.
void read_meaning(ReportedWater& water, const std::string& path, Problems& problems) {
  science::WaterVerdict verdict = science::read_water_report(water.report);
  if (verdict.reading) {
    water.reading = std::move(*verdict.reading);
    return;
  }
  problems.push_back(Problem{water.place, path, fmt::format("\"{}\": {}", water.name, verdict.refusal),
                             "Compare with the report: the unit, and which figure stands on which line"});
}

ReportedWater read_entry(toml::table& entry, const std::string& path, const std::string& file, Problems& problems) {
  ReportedWater water;
  toml::table own_table = taken_out(entry);
  TableReader own(own_table, path, file, problems);
  read_own(own, water);
  check_alkalinity_once(entry, own);
  const auto has = [](const toml::table& table, const auto& keys) {
    return std::any_of(keys.begin(), keys.end(), [&](std::string_view key) { return table.contains(key); });
  };
  water.distilled = !has(entry, figure_keys) && !has(own_table, report_keys);
  return water;
}

std::vector<ReportedWater> read_root(toml::table& root, const std::string& file, Problems& problems) {
  std::vector<toml::table*> entries;
  toml::node* node = root.get("water");
  const bool single = node != nullptr && node->is_table();
  if (single) entries.push_back(node->as_table());
  if (toml::array* list = node != nullptr ? node->as_array() : nullptr) {
    for (toml::node& each : *list) {
      if (toml::table* table = each.as_table()) entries.push_back(table);
    }
  }
  if (entries.empty()) {
    problems.push_back(
        Problem{Place{file, 0, 0}, "water", "there is no [water] in this file",
                "Begin with a line [water], then for instance calcium = \"62 mg/L\" and alkalinity = \"7 °dH\""});
    return {};
  }
  std::vector<ReportedWater> waters;
  std::vector<const toml::table*> for_brief;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const std::string path = single ? "water" : fmt::format("water[{}]", i + 1);
    waters.push_back(read_entry(*entries[i], path, file, problems));
    for_brief.push_back(entries[i]);
  }
  const std::vector<compose::Water> known = read_waters(for_brief, file, problems);
  for (std::size_t i = 0; i < waters.size(); ++i) {
    waters[i].name = known[i].name;
    waters[i].amount = known[i].amount;
    waters[i].place = known[i].place;
    take_ions(*for_brief[i], known[i].ions, waters[i].report);
  }
  if (single && waters.front().distilled && problems.empty()) {
    problems.push_back(Problem{waters.front().place, "water", "[water] has no figure",
                               "Copy the ions from the report, for instance calcium = \"62 mg/L\""});
  }
  if (!problems.empty()) return {};
  for (ReportedWater& water : waters) {
    if (!water.distilled) read_meaning(water, "water", problems);
  }
  return waters;
}

}  // namespace

std::optional<Hardness> parse_hardness(std::string_view text, HardnessSense sense, std::string& fault) {
  const auto number = scan_number(text, 0, NumberStyle::point);
  if (!number) {
    fault = number.error().text();
    return std::nullopt;
  }
  const std::string unit = folded_unit(text.substr(number.value().end));
  const bool is_hardness = sense == HardnessSense::hardness;
  if (unit.empty() || unit == "mg/l" || unit == "ppm") {
    fault = unit.empty() ? "has no unit" : "mg/L of what? As CaCO3 or as HCO3, which differ by a fifth";
    return std::nullopt;
  }
  if (!is_hardness && unit == "mmol/l") {
    fault = "mmol/L may mean mEq/L (acid used) or mmol/L CaCO3, which differ by a factor of two";
    return std::nullopt;
  }
  const auto* row = std::find_if(spellings.begin(), spellings.end(), [&](const Spelling& s) { return s.text == unit; });
  if (row == spellings.end()) {
    fault = "is in a unit that is none of hardness or alkalinity";
    return std::nullopt;
  }
  if (is_hardness && row->unit == HardnessUnit::bicarbonate_mg_per_l) {
    fault = "hardness cannot be stated as bicarbonate";
    return std::nullopt;
  }
  const double value = number.value().value;
  if (!(value >= 0.0 && value * science::meq_per_l_per_unit(row->unit) <= 500.0)) {
    fault = "must be from 0 to 500 mEq/L";
    return std::nullopt;
  }
  return Hardness{value, row->unit};
}

Result<std::vector<ReportedWater>> read_water_text(std::string_view text, const std::string& path) {
  Problems problems;
  auto root = parse_toml(text, path, problems);
  if (!root) return problems;
  std::vector<ReportedWater> waters = read_root(*root, path, problems);
  if (problems.empty()) return waters;
  sort_by_place(problems);
  return problems;
}

Result<std::vector<ReportedWater>> read_water_file(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.problems();
  return read_water_text(text.value(), path);
}

}  // namespace oddgrist::files

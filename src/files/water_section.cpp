#include "files/water_section.hpp"

#include <set>
#include <utility>

#include "science/water.hpp"

namespace oddgrist::files {
namespace {

using Ions = science::WaterIons<double>;

constexpr std::pair<std::string_view, double Ions::*> ion_keys[] = {
    {"calcium", &Ions::calcium_mg_per_l},   {"magnesium", &Ions::magnesium_mg_per_l},
    {"sodium", &Ions::sodium_mg_per_l},     {"potassium", &Ions::potassium_mg_per_l},
    {"chloride", &Ions::chloride_mg_per_l}, {"sulphate", &Ions::sulphate_mg_per_l},
    {"nitrate", &Ions::nitrate_mg_per_l},
};

// Sea water holds 19 g/L of chloride; nothing one would brew with comes near.
constexpr Limits<ConcentrationKind> ion_limits{0.0 * milligram_per_litre, 5000.0 * milligram_per_litre,
                                               "from 0 mg/L to 5000 mg/L"};

// Reports state alkalinity as calcium carbonate or as bicarbonate; the two differ by a fifth, so the key says which.
void read_alkalinity(TableReader& entry, Ions& ions) {
  const auto carbonate = entry.quantity<ConcentrationKind>("alkalinity-as-caco3", ion_limits, "180 mg/L");
  const auto bicarbonate = entry.quantity<ConcentrationKind>("bicarbonate", ion_limits, "220 mg/L");
  using science::HardnessUnit;
  if (carbonate) {
    ions.alkalinity_meq_per_l =
        carbonate->in(milligram_per_litre)*science::meq_per_l_per_unit(HardnessUnit::calcium_carbonate_mg_per_l);
  }
  if (bicarbonate) {
    ions.alkalinity_meq_per_l =
        bicarbonate->in(milligram_per_litre)*science::meq_per_l_per_unit(HardnessUnit::bicarbonate_mg_per_l);
  }
  if (carbonate && bicarbonate) {
    entry.report(entry.place_of("bicarbonate"), "bicarbonate",
                 fmt::format("{} states its alkalinity twice", entry.path()),
                 "Keep alkalinity-as-caco3 or bicarbonate");
  }
}

}  // namespace

std::vector<compose::Water> read_waters(const std::vector<const toml::table*>& entries, const std::string& file,
                                        Problems& problems) {
  std::vector<compose::Water> waters;
  std::set<std::string> names;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    TableReader entry(*entries[i], fmt::format("water[{}]", i + 1), file, problems);
    compose::Water water;
    water.place = entry.place();
    if (const auto name = entry.words("name")) water.name = name->text;
    water.amount = entry.quantity<VolumeKind>("amount", {0.1 * litre, 5000.0 * litre, "from 0.1 L to 5000 L"}, "20 L");
    for (const auto& [key, ion] : ion_keys) {
      const auto concentration = entry.quantity<ConcentrationKind>(key, ion_limits, "60 mg/L");
      if (concentration) water.ions.*ion = concentration->in(milligram_per_litre);
    }
    read_alkalinity(entry, water.ions);
    entry.report_unknown_keys();
    if (!names.insert(water.name).second) {
      entry.report(entry.place_of("name"), "name", fmt::format("a second water named \"{}\"", water.name),
                   "Give each its own name");
    }
    waters.push_back(std::move(water));
  }
  return waters;
}

}  // namespace oddgrist::files

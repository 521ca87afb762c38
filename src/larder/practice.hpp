// What brewers keep to, as data: data/practice.toml.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "larder/embedded.hpp"

namespace oddgrist::larder {

// The figures of a brew that a row can bound.
enum class PracticeOf {
  mash_thickness,
  strike_temperature,
  rest_temperature,
  sugar_share,
  malt_per_litre,
  roasted_share,
  crystal_share,
  acidulated_share,
  unmalted_share,
  grain_share,
  enzyme_power,
  raw_grain,
  hops_boiled,
  hops_late,
  hops_dry,
  alcohol,
  bitterness_per_gravity,
  attenuation,
  sodium,
  salts,
  dose_by_taste,
  dose_by_safety,
  yeast_pitch,
};
inline constexpr int practice_count = 23;

struct PracticeRange {
  std::optional<double> low, high;
};

struct PracticeRow {
  std::string id;
  PracticeOf of = PracticeOf::mash_thickness;
  std::string name, unit;
  PracticeRange assumed;  // taken for granted where nothing is wished
  PracticeRange usual;    // soft: a brief may ask for more
  PracticeRange limit;    // hard: no recipe goes past it
  std::string means;      // what it means to leave it
  std::string source;
};

class PracticeTable {
 public:
  // Throws CatalogueError naming file, line and row. Every figure has exactly one row.
  explicit PracticeTable(const EmbeddedFile& file);

  [[nodiscard]] const std::vector<PracticeRow>& rows() const { return rows_; }
  [[nodiscard]] const PracticeRow& row(PracticeOf of) const;

 private:
  std::vector<PracticeRow> rows_;
};

const PracticeTable& practice_table();

}  // namespace oddgrist::larder

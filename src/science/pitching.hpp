// How much yeast to pitch.
#pragma once

#include <cmath>

#include "science/range.hpp"

namespace oddgrist::science {

// Cells, in millions, for each mL of wort and each degree Plato. Ranges: Boulton & Quain, Brewing Yeast and
// Fermentation, 2001; Briggs et al., Brewing: Science and Practice, 2004 (from memory). Add a quarter for wort above 18
// P (common practice, no source).
struct PitchRate {
  double usual = 0.75;
  double low = 0.5;
  double high = 1.0;
};
inline constexpr PitchRate pitch_rate_ale{0.75, 0.5, 1.0};
inline constexpr PitchRate pitch_rate_lager{1.5, 1.0, 2.0};

// Cells to pitch. Linear; range 3..25 P.
template <class Scalar>
Scalar pitch_cells(double million_cells_per_ml_plato, const Scalar& volume_l, const Scalar& extract_plato) {
  const Scalar litre_plato = volume_l * extract_plato;
  return litre_plato * (million_cells_per_ml_plato * 1e9);
}

// Living cells in a gram of dry yeast, counted after rehydration; makers warrant 5e9 and upward (from memory).
inline constexpr double dry_yeast_cells_per_g = 1e10;
inline constexpr Range dry_yeast_cells_per_g_range{5e9, 2e10};

// Dry yeast for that many cells, grams.
template <class Scalar>
Scalar dry_yeast_g(const Scalar& cells, double cells_per_g = dry_yeast_cells_per_g) {
  return cells / cells_per_g;
}

// Share of a cold slurry (about 4 C) that still lives after some days: a constant share dies each day. 0.7 % a day,
// 0.3..1.5 (common practice, no source; from memory): beyond four weeks count cells instead. Negative days count as
// none.
inline constexpr double slurry_death_per_day = 0.007;
inline constexpr Range slurry_death_per_day_range{0.003, 0.015};
inline constexpr Range slurry_age_range_days{0.0, 28.0};

template <class Scalar>
Scalar slurry_viability(const Scalar& days, double death_per_day = slurry_death_per_day) {
  using std::exp;
  if (days <= 0.0) return Scalar(1.0);
  return exp(days * std::log(1.0 - death_per_day));
}

// Slurry that holds so many living cells, litres. Cells (alive and dead) in thick slurry: about 1e12 a litre,
// 0.5e12..2e12 (common practice, no source; from memory).
inline constexpr double slurry_cells_per_l = 1e12;
inline constexpr Range slurry_cells_per_l_range{0.5e12, 2e12};

template <class Scalar>
Scalar slurry_l(const Scalar& cells, const Scalar& days, double cells_per_l = slurry_cells_per_l,
                double death_per_day = slurry_death_per_day) {
  const Scalar living_per_l = slurry_viability(days, death_per_day) * cells_per_l;
  return cells / living_per_l;
}

}  // namespace oddgrist::science

// How far a wort can ferment, from the mash: share of fermentable sugar, which sugars, and the water that starch
// takes up.
#pragma once

#include "science/range.hpp"

namespace oddgrist::science {

inline constexpr Range mash_fermentable_share_range_c{62.0, 75.0};

// Share of the whole extract of a one-step 60-minute all-malt mash that ferments (real, not apparent). Common
// practice, no source; from memory: limits of apparent attenuation 83, 79.5, 75, 71.5, 65, 55 % at 63.5, 66.5, 68.5,
// 70, 72, 74.5 C (mid-points of ranges some 5 points wide), times 0.81 for the real. A least-squares parabola through
// them; residuals (fit less table, share): +0.0001, -0.0010, +0.0024, -0.0012, -0.0005, +0.0003. The spread of real
// malts and mashes is ten times that: +-0.03. Falls everywhere in 62..75 C and stays flat outside it. That is a
// refusal to extrapolate, not a statement: below 62 C the rest runs out of dissolved starch, above 75 C out of
// enzyme. Check the range.
template <class Scalar>
Scalar mash_fermentable_share(const Scalar& rest_temperature_c) {
  constexpr double low = mash_fermentable_share_range_c.low;
  constexpr double high = mash_fermentable_share_range_c.high;
  Scalar above = rest_temperature_c - low;
  if (rest_temperature_c < low) above = Scalar(0.0);
  if (rest_temperature_c > high) above = Scalar(high - low);
  return (above * -0.00134869 - 0.00171242) * above + 0.67796328;
}

// What a pale malt's extract holds before the mash (typical wort analyses, handbooks; from memory): sugars that ferment, and protein and
// ash that never do. The rest of it is made from starch.
inline constexpr double malt_sugar_of_extract = 0.06, malt_other_of_extract = 0.06;

// Share of the extract that the mash makes from starch which ferments, such that an all-pale-malt wort as a whole has the share
// above. Same range and error.
template <class Scalar>
Scalar starch_fermentable_share(const Scalar& rest_temperature_c) {
  constexpr double from_starch = 1.0 - malt_sugar_of_extract - malt_other_of_extract;
  const Scalar whole = mash_fermentable_share(rest_temperature_c);
  return (whole - malt_sugar_of_extract) / from_starch;
}

// Parts of the fermentable sugar by mass, adding up to 1. Typical of all-malt wort (handbooks; from memory).
struct SugarSplit {
  double glucose = 0.11;
  double maltose = 0.68;
  double maltotriose = 0.21;
};

// kg of sugar from 1 kg of dry starch: the sugar's molar mass over that of its anhydroglucose units, 162.14 g/mol each
// (C6H10O5), from atomic weights IUPAC 2021. Dextrins are long enough to be counted as starch.
inline constexpr double glucose_per_starch = 180.156 / 162.141;
inline constexpr double maltose_per_starch = 342.297 / (2.0 * 162.141);
inline constexpr double maltotriose_per_starch = 504.438 / (3.0 * 162.141);
inline constexpr double dextrin_per_starch = 1.0;

}  // namespace oddgrist::science

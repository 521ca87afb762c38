// Extract a malt can give, and the two ways the trade writes it. Fractions by mass.
#pragma once

#include "science/range.hpp"

namespace oddgrist::science {

inline constexpr Range extract_fraction_range{0.0, 1.0};

// Extract of malt as it is weighed, from the laboratory's fine-grind extract on dry basis and the moisture. Exact by
// the definition of "dry basis" (ASBC Malt-4, EBC Analytica 4.5.1). A brewery reaches less: multiply by its own
// efficiency.
template <class Scalar>
Scalar as_is_extract(const Scalar& fine_grind_dry_basis, const Scalar& moisture) {
  const Scalar dry = moisture * -1.0 + 1.0;
  return fine_grind_dry_basis * dry;
}

// Litre-degrees per kg in one point-gallon per pound: the US gallon in litres over the pound in kg, both exact.
inline constexpr double litre_degrees_per_kg_per_point_gallon_per_lb = 3.785411784 / 0.45359237;

// Points times US gallons per pound, from litre-degrees per kg.
template <class Scalar>
Scalar points_gallon_per_lb(const Scalar& litre_degrees_per_kg) {
  return litre_degrees_per_kg / litre_degrees_per_kg_per_point_gallon_per_lb;
}

template <class Scalar>
Scalar litre_degrees_per_kg(const Scalar& points_gallon_per_lb) {
  return points_gallon_per_lb * litre_degrees_per_kg_per_point_gallon_per_lb;
}

}  // namespace oddgrist::science

// The span a formula was published for. Every header names its ranges, so that a caller can refuse a value in words
// before the arithmetic starts; the formulas themselves never throw.
#pragma once

namespace oddgrist::science {

struct Range {
  double low = 0.0;
  double high = 0.0;
  // False for a value outside and for a value that is not a number.
  [[nodiscard]] constexpr bool holds(double value) const { return value >= low && value <= high; }
};

}  // namespace oddgrist::science

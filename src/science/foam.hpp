// Fat, and what it does to the head of a beer.
#pragma once

#include <string_view>

#include "science/range.hpp"

namespace oddgrist::science {

// Fat brought into the beer, mg/L. Linear. A volume that is not above 0 gives 0.
template <class Scalar>
Scalar fat_load_mg_per_l(const Scalar& fat_kg, const Scalar& beer_l) {
  if (!(beer_l > 0.0)) return Scalar(0.0);
  const Scalar fat_mg = fat_kg * 1e6;
  return fat_mg / beer_l;
}

// Share of it that reaches the glass after trub, yeast and settling. Our own estimate; no source measured nut pastes.
inline constexpr Range fat_carry_over_range{0.01, 0.10};

struct FatCarryOver {
  double low_mg_per_l = 0.0;
  double high_mg_per_l = 0.0;
};

constexpr FatCarryOver fat_carry_over(double load_mg_per_l) {
  const double load = load_mg_per_l > 0.0 ? load_mg_per_l : 0.0;
  return {load * fat_carry_over_range.low, load * fat_carry_over_range.high};
}

// Long-chain fatty acids (C12-C14, C18:1, C18:2) weaken foam and C16, C18 destroy it; C6-C10 do not: Wilde et al., J.
// Am. Soc. Brew. Chem. 61 (2003) 196-202. Effects begin at 0.1-1 mg/L and are strong above 1-5 mg/L (from memory,
// weak). Beer itself holds 0.3-1 mg/L.
enum class HeadVerdict { unharmed, weakened, poor, none };

constexpr HeadVerdict head_verdict(double fat_in_glass_mg_per_l) {
  if (!(fat_in_glass_mg_per_l > 1.0)) return HeadVerdict::unharmed;
  if (fat_in_glass_mg_per_l <= 5.0) return HeadVerdict::weakened;
  return fat_in_glass_mg_per_l <= 30.0 ? HeadVerdict::poor : HeadVerdict::none;
}

constexpr std::string_view head_words(HeadVerdict verdict) {
  switch (verdict) {
    case HeadVerdict::unharmed: return "no harm to the head expected";
    case HeadVerdict::weakened: return "the head will fall sooner";
    case HeadVerdict::poor: return "expect a poor head";
    case HeadVerdict::none: return "expect no head";
  }
  return "";
}

}  // namespace oddgrist::science

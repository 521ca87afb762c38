// Diastatic power: how much starch-splitting enzyme a grist brings.
#pragma once

#include <cmath>
#include <optional>
#include <span>

#include "quantity/gravity.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

inline constexpr Range diastatic_power_range_wk{-16.0, 2000.0};

// Windisch-Kolbach units from degrees Lintner, and back: WK = 3.5 L - 16. The conversion adopted by EBC and printed on
// maltsters' analyses (EBC Analytica 4.12; from memory). 0 Lintner is -16 WK: the line does not go through zero, so
// below 5 Lintner it means nothing.
template <class Scalar>
Scalar windisch_kolbach_from_lintner(const Scalar& lintner) {
  return Scalar(3.5 * lintner - 16.0);
}
template <class Scalar>
Scalar lintner_from_windisch_kolbach(const Scalar& windisch_kolbach) {
  return Scalar((windisch_kolbach + 16.0) / 3.5);
}

// Below the first a mash of common length may leave starch unconverted; between the two it converts slowly.
// Common practice, no source; from memory.
inline constexpr double diastatic_power_least_wk = 100.0;
inline constexpr double diastatic_power_comfortable_wk = 120.0;
// What alpha_level = beta_level = 1 of the mash kinetics stands for: pale lager malt, 240..350 WK (maltsters' analyses;
// from memory).
inline constexpr double diastatic_power_pale_malt_wk = 280.0;

// alpha_level and beta_level for a grist of this power. A simplification of ours: diastatic power is mostly
// beta-amylase, and a malt's two amylases do not rise in step. Linear; hold it within the 0..3 the kinetics take.
template <class Scalar>
Scalar enzyme_level_from_diastatic_power(const Scalar& blend_wk) {
  return Scalar(blend_wk / diastatic_power_pale_malt_wk);
}

enum class EnzymeVerdict { enough, slow, too_little };

template <class Scalar>
struct EnzymeShare {
  Scalar mass_kg;
  double diastatic_power_wk;
};

// Diastatic power of the whole grist, WK, by mass: WK is stated per 100 g, so it mixes linearly. Nothing for an empty
// grist or a negative figure.
template <class Scalar>
std::optional<Scalar> diastatic_power_blend_wk(std::span<const EnzymeShare<Scalar>> grist) {
  Scalar mass = Scalar(0.0), power = Scalar(0.0);
  for (const EnzymeShare<Scalar>& share : grist) {
    if (!(plain_value(share.mass_kg) >= 0.0) || !(share.diastatic_power_wk >= 0.0)) return std::nullopt;
    mass = Scalar(mass + share.mass_kg);
    power = Scalar(power + share.diastatic_power_wk * share.mass_kg);
  }
  const double plain_mass = plain_value(mass);
  if (!(plain_mass > 0.0) || !std::isfinite(plain_mass) || !std::isfinite(plain_value(power))) return std::nullopt;
  return Scalar(power / mass);
}

constexpr EnzymeVerdict diastatic_power_verdict(double blend_wk) {
  if (blend_wk >= diastatic_power_comfortable_wk) return EnzymeVerdict::enough;
  return blend_wk >= diastatic_power_least_wk ? EnzymeVerdict::slow : EnzymeVerdict::too_little;
}

}  // namespace oddgrist::science

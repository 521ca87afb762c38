// A fermentation in time: glucose, maltose and maltotriose taken up in that order, ethanol and gas by mass balance.
#pragma once

#include <limits>
#include <vector>

#include "science/carbonation.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

// ---- What comes of fermented sugar

inline constexpr double ethanol_g_per_mol = 46.069;  // IUPAC 2021 weights
inline constexpr double maltose_g_per_mol = sucrose_g_per_mol;

// Share of the hexose that becomes ethanol and carbon dioxide, two molecules of each; the rest becomes yeast and
// by-products. Balling's balance (2.0665 g extract: 0.11 g of it yeast) gives 0.947; Gee & Ramirez 1988 use 0.96 of the
// ethanol.
inline constexpr double hexose_to_ethanol_share = 0.947;
inline constexpr Range hexose_to_ethanol_share_range{0.92, 0.96};

template <class Scalar>
struct FermentedHexose {
  Scalar ethanol{0.0};
  Scalar carbon_dioxide{0.0};
  Scalar yeast{0.0};
};

// Products of a mass of hexose, in its own unit of mass; their sum is that mass exactly. A disaccharide takes up water
// first: maltose and sucrose count 2 * 180.156 / 342.297 times their mass, maltotriose 3 * 180.156 / 504.438. Linear,
// no limit of range.
template <class Scalar>
FermentedHexose<Scalar> ferment_hexose(const Scalar& hexose, double to_ethanol_share = hexose_to_ethanol_share) {
  constexpr double ethanol_part = ethanol_g_per_mol / (ethanol_g_per_mol + carbon_dioxide_g_per_mol);
  FermentedHexose<Scalar> products;
  const Scalar split = hexose * to_ethanol_share;
  products.ethanol = split * ethanol_part;
  products.carbon_dioxide = split - products.ethanol;
  products.yeast = hexose - split;
  return products;
}

// ---- In time

struct FermentationSugars {
  double glucose_g_l = 0.0;  // fructose counts here too
  double maltose_g_l = 0.0;
  double maltotriose_g_l = 0.0;
  [[nodiscard]] double hexose_g_l() const;  // after hydrolysis
};

// Sugar stirred in later. Sucrose is split by the yeast within hours and counts as glucose here.
struct LateSugar {
  double hour = 0.0;
  double glucose_g_l = 0.0;
  double sucrose_g_l = 0.0;
  double maltose_g_l = 0.0;
};

// Temperature of the beer: straight lines between points in order of time, held before the first and after the last.
struct BeerTemperature {
  double hour = 0.0;
  double temperature_c = 18.0;
};

// The constants were fitted to lager worts of 12-14 P at 8..18 C.
inline constexpr Range fermentation_gee_range_c{8.0, 18.0};

struct FermentationInput {
  FermentationSugars start;
  double maltotriose_uptake = 1.0;  // share of it this strain takes, 0..1
  double ethanol_start_g_l = 0.0;
  std::vector<BeerTemperature> course = {{0.0, 18.0}};
  std::vector<LateSugar> late_sugars;  // in order of time
  double hours = 336.0;
  double sample_hours = 6.0;
  double pitch_relative = 1.0;   // yeast over what the published runs began with (125 mol/m3)
  double rate_multiplier = 1.0;  // strain and vitality; see the range below
  // growth of the rates with 10 K above 18 C (and below 8 C); 1.5..2.5, from memory
  double above_range_q10 = 2.0;
  double stop_temperature_c = 40.0;  // no brewing yeast works above; between 32 C and this the rate falls to nothing
  // Ethanol that stops this strain: every rate is multiplied by 1 - E / limit (Levenspiel, Biotechnol. Bioeng. 22
  // (1980) 1671, n = 1). Infinite: off, as in the published model, whose constants already hold the effect of ordinary
  // beers.
  double ethanol_limit_g_l = std::numeric_limits<double>::infinity();
  double to_ethanol_share = hexose_to_ethanol_share;
};

// How far real fermentations of a recipe stray from the fitted brewery: our own estimate, from the spread of times in
// practice.
inline constexpr Range fermentation_rate_multiplier_range{0.6, 1.6};

enum class FermentationStatus {
  done,                // what the strain can ferment is gone (99.5 % of it)
  under_way,           // time ended first
  stopped_by_ethanol,  // the limit of the strain came first, sugar is left
  stopped_by_cold_or_heat,
  bad_input,
  solver_failed,
};

struct FermentationSample {
  double hour = 0.0;
  double temperature_c = 0.0;
  FermentationSugars sugars;  // all that is dissolved, the untouched share of the maltotriose too
  double ethanol_g_l = 0.0;
  double carbon_dioxide_g_l = 0.0;  // made so far, given off or dissolved
  double yeast_g_l = 0.0;           // grown so far
};

struct FermentationRun {
  FermentationStatus status = FermentationStatus::bad_input;
  std::vector<FermentationSample> samples;
  FermentationSugars limit;        // what stays at the end of all time
  double ethanol_limit_g_l = 0.0;  // ethanol then, by stoichiometry
  // the sample at which 95 % of the fermentable was gone for good; the last one if it never was
  double attenuation_hour = 0.0;
  bool extrapolated = false;  // some of the course lay outside 8..18 C
};

// Integrates the model of Gee & Ramirez, Optimal temperature control for batch beer fermentation, Biotechnol. Bioeng.
// 31 (1988) 224-234, and J. Inst. Brew. 100 (1994) 321-329: Monod uptake with glucose repressing maltose and both
// repressing maltotriose; rate constants Arrhenius. Outside 8..18 C they are taken at that end and all rates scaled by
// `above_range_q10`: our own extension for ale strains. Ethanol, gas and yeast come from the sugar gone, so masses
// balance to rounding. Volume change and evaporation are left out. The integration's own error is below 1 mg/L of
// sugar. Never throws; with `bad_input` and `solver_failed` only the samples reached are there. Values are never NaN.
[[nodiscard]] FermentationRun ferment(const FermentationInput& input);

}  // namespace oddgrist::science

// Carbon dioxide in beer: how much dissolves, what sugar gives, how fast gas goes in. One volume is one litre of gas at
// 0 C and one atmosphere in a litre of beer. Pressures are absolute and in bar unless a name says otherwise.
#pragma once

#include <cmath>

#include "science/range.hpp"
#include "science/vapour.hpp"

namespace oddgrist::science {

// Molar mass of carbon dioxide over the molar volume of an ideal gas (IUPAC 2021 weights; CODATA 2018, 101.325 kPa),
// the convention brewing tables follow. The real gas would be 1.9768 g/L, 0.7 % more.
inline constexpr double carbon_dioxide_g_per_mol = 44.009;
inline constexpr double water_g_per_mol = 18.015;
inline constexpr double glucose_g_per_mol = 180.156;
inline constexpr double sucrose_g_per_mol = 342.297;  // maltose the same
inline constexpr double maltotriose_g_per_mol = 504.438;
inline constexpr double ideal_molar_volume_l = 22.41396954;
inline constexpr double carbon_dioxide_g_per_l_per_volume = carbon_dioxide_g_per_mol / ideal_molar_volume_l;

inline constexpr double bar_per_psi = 0.0689475729;

// ---- Equilibrium

// The fit follows the brewers' table of equilibrium pressures, 0..~16 C; above it rests on the form of Henry's law (it
// stays within 3 % of 0.95 times the solubility in water up to 40 C).
inline constexpr Range carbonation_delange_range_c{0.0, 40.0};

namespace carbonation_detail {
// Slope of the fit, volumes per psi, and its constant, volumes.
template <class Scalar>
Scalar delange_slope_per_psi(const Scalar& temperature_c) {
  using std::exp;
  return 0.01821 + 0.090115 * exp(temperature_c * (-1.8 / 43.11));
}
inline constexpr double delange_offset = 0.003342;
}  // namespace carbonation_detail

// Volumes in beer at equilibrium with carbon dioxide of a given absolute pressure. A. J. deLange's fit (2011, from
// memory) to the ASBC table (Methods of Analysis, Beer-13); error about 0.04 volume in 0..10 C, 0.1 above. The table is
// for a beer of about 4.2 % alcohol and 5.8 % extract by mass (Speers & MacIntosh, J. Am. Soc. Brew. Chem. 71 (2013)
// 242-247). Never below 0.
template <class Scalar>
Scalar carbonation_equilibrium_volumes_delange(const Scalar& temperature_c, const Scalar& absolute_pressure_bar) {
  const Scalar slope = carbonation_detail::delange_slope_per_psi(temperature_c);
  const Scalar psi = absolute_pressure_bar / bar_per_psi;
  const Scalar volumes = psi * slope;
  if (volumes <= carbonation_detail::delange_offset) return Scalar(0.0);
  return volumes - carbonation_detail::delange_offset;
}

// Its inverse: absolute pressure, bar.
template <class Scalar>
Scalar carbonation_equilibrium_pressure_bar_delange(const Scalar& temperature_c, const Scalar& volumes) {
  const Scalar wanted = volumes + carbonation_detail::delange_offset;
  const Scalar psi = wanted / carbonation_detail::delange_slope_per_psi(temperature_c);
  return psi * bar_per_psi;
}

// A second fit to the same table, kept as a check: gauge pressure, psi, at one atmosphere around the vessel; deg F and
// volumes. Range 32..60 F, 1.5..4 volumes; above it bends away from Henry's law (3 % at 68 F). Author unknown, in wide
// use.
template <class Scalar>
Scalar carbonation_gauge_psi_regression(const Scalar& temperature_f, const Scalar& volumes) {
  const Scalar cross = temperature_f * volumes;
  const Scalar of_temperature = temperature_f * (-0.0101059 + 0.00116512 * temperature_f);
  const Scalar of_volumes = volumes * (4.24267 - 0.0684226 * volumes);
  const Scalar alone = of_temperature + of_volumes;
  return alone + 0.173354 * cross - 16.6999;
}

inline constexpr Range carbonation_weiss_range_c{0.0, 40.0};

// Solubility in pure water, mol/(L atm). R. F. Weiss, Carbon dioxide in water and seawater, Marine Chemistry 2 (1974)
// 203-215, equation 12 at salinity 0; stated accuracy 0.3 %. Range 0..40 C.
template <class Scalar>
Scalar carbon_dioxide_solubility_water_mol_per_l_atm_weiss(const Scalar& temperature_c) {
  using std::exp;
  using std::log;
  const Scalar hundred_k = (temperature_c + 273.15) / 100.0;
  return exp(-58.0931 + 90.5069 / hundred_k + 22.2940 * log(hundred_k));
}

// Factor on the solubility for a beer that is not the table's. Our own estimate, not published: 0.6 % less for every
// per cent by mass of alcohol or extract above 4.22 and 5.78, sized so that 10 % of solutes lower water to the table's
// beer; uncertain by half of its own effect. Range: alcohol 0..12 %, extract 0..15 % by mass.
template <class Scalar>
Scalar carbonation_composition_factor_estimate(const Scalar& alcohol_mass_percent, const Scalar& extract_mass_percent) {
  using std::exp;
  const Scalar solutes = alcohol_mass_percent + extract_mass_percent;
  return exp(-0.006 * (solutes - 10.0));
}

// ---- What is in the beer, and what priming adds

// Volumes left in a beer that has stood, fermented out, under its own gas at ambient pressure: equilibrium at the
// warmest temperature since the ferment ended. Uncertain by 0.1-0.2 volume: less if vented to air for weeks (common
// practice, no source).
template <class Scalar>
Scalar carbonation_residual_volumes(const Scalar& warmest_temperature_c,
                                    double ambient_pressure_bar = standard_atmosphere_bar) {
  return carbonation_equilibrium_volumes_delange(warmest_temperature_c, Scalar(ambient_pressure_bar));
}

// The same by the quadratic in common use, which follows pure water and so reads 2-6 % higher; deg F 32..80. Origin
// unknown.
template <class Scalar>
Scalar carbonation_residual_volumes_quadratic(const Scalar& warmest_temperature_f) {
  return 3.0378 + warmest_temperature_f * (-0.050062 + 2.6555e-4 * warmest_temperature_f);
}

enum class PrimingSugar { glucose, glucose_monohydrate, sucrose, maltose, maltose_monohydrate };

// Carbon dioxide, g, from a gram of sugar wholly fermented: two molecules per hexose unit. IUPAC 2021 weights.
constexpr double carbon_dioxide_g_per_g(PrimingSugar sugar) {
  switch (sugar) {
    case PrimingSugar::glucose: return 2.0 * carbon_dioxide_g_per_mol / glucose_g_per_mol;
    case PrimingSugar::glucose_monohydrate:
      return 2.0 * carbon_dioxide_g_per_mol / (glucose_g_per_mol + water_g_per_mol);
    case PrimingSugar::sucrose:
    case PrimingSugar::maltose: return 4.0 * carbon_dioxide_g_per_mol / sucrose_g_per_mol;
    case PrimingSugar::maltose_monohydrate:
      return 4.0 * carbon_dioxide_g_per_mol / (sucrose_g_per_mol + water_g_per_mol);
  }
  return 0.0;
}

// Share of that which comes of it; the yeast keeps some sugar for itself. Balling's balance is 0.947 of glucose;
// 0.90..1.00.
inline constexpr double priming_yield = 0.95;
inline constexpr Range priming_yield_range{0.90, 1.0};

// Sugar, g per litre of beer, that brings it from the residual to the wanted volumes. Nothing when it is there already.
template <class Scalar>
Scalar priming_sugar_g_per_l(PrimingSugar sugar, const Scalar& wanted_volumes, const Scalar& residual_volumes,
                             double yield = priming_yield) {
  const Scalar missing = wanted_volumes - residual_volumes;
  if (missing <= 0.0) return Scalar(0.0);
  return missing * (carbon_dioxide_g_per_l_per_volume / (carbon_dioxide_g_per_g(sugar) * yield));
}

// Volumes that fermentable sugar still in the beer (g/L, as sucrose or maltose) will add. For safety the yield here is
// the whole.
template <class Scalar>
Scalar volumes_from_fermentable(const Scalar& fermentable_g_per_l, double yield = 1.0) {
  return fermentable_g_per_l *
         (yield * carbon_dioxide_g_per_g(PrimingSugar::maltose) / carbon_dioxide_g_per_l_per_volume);
}

// ---- Forcing gas into a cask or keg

// Rate at which beer takes up gas, per hour. Keg at rest 0.010..0.020 (one fitted value, 0.014, from memory), shaken
// 2..10, through a porous stone 0.5..3 (from memory): it hangs on surface, depth and stirring, so learn it from one
// pressure reading.
struct GasUptake {
  double usual_per_hour = 0.0;
  double low_per_hour = 0.0;
  double high_per_hour = 0.0;
};
inline constexpr GasUptake gas_uptake_at_rest{0.014, 0.010, 0.020};
inline constexpr GasUptake gas_uptake_shaken{5.0, 2.0, 10.0};
inline constexpr GasUptake gas_uptake_stone{1.2, 0.5, 3.0};

// Volumes after some hours at a pressure held constant: first order towards equilibrium. Negative hours count as none.
template <class Scalar>
Scalar carbonation_after_volumes(const Scalar& start_volumes, const Scalar& equilibrium_volumes,
                                 const Scalar& uptake_per_hour, const Scalar& hours) {
  using std::exp;
  if (hours <= 0.0) return start_volumes;
  const Scalar passed = uptake_per_hour * hours;
  const Scalar gap = equilibrium_volumes - start_volumes;
  const Scalar left = exp(-passed);
  const Scalar gap_left = gap * left;
  return equilibrium_volumes - gap_left;
}

// The uptake that explains two readings, per hour. 0 when they do not move towards equilibrium: nothing can be learned.
template <class Scalar>
Scalar gas_uptake_from_readings_per_hour(const Scalar& start_volumes, const Scalar& end_volumes,
                                         const Scalar& equilibrium_volumes, const Scalar& hours) {
  using std::log;
  const Scalar gap_before = equilibrium_volumes - start_volumes;
  const Scalar gap_after = equilibrium_volumes - end_volumes;
  if (hours <= 0.0 || gap_before == 0.0 || gap_after == 0.0) return Scalar(0.0);
  const Scalar ratio = gap_before / gap_after;
  if (ratio <= 1.0) return Scalar(0.0);
  return log(ratio) / hours;
}

// Hours until a wanted content is reached. Not reachable: the pressure is too low (or the uptake is not above 0) and
// hours is 0.
template <class Scalar>
struct CarbonationTime {
  bool reachable = false;
  Scalar hours{0.0};
};

template <class Scalar>
CarbonationTime<Scalar> hours_to_carbonate(const Scalar& start_volumes, const Scalar& wanted_volumes,
                                           const Scalar& equilibrium_volumes, const Scalar& uptake_per_hour) {
  using std::log;
  CarbonationTime<Scalar> answer;
  if (wanted_volumes <= start_volumes) {
    answer.reachable = true;
    return answer;
  }
  if (!(uptake_per_hour > 0.0) || equilibrium_volumes <= wanted_volumes) return answer;
  const Scalar gap_before = equilibrium_volumes - start_volumes;
  const Scalar gap_after = equilibrium_volumes - wanted_volumes;
  const Scalar ratio = gap_before / gap_after;
  answer.reachable = true;
  answer.hours = log(ratio) / uptake_per_hour;
  return answer;
}

// High pressure for a while, then the serving pressure.
template <class Scalar>
struct ForcingPlan {
  Scalar start_volumes{0.0};
  Scalar beer_temperature_c{4.0};
  Scalar high_gauge_bar{2.0};
  Scalar serving_gauge_bar{0.8};
  Scalar uptake_per_hour{gas_uptake_at_rest.usual_per_hour};
  double ambient_pressure_bar = standard_atmosphere_bar;
};

template <class Scalar>
struct ForcingAnswer {
  bool reachable = false;               // the wanted content, at the high pressure
  Scalar high_hours{0.0};               // how long the high pressure must stand
  Scalar serving_volumes{0.0};          // where the beer settles at the serving pressure
  Scalar forgotten_volumes{0.0};        // the content if the high pressure stands a day too long
  Scalar forgotten_limit_volumes{0.0};  // ... and if nobody ever turns it down
};

template <class Scalar>
ForcingAnswer<Scalar> force_carbonation(const ForcingPlan<Scalar>& plan, const Scalar& wanted_volumes,
                                        double forgotten_hours = 24.0) {
  const Scalar high_bar = plan.high_gauge_bar + plan.ambient_pressure_bar;
  const Scalar serving_bar = plan.serving_gauge_bar + plan.ambient_pressure_bar;
  const Scalar high_volumes = carbonation_equilibrium_volumes_delange(plan.beer_temperature_c, high_bar);
  const CarbonationTime<Scalar> time =
      hours_to_carbonate(plan.start_volumes, wanted_volumes, high_volumes, plan.uptake_per_hour);
  ForcingAnswer<Scalar> answer;
  answer.reachable = time.reachable;
  answer.high_hours = time.hours;
  answer.serving_volumes = carbonation_equilibrium_volumes_delange(plan.beer_temperature_c, serving_bar);
  const Scalar late_hours = time.hours + forgotten_hours;
  answer.forgotten_volumes =
      carbonation_after_volumes(plan.start_volumes, high_volumes, plan.uptake_per_hour, late_hours);
  answer.forgotten_limit_volumes = high_volumes;
  return answer;
}

// Volumes some hours into such a plan: high pressure for `high_hours`, serving pressure from then on.
template <class Scalar>
Scalar forced_volumes_at(const ForcingPlan<Scalar>& plan, const Scalar& high_hours, const Scalar& hours) {
  const Scalar high_bar = plan.high_gauge_bar + plan.ambient_pressure_bar;
  const Scalar high_volumes = carbonation_equilibrium_volumes_delange(plan.beer_temperature_c, high_bar);
  if (hours <= high_hours) {
    return carbonation_after_volumes(plan.start_volumes, high_volumes, plan.uptake_per_hour, hours);
  }
  const Scalar turned_down =
      carbonation_after_volumes(plan.start_volumes, high_volumes, plan.uptake_per_hour, high_hours);
  const Scalar serving_bar = plan.serving_gauge_bar + plan.ambient_pressure_bar;
  const Scalar serving_volumes = carbonation_equilibrium_volumes_delange(plan.beer_temperature_c, serving_bar);
  const Scalar serving_hours = hours - high_hours;
  return carbonation_after_volumes(turned_down, serving_volumes, plan.uptake_per_hour, serving_hours);
}

}  // namespace oddgrist::science

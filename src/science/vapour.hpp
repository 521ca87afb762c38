// Saturated water: boiling point, latent heat, and what altitude does to them.
#pragma once

#include <cmath>

namespace oddgrist::science {

inline constexpr double standard_atmosphere_bar = 1.01325;
inline constexpr double water_critical_temperature_k = 647.096;

namespace vapour_detail {
// Wagner & Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783-787; IAPWS SR1-86(1992).
inline constexpr double pressure_a[6] = {-7.85951783, 1.84408259, -11.7866497, 22.6807411, -15.9618719, 1.80122502};
inline constexpr double critical_pressure_bar = 220.64;
inline constexpr double critical_density_kg_per_m3 = 322.0;

// tau^exponent for positive tau.
template <class Scalar>
Scalar power(const Scalar& tau, double exponent) {
  using std::exp;
  using std::log;
  return exp(exponent * log(tau));
}
}  // namespace vapour_detail

// Vapour pressure of water, bar, 0.01 to 373.9 C. Error below 0.025 % in the brewing range. Wagner & Pruss 1993,
// equation 1. Asked outside: taken at the nearest end.
template <class Scalar>
Scalar water_vapour_pressure_bar_wagner(const Scalar& temperature_c) {
  using std::exp;
  using vapour_detail::power;
  Scalar bounded_c = temperature_c;
  if (bounded_c < 0.01) bounded_c = Scalar(0.01);
  if (bounded_c > 373.9) bounded_c = Scalar(373.9);
  const Scalar kelvin = bounded_c + 273.15;
  const Scalar tau = 1.0 - kelvin / water_critical_temperature_k;
  const double* a = vapour_detail::pressure_a;
  const Scalar sum = a[0] * tau + a[1] * power(tau, 1.5) + a[2] * power(tau, 3.0) + a[3] * power(tau, 3.5) +
                     a[4] * power(tau, 4.0) + a[5] * power(tau, 7.5);
  return vapour_detail::critical_pressure_bar * exp(water_critical_temperature_k / kelvin * sum);
}

// Its slope, bar per kelvin: the equation above, differentiated.
template <class Scalar>
Scalar water_vapour_pressure_slope_bar_per_k_wagner(const Scalar& temperature_c) {
  using std::log;
  using vapour_detail::power;
  const Scalar kelvin = temperature_c + 273.15;
  const Scalar tau = 1.0 - kelvin / water_critical_temperature_k;
  const double* a = vapour_detail::pressure_a;
  const Scalar pressure_bar = water_vapour_pressure_bar_wagner(temperature_c);
  const Scalar slopes = a[0] + (1.5 * a[1]) * power(tau, 0.5) + (3.0 * a[2]) * power(tau, 2.0) +
                        (3.5 * a[3]) * power(tau, 2.5) + (4.0 * a[4]) * power(tau, 3.0) +
                        (7.5 * a[5]) * power(tau, 6.5);
  return -pressure_bar / kelvin * (log(pressure_bar / vapour_detail::critical_pressure_bar) + slopes);
}

// Boiling point of water, degrees C, at an absolute pressure in bar (0.02 to 5; taken at the nearest end outside): the
// inverse of the vapour pressure, by Newton's method on ln p against 1/T, which is nearly straight. Wort of 10-15 P
// boils 0.1-0.2 K higher.
template <class Scalar>
Scalar water_boiling_point_c(const Scalar& absolute_pressure_bar) {
  using std::log;
  Scalar pressure_bar = absolute_pressure_bar;
  if (pressure_bar < 0.02) pressure_bar = Scalar(0.02);
  if (pressure_bar > 5.0) pressure_bar = Scalar(5.0);
  Scalar inverse_k = pressure_bar * 0.0 + 1.0 / 373.15;
  for (int step = 0; step < 6; ++step) {
    const Scalar temperature_c = 1.0 / inverse_k - 273.15;
    const Scalar pressure_here_bar = water_vapour_pressure_bar_wagner(temperature_c);
    const Scalar slope = water_vapour_pressure_slope_bar_per_k_wagner(temperature_c) / pressure_here_bar;
    // d ln p / d(1/T) = -T^2 d ln p / dT
    inverse_k -= log(pressure_here_bar / pressure_bar) / (-slope / (inverse_k * inverse_k));
  }
  return 1.0 / inverse_k - 273.15;
}

// Pressure of the standard atmosphere, bar, at an altitude in metres (geopotential), -500 to 11000. ICAO Doc 7488,
// Manual of the ICAO Standard Atmosphere, 1993: 288.15 K at sea level, -6.5 K/km. Weather shifts the true pressure by
// up to 4 %, the boiling point by about 1 K. Outside: taken at the nearest end.
template <class Scalar>
Scalar standard_pressure_bar_icao(const Scalar& altitude_m) {
  Scalar bounded_m = altitude_m;
  if (bounded_m < -500.0) bounded_m = Scalar(-500.0);
  if (bounded_m > 11000.0) bounded_m = Scalar(11000.0);
  constexpr double lapse_k_per_m = 0.0065;
  constexpr double exponent = 9.80665 / (lapse_k_per_m * 287.05287);
  const Scalar ratio = 1.0 - (lapse_k_per_m / 288.15) * bounded_m;
  return standard_atmosphere_bar * vapour_detail::power(ratio, exponent);
}

template <class Scalar>
Scalar water_boiling_point_at_altitude_c(const Scalar& altitude_m) {
  return water_boiling_point_c(standard_pressure_bar_icao(altitude_m));
}

// Density of saturated liquid water and of its vapour, kg/m3. Wagner & Pruss 1993, equations 2 and 3; 0.01 to 373.9 C.
template <class Scalar>
Scalar water_saturated_density_kg_per_m3_wagner(const Scalar& temperature_c) {
  using vapour_detail::power;
  const Scalar tau = 1.0 - (temperature_c + 273.15) / water_critical_temperature_k;
  return vapour_detail::critical_density_kg_per_m3 *
         (1.0 + 1.99274064 * power(tau, 1.0 / 3.0) + 1.09965342 * power(tau, 2.0 / 3.0) -
          0.510839303 * power(tau, 5.0 / 3.0) - 1.75493479 * power(tau, 16.0 / 3.0) -
          45.5170352 * power(tau, 43.0 / 3.0) - 6.74694450e5 * power(tau, 110.0 / 3.0));
}

template <class Scalar>
Scalar steam_saturated_density_kg_per_m3_wagner(const Scalar& temperature_c) {
  using std::exp;
  using vapour_detail::power;
  const Scalar tau = 1.0 - (temperature_c + 273.15) / water_critical_temperature_k;
  return vapour_detail::critical_density_kg_per_m3 *
         exp(-2.03150240 * power(tau, 2.0 / 6.0) - 2.68302940 * power(tau, 4.0 / 6.0) -
             5.38626492 * power(tau, 8.0 / 6.0) - 17.2991605 * power(tau, 18.0 / 6.0) -
             44.7586581 * power(tau, 37.0 / 6.0) - 63.9201063 * power(tau, 71.0 / 6.0));
}

// Heat that turns a kilogram of boiling water into steam, kJ/kg, by Clapeyron's equation from the three above; 0.01 to
// 200 C.
template <class Scalar>
Scalar water_latent_heat_kj_per_kg(const Scalar& temperature_c) {
  const Scalar kelvin = temperature_c + 273.15;
  const Scalar growth_m3_per_kg = 1.0 / steam_saturated_density_kg_per_m3_wagner(temperature_c) -
                                  1.0 / water_saturated_density_kg_per_m3_wagner(temperature_c);
  return 100.0 * kelvin * growth_m3_per_kg * water_vapour_pressure_slope_bar_per_k_wagner(temperature_c);
}

// The most water, kg per hour, that a heat source can drive off: all its heat into steam, none lost. A kettle in a
// kitchen reaches 50-85 % of it (common practice, no source). Negative power counts as none.
template <class Scalar>
Scalar boil_off_bound_kg_per_hour(const Scalar& power_kw, const Scalar& boiling_point_c) {
  if (power_kw <= 0.0) return Scalar(0.0);
  const Scalar heat_kj_per_hour = power_kw * 3600.0;
  return heat_kj_per_hour / water_latent_heat_kj_per_kg(boiling_point_c);
}

}  // namespace oddgrist::science

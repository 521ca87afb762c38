// Heat in the mash and the kettle. Masses kg, temperatures C, heat capacities kJ/K, energy kJ, power kW, time minutes.
// Everything here is a heat balance: linear, without a published range. Callers check what a kettle can do: a strike or
// infusion temperature above the boiling point is an impossible request, not an error of the formula.
#pragma once

#include <cmath>

#include "science/range.hpp"

namespace oddgrist::science {

// Liquor that must be hotter than this cannot be had in an open kettle at sea level.
inline constexpr Range liquor_range_c{0.0, 100.0};

struct MashHeat {
  // kJ/(kg K). Malt at 4..5 % moisture 0.38..0.42 cal/(g K): Hopkins and Krause, Biochemistry Applied to Malting and
  // Brewing, 1947; Briggs et al., Brewing Science and Practice, 2004 (from memory; uncertain by about 15 %).
  double malt_kj_per_kg_k = 1.67;
  // kJ/(kg K). Water 60..80 C: 4.185..4.197 by IAPWS-95; 4.18 is the value the handbooks use.
  double water_kj_per_kg_k = 4.18;
  // kJ released per kg of malt when it is wetted. 10..40 by the British handbooks (from memory, poor); the classical
  // rule leaves it out, so the default is 0 and a brewer's own mash sets it.
  double slaking_kj_per_kg = 0.0;
};

// Heat capacity of mash and vessel together, kJ/K.
template <class Scalar>
Scalar mash_heat_capacity_kj_per_k(const Scalar& grist_kg, const Scalar& liquor_kg, const Scalar& kettle_heat_kj_per_k,
                                   const MashHeat& heat = {}) {
  const Scalar grist = grist_kg * heat.malt_kj_per_kg_k;
  const Scalar liquor = liquor_kg * heat.water_kj_per_kg_k;
  const Scalar mash = grist + liquor;
  return mash + kettle_heat_kj_per_k;
}

// Temperature at which grist, liquor and kettle settle, no loss to the room. If the liquor was heated in the kettle
// itself, the kettle's temperature is the liquor's.
template <class Scalar>
Scalar rest_temperature_c(const Scalar& grist_kg, const Scalar& grain_temperature_c, const Scalar& liquor_kg,
                          const Scalar& liquor_temperature_c, const Scalar& kettle_heat_kj_per_k,
                          const Scalar& kettle_temperature_c, const MashHeat& heat = {}) {
  const Scalar grist_c = grist_kg * heat.malt_kj_per_kg_k;
  const Scalar liquor_c = liquor_kg * heat.water_kj_per_kg_k;
  const Scalar from_grist = Scalar(grist_c * grain_temperature_c) + Scalar(grist_kg * heat.slaking_kj_per_kg);
  const Scalar from_liquor = liquor_c * liquor_temperature_c;
  const Scalar from_kettle = kettle_heat_kj_per_k * kettle_temperature_c;
  const Scalar from_mash = from_grist + from_liquor;
  const Scalar total = from_mash + from_kettle;
  return total / mash_heat_capacity_kj_per_k(grist_kg, liquor_kg, kettle_heat_kj_per_k, heat);
}

// Liquor temperature that makes the mash settle at the rest temperature, poured onto grain in a kettle that has a
// temperature of its own. The exact inverse of rest_temperature_c. No liquor: not a finite number.
template <class Scalar>
Scalar strike_temperature_c(const Scalar& grist_kg, const Scalar& grain_temperature_c, const Scalar& liquor_kg,
                            const Scalar& kettle_heat_kj_per_k, const Scalar& kettle_temperature_c,
                            const Scalar& rest_temperature_c, const MashHeat& heat = {}) {
  const Scalar grain_rise = rest_temperature_c - grain_temperature_c;
  const Scalar kettle_rise = rest_temperature_c - kettle_temperature_c;
  const Scalar grist_c = grist_kg * heat.malt_kj_per_kg_k;
  const Scalar to_grist = Scalar(grist_c * grain_rise) - Scalar(grist_kg * heat.slaking_kj_per_kg);
  const Scalar to_kettle = kettle_heat_kj_per_k * kettle_rise;
  const Scalar needed = to_grist + to_kettle;
  const Scalar liquor_c = liquor_kg * heat.water_kj_per_kg_k;
  const Scalar above_rest = needed / liquor_c;
  return rest_temperature_c + above_rest;
}

// The same when the liquor is heated in the kettle and the grain comes to it: the kettle is as hot as the liquor and
// gives its heat too.
template <class Scalar>
Scalar strike_temperature_in_kettle_c(const Scalar& grist_kg, const Scalar& grain_temperature_c,
                                      const Scalar& liquor_kg, const Scalar& kettle_heat_kj_per_k,
                                      const Scalar& rest_temperature_c, const MashHeat& heat = {}) {
  const Scalar grain_rise = rest_temperature_c - grain_temperature_c;
  const Scalar grist_c = grist_kg * heat.malt_kj_per_kg_k;
  const Scalar needed = Scalar(grist_c * grain_rise) - Scalar(grist_kg * heat.slaking_kj_per_kg);
  const Scalar hot_c = Scalar(liquor_kg * heat.water_kj_per_kg_k) + kettle_heat_kj_per_k;
  const Scalar above_rest = needed / hot_c;
  return rest_temperature_c + above_rest;
}

// Hot water, kg, that lifts a mash to the target. Needs infusion above target above mash, or the answer is negative.
template <class Scalar>
Scalar infusion_kg(const Scalar& mash_heat_kj_per_k, const Scalar& mash_temperature_c,
                   const Scalar& target_temperature_c, const Scalar& infusion_temperature_c,
                   const MashHeat& heat = {}) {
  const Scalar rise = target_temperature_c - mash_temperature_c;
  const Scalar fall = infusion_temperature_c - target_temperature_c;
  const Scalar needed = mash_heat_kj_per_k * rise;
  const Scalar given = fall * heat.water_kj_per_kg_k;
  return needed / given;
}

// Share of the mash's heat capacity to pull, heat and return at `decoction_temperature_c`. Losses are not in it:
// brewers pull 5..15 % more. Above 1 the request is impossible.
template <class Scalar>
Scalar decoction_share(const Scalar& mash_temperature_c, const Scalar& target_temperature_c,
                       const Scalar& decoction_temperature_c) {
  const Scalar rise = target_temperature_c - mash_temperature_c;
  const Scalar span = decoction_temperature_c - mash_temperature_c;
  return rise / span;
}

// Temperature after cooling (or warming) towards the surroundings: T_a + (T_0 - T_a) exp(-t / tau). tau, the time
// constant, is heat capacity over heat loss per K; fit it from two readings with cooling_time_constant. One tau is
// fair below about 70 C; hotter open liquor also loses heat by evaporation. Source: Newton's law of cooling.
template <class Scalar>
Scalar temperature_newton_c(const Scalar& start_c, const Scalar& surroundings_c, const Scalar& minutes,
                            const Scalar& time_constant_minutes) {
  using std::exp;
  const Scalar excess = start_c - surroundings_c;
  const Scalar elapsed = minutes / time_constant_minutes;
  const Scalar left = exp(Scalar(elapsed * -1.0));
  return surroundings_c + Scalar(excess * left);
}

// The time constant, minutes, from two readings. Needs both on the same side of the surroundings, or it is not a
// number.
template <class Scalar>
Scalar cooling_time_constant_minutes(const Scalar& start_c, const Scalar& later_c, const Scalar& surroundings_c,
                                     const Scalar& minutes) {
  using std::log;
  const Scalar before = start_c - surroundings_c;
  const Scalar after = later_c - surroundings_c;
  const Scalar ratio = before / after;
  const Scalar logarithm = log(ratio);
  return minutes / logarithm;
}

// Energy, kJ, to change the temperature of a heat capacity; negative for cooling.
template <class Scalar>
Scalar heating_energy_kj(const Scalar& heat_capacity_kj_per_k, const Scalar& from_c, const Scalar& to_c) {
  const Scalar rise = to_c - from_c;
  return heat_capacity_kj_per_k * rise;
}

// Minutes a heater needs for that, `efficiency` being the share of its power that reaches the liquor (0..1]; no other
// loss.
template <class Scalar>
Scalar heating_minutes(const Scalar& heat_capacity_kj_per_k, const Scalar& from_c, const Scalar& to_c,
                       const Scalar& power_kw, const Scalar& efficiency) {
  const Scalar energy_kj = heating_energy_kj(heat_capacity_kj_per_k, from_c, to_c);
  const Scalar useful_kj_per_minute = power_kw * efficiency * 60.0;
  return energy_kj / useful_kj_per_minute;
}

}  // namespace oddgrist::science

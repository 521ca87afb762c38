// Volumes that change without anything being added: hot and cold, grain in the kettle, boiling away.
// Litres, kg, C, minutes.
#pragma once

#include "science/density.hpp"
#include "science/range.hpp"

namespace oddgrist::science {

// Room that steeped grain takes up in the kettle, litres per kg as weighed: 0.65..0.70, true density of malt 1.4..1.5
// kg/L (common practice, no source).
inline constexpr double grain_displacement_l_per_kg = 0.67;

// Water that fills `cold_volume_l` at 20 C, at another temperature. Wort of 12..20 P differs by less than 0.2 %.
// Range and source: water_density_kell.
template <class Scalar>
Scalar hot_volume_l(const Scalar& cold_volume_l, const Scalar& temperature_c) {
  const Scalar here = water_density_kell_kg_per_m3(temperature_c);
  return cold_volume_l / here * water_density_kell_kg_per_m3(20.0);
}

// The inverse: what a volume read hot will be at 20 C. At 100 C it shrinks to 0.960.
template <class Scalar>
Scalar cold_volume_l(const Scalar& hot_volume_l, const Scalar& temperature_c) {
  const Scalar here = water_density_kell_kg_per_m3(temperature_c);
  return hot_volume_l * here / water_density_kell_kg_per_m3(20.0);
}

// Mass of water measured as litres at a temperature.
template <class Scalar>
Scalar water_mass_kg(const Scalar& volume_l, const Scalar& temperature_c) {
  const Scalar here = water_density_kell_kg_per_m3(temperature_c);
  return volume_l * here * 1e-3;
}

// Water as it is measured out cold, kg per litre at 20 C.
inline const double cold_water_kg_per_l = water_mass_kg(1.0, 20.0);

// Litres by which grain raises the level.
template <class Scalar>
Scalar grain_displacement_l(const Scalar& grist_kg, double displacement_l_per_kg = grain_displacement_l_per_kg) {
  return grist_kg * displacement_l_per_kg;
}

// Mass of water boiled away, kg, from a rate in litres (of water at 20 C) per hour. The rate belongs to kettle and
// flame.
template <class Scalar>
Scalar boil_off_kg(const Scalar& cold_litres_per_hour, const Scalar& minutes) {
  const Scalar litres = cold_litres_per_hour * minutes * (1.0 / 60.0);
  return litres * cold_water_kg_per_l;
}

}  // namespace oddgrist::science

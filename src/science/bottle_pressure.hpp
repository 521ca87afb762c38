// What presses on a closed bottle, at any temperature, and what a bottle bears.
#pragma once

#include <array>
#include <string_view>

#include "science/carbonation.hpp"
#include "science/density.hpp"

namespace oddgrist::science {

// A bottle as it was closed. `volumes` counts all the carbon dioxide in it, dissolved or not, against the beer: what
// priming and residual gas add up to. Air left in the neck keeps its nitrogen once the yeast has taken the oxygen.
template <class Scalar>
struct SealedBottle {
  Scalar beer_l{0.5};        // at `closed_at_c`
  Scalar headspace_l{0.02};  // at `closed_at_c`
  Scalar volumes{2.4};
  Scalar closed_at_c{20.0};
  Scalar alcohol_mass_fraction{0.042};
  Scalar extract_mass_fraction{0.05};
  bool air_in_headspace = true;
};

template <class Scalar>
struct BottlePressure {
  Scalar gauge_bar{0.0};           // against one standard atmosphere
  Scalar carbon_dioxide_bar{0.0};  // its own absolute pressure
  Scalar headspace_l{0.0};         // what the warmed beer leaves of it
  Scalar dissolved_g{0.0};
  Scalar headspace_g{0.0};
  bool temperature_extrapolated = false;  // outside 0..40 C; the nearest end was taken
  // the beer has filled the neck: nothing yields, the glass breaks; the gauge figure is then too low
  bool bottle_full = false;
  bool input_unusable = false;  // a volume or a content that is not above 0; every figure is 0
};

// Pressure of a closed bottle at rest at a temperature. The gas shares itself between beer (deLange's fit) and
// headspace (ideal gas): m = V_beer c(p, T) + p V_head M / (R T), linear in p. The beer's own expansion shrinks the
// headspace. Error: that of the fit, 5 %, and 2-3 % for the real gas. Air left in counts with 0.79 of its pressure;
// without it the neck held carbon dioxide. Source: Henry's and Dalton's laws; R from CODATA 2018.
template <class Scalar>
BottlePressure<Scalar> bottle_pressure(const SealedBottle<Scalar>& bottle, const Scalar& temperature_c) {
  constexpr double gas_constant_l_bar_per_mol_k = 0.0831446262;
  constexpr double nitrogen_bar = 0.79 * standard_atmosphere_bar;
  constexpr double least_headspace_share = 0.002;  // of the beer; below it the bottle counts as full
  BottlePressure<Scalar> answer;
  if (!(bottle.beer_l > 0.0) || !(bottle.headspace_l >= 0.0) || !(bottle.volumes >= 0.0) ||
      !(temperature_c == temperature_c)) {
    answer.input_unusable = true;
    return answer;
  }
  Scalar bounded_c = temperature_c;
  answer.temperature_extrapolated =
      temperature_c < carbonation_delange_range_c.low || temperature_c > carbonation_delange_range_c.high;
  if (temperature_c < carbonation_delange_range_c.low) bounded_c = Scalar(carbonation_delange_range_c.low);
  if (temperature_c > carbonation_delange_range_c.high) bounded_c = Scalar(carbonation_delange_range_c.high);

  const Scalar density_closed =
      beer_density_kg_per_m3(bottle.alcohol_mass_fraction, bottle.extract_mass_fraction, bottle.closed_at_c);
  const Scalar density_here =
      beer_density_kg_per_m3(bottle.alcohol_mass_fraction, bottle.extract_mass_fraction, bounded_c);
  const Scalar expansion = density_closed / density_here;
  const Scalar beer_here_l = bottle.beer_l * expansion;
  const Scalar whole_l = bottle.beer_l + bottle.headspace_l;
  answer.headspace_l = whole_l - beer_here_l;
  if (answer.headspace_l < bottle.beer_l * least_headspace_share) {
    answer.bottle_full = true;
    answer.headspace_l = bottle.beer_l * least_headspace_share;
  }

  const Scalar total_volumes_l = bottle.volumes * bottle.beer_l;
  const Scalar total_g = total_volumes_l * carbon_dioxide_g_per_l_per_volume;
  const Scalar slope_per_bar = carbonation_detail::delange_slope_per_psi(bounded_c) / bar_per_psi;
  const Scalar per_bar_in_beer = bottle.beer_l * slope_per_bar;
  const Scalar dissolved_g_per_bar = per_bar_in_beer * carbon_dioxide_g_per_l_per_volume;
  const Scalar kelvin = bounded_c + 273.15;
  const Scalar headspace_mol_per_bar = answer.headspace_l / kelvin / gas_constant_l_bar_per_mol_k;
  const Scalar headspace_g_per_bar = headspace_mol_per_bar * carbon_dioxide_g_per_mol;
  const Scalar offset_g = bottle.beer_l * (carbonation_detail::delange_offset * carbon_dioxide_g_per_l_per_volume);
  const Scalar to_share_g = total_g + offset_g;
  const Scalar capacity_g_per_bar = dissolved_g_per_bar + headspace_g_per_bar;
  answer.carbon_dioxide_bar = to_share_g / capacity_g_per_bar;
  answer.headspace_g = answer.carbon_dioxide_bar * headspace_g_per_bar;
  answer.dissolved_g = total_g - answer.headspace_g;

  answer.gauge_bar = answer.carbon_dioxide_bar - standard_atmosphere_bar;
  if (bottle.air_in_headspace) {
    const Scalar closed_k = bottle.closed_at_c + 273.15;
    const Scalar warmed = kelvin / closed_k;
    const Scalar squeezed = bottle.headspace_l / answer.headspace_l;
    const Scalar factor = warmed * squeezed;
    answer.gauge_bar += Scalar(factor * nitrogen_bar);
  }
  return answer;
}

enum class Container {
  one_way_glass,
  returnable_glass,
  sparkling_wine_glass,
  soft_drink_pet,
  ball_lock_keg,
  draught_keg,
  pressure_fermenter,
  unknown_glass,
};

// What a container bears in use: gauge pressure, bar, at the warmest it will get. Never above the maker's own stamp.
struct ContainerRating {
  Container container = Container::unknown_glass;
  std::string_view name;
  double working_gauge_bar = 0.0;
  std::string_view source;
};

// Test values of new glass hold for seconds (GB 4544: 12 bar and more); scratched or used glass keeps about half. These
// are working values.
inline constexpr std::array<ContainerRating, 8> container_ratings = {{
    {Container::one_way_glass, "one-way beer bottle, 330-355 mL", 3.5,
     "from memory: about 3.0 volumes, 3.5 bar at 30 C"},
    {Container::returnable_glass, "returnable or swing-top beer bottle, 500 mL", 4.5,
     "from memory: 3.5-4 volumes; a swing top may vent first"},
    {Container::sparkling_wine_glass, "sparkling-wine bottle", 6.0, "from memory: 6 bar at 20 C in use"},
    {Container::soft_drink_pet, "soft-drink bottle, PET", 5.0, "from memory: 4-4.5 volumes in use; creeps when warm"},
    {Container::ball_lock_keg, "19 L ball-lock keg", 4.0,
     "from memory: stamped 60 psi (4 bar) or 130 psi (9 bar); the lower holds until the stamp is read"},
    {Container::draught_keg, "stainless draught keg", 3.0, "from memory: working 3-4 bar"},
    {Container::pressure_fermenter, "plastic pressure fermenter", 1.0, "from memory: 1-2.4 bar, not above 30-40 C"},
    {Container::unknown_glass, "glass of unknown make", 1.5,
     "own estimate: half of a one-way bottle's; better not at all"},
}};

constexpr const ContainerRating& container_rating(Container container) {
  for (const ContainerRating& rating : container_ratings) {
    if (rating.container == container) return rating;
  }
  return container_ratings.back();
}

enum class BottleVerdict { sound, near_limit, refuse };

// The verdict on a bottle at the warmest temperature it will see. From four fifths of the rating: near the limit. Above
// the rating, with the neck filled, or with figures that cannot be right: refuse.
template <class Scalar>
BottleVerdict bottle_verdict(const BottlePressure<Scalar>& pressure, double working_gauge_bar) {
  if (pressure.input_unusable || pressure.bottle_full) return BottleVerdict::refuse;
  if (!(pressure.gauge_bar <= working_gauge_bar)) return BottleVerdict::refuse;
  if (pressure.gauge_bar > 0.8 * working_gauge_bar) return BottleVerdict::near_limit;
  return BottleVerdict::sound;
}

}  // namespace oddgrist::science

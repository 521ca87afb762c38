// A mixture: conserved masses plus temperature. Volume, gravity and strength are derived, never stored.
#pragma once

#include <array>

#include "larder/composition.hpp"

namespace oddgrist::process {

using larder::Component;
using larder::component_count;
using larder::Composition;

template <class Scalar>
struct Mixture {
  std::array<Scalar, component_count> mass_kg;
  Scalar alkalinity_eq{0.0};
  Scalar colour_load_kg_lovibond{0.0};
  Scalar buffering_eq_per_ph{0.0};  // of the grain in the mash
  Scalar buffering_ph_eq{0.0};      // that, times each grain's own pH
  Scalar temperature_c{20.0};

  Mixture() { mass_kg.fill(Scalar(0.0)); }
  Scalar& operator[](Component component) { return mass_kg[larder::index(component)]; }
  const Scalar& operator[](Component component) const { return mass_kg[larder::index(component)]; }
};

// Everything but temperature adds up. The temperature of a sum is a heat balance and belongs to the step that mixes.
template <class Scalar>
void add_to(Mixture<Scalar>& into, const Mixture<Scalar>& poured) {
  for (std::size_t i = 0; i < component_count; ++i) into.mass_kg[i] += poured.mass_kg[i];
  into.alkalinity_eq += poured.alkalinity_eq;
  into.colour_load_kg_lovibond += poured.colour_load_kg_lovibond;
  into.buffering_eq_per_ph += poured.buffering_eq_per_ph;
  into.buffering_ph_eq += poured.buffering_ph_eq;
}

template <class Scalar>
void add_to(Mixture<Scalar>& into, const Composition& ingredient, const Scalar& amount_kg) {
  for (std::size_t i = 0; i < component_count; ++i) {
    if (ingredient.mass_fraction[i] != 0.0) into.mass_kg[i] += ingredient.mass_fraction[i] * amount_kg;
  }
  into.alkalinity_eq += ingredient.alkalinity_eq_per_kg * amount_kg;
  into.colour_load_kg_lovibond += ingredient.colour_load_per_kg * amount_kg;
  into.buffering_eq_per_ph += ingredient.buffering_eq_per_kg_ph * amount_kg;
  into.buffering_ph_eq += ingredient.buffering_ph_eq_per_kg * amount_kg;
}

template <class Scalar>
Scalar total_mass_kg(const Mixture<Scalar>& mixture) {
  Scalar sum(0.0);
  for (const Scalar& mass : mixture.mass_kg) sum += mass;
  return sum;
}

// Sugars, dextrin, protein, acid and salts in solution: what a hydrometer feels as extract.
template <class Scalar>
Scalar extract_kg(const Mixture<Scalar>& mixture);
// Water, ethanol and extract: the clear liquid, without gas, husk, fat or yeast.
template <class Scalar>
Scalar liquid_kg(const Mixture<Scalar>& mixture);
// Clear liquid at a temperature, in litres.
template <class Scalar>
Scalar liquid_volume_l(const Mixture<Scalar>& mixture, double temperature_c);
// Everything in the vessel: liquid, grain (1.5 kg/L, from the usual 0.67 L/kg displacement), fat (0.92 kg/L).
template <class Scalar>
Scalar vessel_volume_l(const Mixture<Scalar>& mixture, double temperature_c);
// What a hydrometer at 20 C would show in the degassed liquid (Tabarie's rule with OIML alcohol and ASBC extract).
template <class Scalar>
Scalar apparent_gravity_sg(const Mixture<Scalar>& mixture);
// Per cent by volume at 20 C.
template <class Scalar>
Scalar alcohol_by_volume_percent(const Mixture<Scalar>& mixture);
// mg iso-alpha acid per litre at 20 C, taken as IBU (valid for boiled hops by the empirical utilisation).
template <class Scalar>
Scalar bitterness_ibu(const Mixture<Scalar>& mixture);
// pH of a mash read at 20 C, by charge balance; 0 when there is no grain to give it one.
template <class Scalar>
Scalar mash_ph_20c(const Mixture<Scalar>& mash);
// Colour by Morey's formula on the colour load.
template <class Scalar>
Scalar colour_ebc(const Mixture<Scalar>& mixture);

}  // namespace oddgrist::process

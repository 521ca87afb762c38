#include "process/mixture.hpp"

#include "process/forecast.hpp"
#include "science/alcoholometry.hpp"
#include "science/colour.hpp"
#include "science/density.hpp"
#include "science/mash_acidity.hpp"
#include "science/water.hpp"

namespace oddgrist::process {
namespace {

constexpr std::array dissolved = {
    Component::glucose,  Component::fructose,  Component::sucrose, Component::maltose,   Component::maltotriose,
    Component::lactose,  Component::dextrin,   Component::polyol,  Component::protein,   Component::organic_acid,
    Component::calcium,  Component::magnesium, Component::sodium,  Component::potassium, Component::chloride,
    Component::sulphate, Component::ash};

// Wet malt displaces about 0.67 L/kg in the kettle (common practice, no source), hence 1.5 kg/L.
constexpr double grain_density_kg_per_l = 1.5;
constexpr double usual_tap_ph = 7.5;  // sets how much carbon dioxide the alkalinity carries; common practice, no source
constexpr double fat_density_kg_per_l = 0.92;  // vegetable oils, handbook value, from memory

}  // namespace

template <class Scalar>
Scalar extract_kg(const Mixture<Scalar>& mixture) {
  Scalar sum(0.0);
  for (Component component : dissolved) sum += mixture[component];
  return sum;
}

template <class Scalar>
Scalar liquid_kg(const Mixture<Scalar>& mixture) {
  return Scalar(mixture[Component::water] + mixture[Component::ethanol] + extract_kg(mixture));
}

template <class Scalar>
Scalar liquid_volume_l(const Mixture<Scalar>& mixture, double temperature_c) {
  const Scalar mass = liquid_kg(mixture);
  if (!(mass > 0.0)) return Scalar(0.0);
  const Scalar alcohol = mixture[Component::ethanol] / mass;
  const Scalar extract = extract_kg(mixture) / mass;
  const Scalar density = science::beer_density_kg_per_m3(alcohol, extract, Scalar(temperature_c));
  return Scalar(mass / density * 1000.0);
}

template <class Scalar>
Scalar vessel_volume_l(const Mixture<Scalar>& mixture, double temperature_c) {
  const Scalar grain = mixture[Component::starch] + mixture[Component::solids] + mixture[Component::yeast];
  const Scalar fat = mixture[Component::fat];
  return Scalar(liquid_volume_l(mixture, temperature_c) + grain / grain_density_kg_per_l + fat / fat_density_kg_per_l);
}

template <class Scalar>
Scalar apparent_gravity_sg(const Mixture<Scalar>& mixture) {
  const Scalar mass = liquid_kg(mixture);
  if (!(mass > 0.0)) return Scalar(1.0);
  const Scalar alcohol = mixture[Component::ethanol] / mass;
  const Scalar extract = extract_kg(mixture) / mass;
  return science::specific_gravity_tabarie(alcohol, extract);
}

template <class Scalar>
Scalar alcohol_by_volume_percent(const Mixture<Scalar>& mixture) {
  const Scalar volume = liquid_volume_l(mixture, 20.0);
  if (!(volume > 0.0)) return Scalar(0.0);
  const double ethanol_kg_per_l = science::ethanol_water_density_oiml_kg_per_m3(1.0, 20.0) / 1000.0;
  return Scalar(mixture[Component::ethanol] / ethanol_kg_per_l / volume * 100.0);
}

template <class Scalar>
Scalar bitterness_ibu(const Mixture<Scalar>& mixture) {
  const Scalar volume = liquid_volume_l(mixture, 20.0);
  if (!(volume > 0.0)) return Scalar(0.0);
  return Scalar(mixture[Component::iso_alpha_acid] * 1e6 / volume);
}

template <class Scalar>
Scalar colour_ebc(const Mixture<Scalar>& mixture) {
  const Scalar volume = liquid_volume_l(mixture, 20.0);
  if (!(volume > 0.0)) return Scalar(0.0);
  const Scalar units = science::malt_colour_units(mixture.colour_load_kg_lovibond, volume);
  return science::ebc_from_srm(science::colour_morey_srm(units));
}

template <class Scalar>
Scalar mash_ph_20c(const Mixture<Scalar>& mash) {
  if (!(mash.buffering_eq_per_ph > 0.0)) return Scalar(0.0);
  // All grain as one malt whose own pH is 7, and the difference as acid: sum B (pH - pH_i) = B (pH - 7) + (7 B - sum B pH_i).
  constexpr double reference_ph = 7.0;
  science::MashAcidity<Scalar> acidity;
  acidity.malts.push_back({mash.buffering_eq_per_ph, reference_ph, 1000.0});
  acidity.other_acid_eq = mash.buffering_eq_per_ph * reference_ph - mash.buffering_ph_eq;
  const Scalar volume_l = liquid_volume_l(mash, 20.0);
  if (mash.alkalinity_eq > 0.0) {
    acidity.liquors.push_back({volume_l, Scalar(mash.alkalinity_eq * 1000.0 / volume_l), usual_tap_ph});
  } else {
    acidity.other_acid_eq -= mash.alkalinity_eq;
  }
  acidity.calcium_eq = mash[Component::calcium] * (1e6 / science::calcium_mg_per_meq / 1000.0);
  acidity.magnesium_eq = mash[Component::magnesium] * (1e6 / science::magnesium_mg_per_meq / 1000.0);
  const std::optional<Scalar> ph = science::mash_ph(acidity);
  return ph ? *ph : Scalar(0.0);
}

#define ODDGRIST_INSTANTIATE(Scalar)                                 \
  template Scalar extract_kg(const Mixture<Scalar>&);                \
  template Scalar liquid_kg(const Mixture<Scalar>&);                 \
  template Scalar liquid_volume_l(const Mixture<Scalar>&, double);   \
  template Scalar vessel_volume_l(const Mixture<Scalar>&, double);   \
  template Scalar apparent_gravity_sg(const Mixture<Scalar>&);       \
  template Scalar alcohol_by_volume_percent(const Mixture<Scalar>&); \
  template Scalar bitterness_ibu(const Mixture<Scalar>&);            \
  template Scalar colour_ebc(const Mixture<Scalar>&);                \
  template Scalar mash_ph_20c(const Mixture<Scalar>&);
ODDGRIST_INSTANTIATE(double)
ODDGRIST_INSTANTIATE(Active)
#undef ODDGRIST_INSTANTIATE

}  // namespace oddgrist::process

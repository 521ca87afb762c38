#include "process/mixture.hpp"

#include "process/forecast.hpp"
#include "science/alcoholometry.hpp"
#include "science/colour.hpp"
#include "science/density.hpp"

namespace oddgrist::process {
namespace {

constexpr std::array dissolved = {
    Component::glucose,      Component::fructose, Component::sucrose, Component::maltose,   Component::maltotriose,
    Component::lactose,      Component::dextrin,  Component::polyol,  Component::protein,   Component::organic_acid,
    Component::calcium,      Component::magnesium, Component::sodium, Component::potassium, Component::chloride,
    Component::sulphate,     Component::ash};

// Wet malt displaces about 0.67 L/kg in the kettle (common practice, no source), hence 1.5 kg/L.
constexpr double grain_density_kg_per_l = 1.5;
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

#define ODDGRIST_INSTANTIATE(Scalar)                                             \
  template Scalar extract_kg(const Mixture<Scalar>&);                            \
  template Scalar liquid_kg(const Mixture<Scalar>&);                             \
  template Scalar liquid_volume_l(const Mixture<Scalar>&, double);               \
  template Scalar vessel_volume_l(const Mixture<Scalar>&, double);               \
  template Scalar apparent_gravity_sg(const Mixture<Scalar>&);                   \
  template Scalar alcohol_by_volume_percent(const Mixture<Scalar>&);             \
  template Scalar bitterness_ibu(const Mixture<Scalar>&);                        \
  template Scalar colour_ebc(const Mixture<Scalar>&);
ODDGRIST_INSTANTIATE(double)
ODDGRIST_INSTANTIATE(Active)
#undef ODDGRIST_INSTANTIATE

}  // namespace oddgrist::process

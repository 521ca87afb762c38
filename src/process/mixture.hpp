// A mixture: conserved masses plus temperature. Volume, gravity and strength are derived, never stored.
#pragma once

#include <array>

#include "larder/composition.hpp"

namespace oddgrist::process {

using larder::Component;
using larder::component_count;

template <class Scalar>
struct Mixture {
  std::array<Scalar, component_count> mass_kg{};
  Scalar alkalinity_eq{0.0};
  Scalar colour_load_kg_lovibond{0.0};
  Scalar temperature_c{20.0};

  Scalar& operator[](Component component) { return mass_kg[larder::index(component)]; }
  const Scalar& operator[](Component component) const { return mass_kg[larder::index(component)]; }
};

}  // namespace oddgrist::process

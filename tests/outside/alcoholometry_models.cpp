#include "harness.hpp"
#include "science/alcoholometry.hpp"

namespace {

using namespace oddgrist::science;
using outside::Inputs;

const bool registered[] = {
    outside::add("ethanol_water_density_oiml",
                 [](const Inputs& in) {
                   return ethanol_water_density_oiml_kg_per_m3(in.at("mass_fraction"), in.at("temperature_c"));
                 }),
    outside::add("ethanol_water_density_by_volume_oiml",
                 [](const Inputs& in) {
                   const double by_mass = mass_fraction_from_alcohol_by_volume(in.at("volume_fraction"));
                   return ethanol_water_density_oiml_kg_per_m3(by_mass, 20.0);
                 }),
    outside::add(
        "mass_percent_from_alcohol_by_volume_oiml",
        [](const Inputs& in) { return 100.0 * mass_fraction_from_alcohol_by_volume(in.at("volume_fraction")); }),
    outside::add("alcohol_by_volume_percent_from_mass_fraction_oiml",
                 [](const Inputs& in) { return 100.0 * alcohol_by_volume_from_mass_fraction(in.at("mass_fraction")); }),
    outside::add(
        "contraction_on_mixing",
        [](const Inputs& in) { return contraction_on_mixing(in.at("ethanol_volume"), in.at("water_volume")); }),
};

}  // namespace

#include "harness.hpp"
#include "science/density.hpp"

namespace {

using namespace oddgrist::science;
using outside::Inputs;

const bool registered[] = {
    outside::add("water_density_kell",
                 [](const Inputs& in) { return water_density_kell_kg_per_m3(in.at("temperature_c")); }),
    outside::add("sucrose_solution_density_bettin",
                 [](const Inputs& in) {
                   return sucrose_solution_density_bettin_kg_per_m3(in.at("mass_fraction"), in.at("temperature_c"));
                 }),
    outside::add("plato_from_specific_gravity_asbc",
                 [](const Inputs& in) { return plato_from_specific_gravity_asbc(in.at("specific_gravity")); }),
    outside::add("specific_gravity_from_plato_asbc",
                 [](const Inputs& in) { return specific_gravity_from_plato_asbc(in.at("plato")); }),
    outside::add("hydrometer_correction_points_60_f",
                 [](const Inputs& in) {
                   const double sample_c = (in.at("fahrenheit") - 32.0) / 1.8;
                   const double calibration_c = (60.0 - 32.0) / 1.8;
                   // The table corrects to 60 F, the function to 20/20: take what it does to a sample at 60 F off
                   // again.
                   const double here = specific_gravity_from_hydrometer(in.at("reading"), sample_c, calibration_c);
                   const double at_60 =
                       specific_gravity_from_hydrometer(in.at("reading"), calibration_c, calibration_c);
                   return 1000.0 * (here - at_60);
                 }),
};

}  // namespace

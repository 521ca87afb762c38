#include "science/vapour.hpp"

#include "harness.hpp"

namespace {

using namespace oddgrist;
using outside::Inputs;

const bool registered[] = {
    outside::add(
        "water_vapour_pressure_pa_wagner",
        [](const Inputs& in) { return 1e5 * science::water_vapour_pressure_bar_wagner(in.at("temperature_c")); }),
    outside::add("water_vapour_pressure_slope_pa_per_k_wagner",
                 [](const Inputs& in) {
                   return 1e5 * science::water_vapour_pressure_slope_bar_per_k_wagner(in.at("temperature_c"));
                 }),
    outside::add(
        "water_saturated_density_wagner",
        [](const Inputs& in) { return science::water_saturated_density_kg_per_m3_wagner(in.at("temperature_c")); }),
    outside::add(
        "steam_saturated_density_wagner",
        [](const Inputs& in) { return science::steam_saturated_density_kg_per_m3_wagner(in.at("temperature_c")); }),
    outside::add("water_boiling_point",
                 [](const Inputs& in) { return science::water_boiling_point_c(in.at("pressure_kpa") / 100.0); }),
    outside::add("water_latent_heat",
                 [](const Inputs& in) { return science::water_latent_heat_kj_per_kg(in.at("temperature_c")); }),
    outside::add("standard_pressure_pa_icao",
                 [](const Inputs& in) { return 1e5 * science::standard_pressure_bar_icao(in.at("altitude_m")); }),
    outside::add("water_boiling_point_at_altitude",
                 [](const Inputs& in) { return science::water_boiling_point_at_altitude_c(in.at("altitude_m")); }),
};

}  // namespace

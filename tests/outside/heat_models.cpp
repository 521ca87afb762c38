#include "harness.hpp"
#include "science/heat.hpp"
#include "science/volumes.hpp"

namespace {

using namespace oddgrist;
using namespace oddgrist::science;
using outside::Inputs;

double celsius_from(double fahrenheit) { return (fahrenheit - 32.0) / 1.8; }
double kg_from_lb(double lb) { return (lb * pound).in(kilogram); }
// The books weigh a quart cold.
double kg_from_quarts(double quarts) { return water_mass_kg((quarts * us_quart).in(litre), 20.0); }

const bool registered[] = {
    outside::add("strike_temperature_fahrenheit",
                 [](const Inputs& in) {
                   const double strike_c = strike_temperature_c(
                       kg_from_lb(in.at("grist_lb")), celsius_from(in.at("grain_f")),
                       kg_from_quarts(in.at("liquor_quart")), 0.0, 20.0, celsius_from(in.at("rest_f")));
                   return strike_c * 1.8 + 32.0;
                 }),
    outside::add("infusion_quart",
                 [](const Inputs& in) {
                   const double mash = mash_heat_capacity_kj_per_k(kg_from_lb(in.at("grist_lb")),
                                                                   kg_from_quarts(in.at("liquor_quart")), 0.0);
                   const double added_kg =
                       infusion_kg(mash, celsius_from(in.at("mash_f")), celsius_from(in.at("target_f")),
                                   celsius_from(in.at("infusion_f")));
                   return added_kg / kg_from_quarts(1.0);
                 }),
    outside::add(
        "decoction_share",
        [](const Inputs& in) { return decoction_share(in.at("mash_c"), in.at("target_c"), in.at("decoction_c")); }),
    outside::add("temperature_newton_from_reading",
                 [](const Inputs& in) {
                   const double tau = cooling_time_constant_minutes(in.at("start"), in.at("later"),
                                                                    in.at("surroundings"), in.at("later_minutes"));
                   return temperature_newton_c(in.at("start"), in.at("surroundings"), in.at("minutes"), tau);
                 }),
    outside::add("heating_energy_kj",
                 [](const Inputs& in) {
                   const double capacity = in.at("mass_kg") * MashHeat{}.water_kj_per_kg_k;
                   return heating_energy_kj(capacity, in.at("from_c"), in.at("to_c"));
                 }),
    outside::add("cold_volume_l",
                 [](const Inputs& in) { return cold_volume_l(in.at("hot_volume_l"), in.at("temperature_c")); }),
    outside::add("grain_displacement_l", [](const Inputs& in) { return grain_displacement_l(in.at("grist_kg")); }),
};

}  // namespace

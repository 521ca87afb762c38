#include "science/carbonation.hpp"

#include <cmath>

#include "harness.hpp"
#include "science/bottle_pressure.hpp"
#include "science/density.hpp"

namespace {

using namespace oddgrist;
using outside::Inputs;

double celsius(double fahrenheit) { return (fahrenheit - 32.0) / 1.8; }

const bool registered[] = {
    outside::add("carbonation_gauge_psi_delange",
                 [](const Inputs& in) {
                   const double bar = science::carbonation_equilibrium_pressure_bar_delange(
                       celsius(in.at("temperature_f")), in.at("volumes"));
                   return (bar - science::standard_atmosphere_bar) / science::bar_per_psi;
                 }),
    outside::add("carbonation_gauge_psi_regression",
                 [](const Inputs& in) {
                   return science::carbonation_gauge_psi_regression(in.at("temperature_f"), in.at("volumes"));
                 }),
    outside::add(
        "carbonation_residual_volumes",
        [](const Inputs& in) { return science::carbonation_residual_volumes(celsius(in.at("temperature_f"))); }),
    outside::add("carbon_dioxide_solubility_weiss",
                 [](const Inputs& in) {
                   return science::carbon_dioxide_solubility_water_mol_per_l_atm_weiss(in.at("temperature_c"));
                 }),
    // mol per kg of water
    outside::add("carbon_dioxide_log_solubility_weiss",
                 [](const Inputs& in) {
                   const double t = in.at("temperature_c");
                   return std::log10(science::carbon_dioxide_solubility_water_mol_per_l_atm_weiss(t) /
                                     science::water_density_kell_kg_per_m3(t) * 1000.0);
                 }),
    outside::add("carbon_dioxide_bunsen_weiss",
                 [](const Inputs& in) {
                   return science::ideal_molar_volume_l *
                          science::carbon_dioxide_solubility_water_mol_per_l_atm_weiss(in.at("temperature_c"));
                 }),
    outside::add("carbon_dioxide_per_sugar",
                 [](const Inputs& in) {
                   const auto kind = static_cast<science::PrimingSugar>(static_cast<int>(in.at("kind")));
                   return science::carbon_dioxide_g_per_g(kind);
                 }),
    outside::add("carbon_dioxide_g_per_l_per_volume",
                 [](const Inputs& in) { return in.at("volumes") * science::carbon_dioxide_g_per_l_per_volume; }),
    outside::add("carbon_dioxide_from_sucrose_g_per_l",
                 [](const Inputs& in) {
                   return science::volumes_from_fermentable(in.at("sucrose_g_per_l")) *
                          science::carbon_dioxide_g_per_l_per_volume;
                 }),
    outside::add("sealed_carbon_dioxide_bar",
                 [](const Inputs& in) {
                   science::SealedBottle<double> bottle;
                   bottle.volumes = in.at("volumes");
                   bottle.beer_l = in.at("beer_l");
                   bottle.headspace_l = in.at("headspace_l");
                   bottle.closed_at_c = in.at("temperature_c");
                   return science::bottle_pressure(bottle, in.at("temperature_c")).carbon_dioxide_bar;
                 }),
};

}  // namespace

#include <cmath>

#include "harness.hpp"
#include "science/hop_kinetics.hpp"
#include "science/hop_storage.hpp"

namespace {

using namespace oddgrist;
using outside::Inputs;

// The slope of an Arrhenius plot between two temperatures, kJ/mol.
template <class Rate>
double activation_kj_per_mol(const Inputs& in, const Rate& rate) {
  const double low = in.at("low_c"), high = in.at("high_c");
  return 8.31446262e-3 * std::log(rate(high) / rate(low)) / (1.0 / (low + 273.15) - 1.0 / (high + 273.15));
}

struct Cooling {
  double start_c, per_minute;
  double operator()(double minute) const { return science::newton_cooling_c(start_c, 20.0, per_minute, minute); }
};

science::HopAcids<double> fresh() {
  science::HopAcids<double> acids;
  acids.alpha = 1.0;
  return acids;
}

const bool registered[] = {
    outside::add("hop_isomerisation_activation_kj_per_mol",
                 [](const Inputs& in) {
                   return activation_kj_per_mol(
                       in, [](double c) { return science::hop_isomerisation_rate_per_minute_malowicki(c); });
                 }),
    outside::add("hop_degradation_activation_kj_per_mol",
                 [](const Inputs& in) {
                   return activation_kj_per_mol(
                       in, [](double c) { return science::hop_degradation_rate_per_minute_malowicki(c); });
                 }),
    outside::add("hop_iso_yield",
                 [](const Inputs& in) { return science::hop_iso_yield(in.at("minutes"), in.at("temperature_c")); }),
    outside::add("hop_alpha_left",
                 [](const Inputs& in) {
                   return science::hop_acids_after(fresh(), in.at("minutes"), in.at("temperature_c")).alpha;
                 }),
    outside::add("hop_iso_yield_cooling",
                 [](const Inputs& in) {
                   const Cooling course{in.at("start_c"), in.at("per_minute")};
                   return science::hop_acids_along(fresh(), in.at("minutes"), course).iso_alpha;
                 }),
    outside::add("hop_equivalent_boil_minutes_cooling",
                 [](const Inputs& in) {
                   const Cooling course{in.at("start_c"), in.at("per_minute")};
                   return science::hop_equivalent_boil_minutes<double>(in.at("minutes"), course);
                 }),
    outside::add("hop_loss_percent_nickerson",
                 [](const Inputs& in) {
                   return 100.0 * science::hop_loss_share_nickerson(in.at("storage_index"), in.at("slope_percent"));
                 }),
    outside::add("hop_alpha_left_garetz",
                 [](const Inputs& in) {
                   return science::hop_alpha_left_share_garetz(in.at("lost_half_year_share"), in.at("temperature_c"),
                                                               1.0, in.at("days"));
                 }),
};

}  // namespace

// Carbonate constants and the textbook waters made from them.
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "harness.hpp"
#include "science/acid.hpp"
#include "science/carbonate.hpp"
#include "science/water.hpp"

namespace {

using namespace oddgrist::science;
using outside::add;
using outside::Inputs;

template <class Function>
double zero_of(const Function& function, double low, double high) {
  std::uintmax_t steps = 200;
  return boost::math::tools::toms748_solve(function, low, high, boost::math::tools::eps_tolerance<double>(45), steps)
      .first;
}

// Litres an ideal gas's mole of CO2 really fills at 0 C and 1 atm, which absorption coefficients are stated in.
constexpr double carbon_dioxide_l_per_mol = 22.26;

// A sodium carbonate buffer: alkalinity and total carbonate are known, the pH is what fits them.
double carbonate_buffer_ph(double bicarbonate, double carbonate, double temperature_c) {
  const auto constants = carbonate_constants(temperature_c, bicarbonate + 3.0 * carbonate).value();
  const double alkalinity = bicarbonate + 2.0 * carbonate, total = bicarbonate + carbonate;
  return zero_of([&](double ph) { return carbonate_alkalinity_eq_per_l(total, ph, constants) - alkalinity; }, 4.0,
                 12.0);
}

// A phosphate buffer from the acid's own second constant, corrected for activity.
double phosphate_buffer_ph(double dihydrogen, double hydrogen) {
  const double strength = dihydrogen + 3.0 * hydrogen;
  const double shift =
      log_activity_coefficient_davies(2, strength, 25.0) - log_activity_coefficient_davies(1, strength, 25.0);
  const double charge = (dihydrogen + 2.0 * hydrogen) / (dihydrogen + hydrogen);
  return shift + zero_of([&](double ph) { return acid_charge_per_mole(AcidKind::phosphoric, ph) - charge; }, 4.0, 10.0);
}

double open_water_ph(double carbon_dioxide_atm, double temperature_c) {
  const auto constants = carbonate_constants(temperature_c, 1e-5).value();
  return zero_of([&](double ph) { return carbonate_acid_demand_open_eq_per_l(0.0, ph, carbon_dioxide_atm, constants); },
                 2.5, 8.0);
}

// Calcite and air: the pH at which the calcium that pays for the alkalinity just saturates the water.
struct CalciteWater {
  double ph, calcium_mol_per_l;
};
CalciteWater calcite_in_air(double carbon_dioxide_atm, double temperature_c) {
  constexpr double strength = 1.5e-3;
  const auto constants = carbonate_constants(temperature_c, strength).value();
  const auto calcium = [&](double ph) {
    return -0.5 * carbonate_acid_demand_open_eq_per_l(0.0, ph, carbon_dioxide_atm, constants);
  };
  const double ph = zero_of(
      [&](double x) {
        const double total = carbonate_total_mol_per_l(2.0 * calcium(x), x, constants).value();
        return calcite_saturation_index(calcium(x), total, x, temperature_c, strength, constants);
      },
      7.0, 9.0);
  return {ph, calcium(ph)};
}

const bool registered[] = {
    add("carbonate_pk1", [](const Inputs& in) { return carbonate_pk1_plummer_busenberg(in.at("temperature_c")); }),
    add("carbonate_pk2", [](const Inputs& in) { return carbonate_pk2_plummer_busenberg(in.at("temperature_c")); }),
    add("calcite_pk", [](const Inputs& in) { return calcite_pk_plummer_busenberg(in.at("temperature_c")); }),
    add("aragonite_pk", [](const Inputs& in) { return aragonite_pk_plummer_busenberg(in.at("temperature_c")); }),
    add("carbon_dioxide_bunsen",
        [](const Inputs& in) {
          return carbon_dioxide_l_per_mol * std::pow(10.0, -carbonate_pkh_plummer_busenberg(in.at("temperature_c")));
        }),
    add("water_pkw_harned_hamer", [](const Inputs& in) { return water_pkw_harned_hamer(in.at("temperature_c")); }),
    add("water_pkw_nordstrom", [](const Inputs& in) { return water_pkw_nordstrom(in.at("temperature_c")); }),
    add("water_permittivity",
        [](const Inputs& in) { return water_permittivity_malmberg_maryott(in.at("temperature_c")); }),
    // The limiting slope: log gamma over the root of a vanishing ionic strength.
    add("davies_a",
        [](const Inputs& in) { return -log_activity_coefficient_davies(1, 1e-12, in.at("temperature_c")) / 1e-6; }),
    add("davies_activity_coefficient",
        [](const Inputs& in) {
          return std::pow(
              10.0, log_activity_coefficient_davies(static_cast<int>(in.at("charge")), in.at("ionic_strength"), 25.0));
        }),
    add("carbonate_buffer_ph",
        [](const Inputs& in) {
          return carbonate_buffer_ph(in.at("bicarbonate"), in.at("carbonate"), in.at("temperature_c"));
        }),
    add("phosphate_buffer_ph",
        [](const Inputs& in) { return phosphate_buffer_ph(in.at("dihydrogen"), in.at("hydrogen")); }),
    add("rain_ph", [](const Inputs& in) { return open_water_ph(in.at("carbon_dioxide_atm"), in.at("temperature_c")); }),
    add("soda_water_ph",
        [](const Inputs& in) { return open_water_ph(in.at("carbon_dioxide_atm"), in.at("temperature_c")); }),
    add("calcite_in_air_ph",
        [](const Inputs& in) { return calcite_in_air(in.at("carbon_dioxide_atm"), in.at("temperature_c")).ph; }),
    add("calcite_in_air_calcium_mg_per_l",
        [](const Inputs& in) {
          return 2000.0 * calcium_mg_per_meq *
                 calcite_in_air(in.at("carbon_dioxide_atm"), in.at("temperature_c")).calcium_mol_per_l;
        }),
};

}  // namespace

// The unknowns of a brief: how much of what goes in when. A design is one choice of them; charge_of() pours it.
#pragma once

#include <array>
#include <deque>
#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "process/forecast.hpp"
#include "process/plan.hpp"

namespace oddgrist::compose {

// A moment at which things are poured in. Kettle ports carry their minute.
struct Port {
  enum class Where {
    mash_liquor,
    grist,
    sparge_liquor,
    top_up,
    kettle,
    flame_out,
    fermenter,
    infusion
  } where = Where::grist;
  double minutes_before_boil_end = 0.0;
};

// One unknown amount, in kg, of one ingredient at one port.
struct Variable {
  int supply = -1;  // index into Unknowns::supplies, -1 for water
  int water = -1;   // index into the brief's waters, -1 for anything else or when no water is stated
  int port = 0;
  double step_kg = 0.001;
  const larder::Composition* composition = nullptr;
};

struct Unknowns {
  std::deque<larder::Composition> waters;  // owned here, for variables to point at

  std::vector<const Supply*> supplies;  // given first, then have; yeast apart
  std::vector<bool> is_given;
  std::vector<Port> ports;
  std::vector<Variable> variables;
  std::vector<std::vector<int>> variables_of_supply;

  Unknowns() = default;
  Unknowns(Unknowns&&) = default;
  Unknowns& operator=(Unknowns&&) = default;
  Unknowns(const Unknowns&) = delete;  // variables point into `waters`
  Unknowns& operator=(const Unknowns&) = delete;
};

struct Design {
  std::vector<double> amount_kg;  // one per variable
  double rest_temperature_c = 66.0;
};

// Points into the brief, which must outlive it.
Unknowns unknowns_of(const Brief& brief);

// What the yeast of this choice does, and how much of it is pitched.
struct Fermentation {
  const Supply* yeast = nullptr;
  process::Ferment how;
  double pitched_kg = 0.0;
};

template <class Scalar>
process::Charge<Scalar> charge_of(const Unknowns& unknowns, const Design& design, const Fermentation& fermentation);

process::Forecast<double> forecast_of(const Brief& brief, const Unknowns& unknowns, const Design& design,
                                      const Fermentation& fermentation, process::Trace trace = process::Trace::off);

// What the search steers. The first are the brief's measures, in the order of Measure.
enum class Gauge {
  volume_l,
  original_gravity,
  final_gravity,
  alcohol,
  bitterness,
  colour,
  mash_ph,
  calcium,
  magnesium,
  sodium,
  chloride,
  sulphate,
  mash_hot_l,
  boil_hot_l,
  grist_kg,
};
inline constexpr int gauge_count = measure_count + 3;

template <class Scalar>
std::array<Scalar, gauge_count> gauges_of(const process::Forecast<Scalar>& forecast) {
  return {forecast.fermenter_volume_l,
          forecast.original_gravity_sg,
          forecast.final_gravity_sg,
          forecast.abv_percent,
          forecast.bitterness_ibu,
          forecast.colour_ebc,
          forecast.mash_ph,
          forecast.liquor_ions_mg_per_l[0],
          forecast.liquor_ions_mg_per_l[1],
          forecast.liquor_ions_mg_per_l[2],
          forecast.liquor_ions_mg_per_l[3],
          forecast.liquor_ions_mg_per_l[4],
          forecast.mash_volume_hot_l,
          forecast.pre_boil_volume_hot_l,
          forecast.grist_kg};
}

// The forecast's gauges and their derivatives with respect to every variable (per kg) and the rest temperature (per K), taken
// from the forward model by automatic differentiation over the components of each port, so that the cost does not grow with the
// number of ingredients.
struct Linearisation {
  std::array<double, gauge_count> value{};
  std::array<std::vector<double>, gauge_count> per_kg;
  std::array<double, gauge_count> per_kelvin_of_rest{};
};

Linearisation linearise(const Brief& brief, const Unknowns& unknowns, const Design& design,
                        const Fermentation& fermentation);

}  // namespace oddgrist::compose

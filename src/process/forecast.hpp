// The one forward model: run a plan's steps and read off what a brewer would measure.
#pragma once

#include <string>
#include <vector>

#include <Eigen/Core>
#include <unsupported/Eigen/AutoDiff>

#include "process/mixture.hpp"
#include "process/plan.hpp"

namespace oddgrist::process {

// Forward-mode automatic differentiation, this many directions a pass.
inline constexpr int directions_per_pass = 32;
using Active = Eigen::AutoDiffScalar<Eigen::Matrix<double, directions_per_pass, 1>>;

// A stream that left the batch in a step, and where it went.
template <class Scalar>
struct Removed {
  std::string where;  // "spent grain", "vapour", "trub", "gas", "skimmed fat", ...
  Mixture<Scalar> mixture;
};

// One row of the trace: before + added - removed + reacted = after, component by component.
template <class Scalar>
struct Moment {
  std::string step;
  Mixture<Scalar> added;
  Mixture<Scalar> reacted;
  std::vector<Removed<Scalar>> removed;
  Mixture<Scalar> after;
};

// Volumes are at 20 C unless the name says hot.
template <class Scalar>
struct Forecast {
  Scalar liquor_l{0.0};  // all water to treat: mash, sparge, top-up
  Scalar mash_liquor_l{0.0};
  Scalar strike_temperature_c{0.0};
  Scalar grist_kg{0.0};
  Scalar mash_ph{0.0};                         // read at 20 C; 0 without a mash
  std::array<Scalar, 5> liquor_ions_mg_per_l;  // over all the liquor: calcium, magnesium, sodium, chloride, sulphate
  Scalar liquor_alkalinity_meq_per_l{0.0};
  Scalar mash_volume_hot_l{0.0};  // liquor and grain in the kettle at rest temperature
  Scalar pre_boil_volume_l{0.0};
  Scalar pre_boil_volume_hot_l{0.0};  // as the kettle shows it near boiling
  Scalar pre_boil_gravity_sg{1.0};
  Scalar post_boil_volume_l{0.0};
  Scalar post_boil_volume_hot_l{0.0};
  Scalar post_boil_gravity_sg{1.0};
  Scalar fermenter_volume_l{0.0};   // at pitching
  Scalar original_gravity_sg{1.0};  // at pitching
  Scalar final_gravity_sg{1.0};     // of the finished beer
  Scalar abv_percent{0.0};
  Scalar bitterness_ibu{0.0};          // empirical utilisation
  Scalar bitterness_kinetic_ibu{0.0};  // isomerisation kinetics along the real temperature course, beside it
  Scalar colour_ebc{0.0};
  Scalar packaged_volume_l{0.0};
  Scalar fat_mg_per_l{0.0};           // in the packaged beer
  Scalar priming_sucrose_g{0.0};      // for the whole packaged volume
  std::vector<Moment<Scalar>> trace;  // filled when asked for
  std::vector<std::string>
      impossible;  // what no kit can do, e.g. grain that drinks all the liquor; empty for a sound plan

  Forecast() { liquor_ions_mg_per_l.fill(Scalar(0.0)); }
};

inline constexpr std::array liquor_ions = {Component::calcium, Component::magnesium, Component::sodium,
                                           Component::chloride, Component::sulphate};

enum class Trace { off, on };

template <class Scalar>
Forecast<Scalar> forecast(const Plan<Scalar>& plan, Trace trace = Trace::off);

}  // namespace oddgrist::process

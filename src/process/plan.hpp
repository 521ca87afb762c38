// A plan is a list of steps. Each step is a pure function from batch to batch; apply.hpp says what each one does, and every
// step names what it takes out and where that went.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "larder/ingredient.hpp"
#include "process/hop_course.hpp"
#include "process/kit.hpp"
#include "process/mixture.hpp"

namespace oddgrist::process {

// Something poured into the kettle at a moment of the boil.
template <class Scalar>
struct Pour {
  double minutes_before_end = 0.0;
  Mixture<Scalar> mixture;
};

// Everything that goes in, sorted by the moment it goes in. Compose chooses it; make_plan() turns it into steps.
template <class Scalar>
struct Charge {
  Mixture<Scalar> mash_liquor;
  Mixture<Scalar> grist;
  Mixture<Scalar> sparge_liquor;  // sparged mash only
  Mixture<Scalar> top_up;         // water into the kettle once the grain is out
  std::vector<Pour<Scalar>> kettle;
  Mixture<Scalar> flame_out;
  Mixture<Scalar> fermenter;      // with the yeast
  Mixture<Scalar> yeast;
  Mixture<Scalar> infused_food;   // steeped in a side vessel, the liquor dosed after the first fermentation
  Scalar rest_temperature_c{66.0};
};

// How far the yeast goes, and where.
struct Ferment {
  larder::YeastTraits yeast;
  double temperature_c = 19.0;
};

// A side vessel: food steeped in hot water, fat skimmed cold, solids strained off.
struct Steeping {
  double water_kg_per_kg_food = 3.0;
  double fat_skimmed_share = 0.97;     // estimate, no source: cold fat lifts off as a plate; what is emulsified stays
  double liquor_recovered_share = 0.80; // estimate, no source: the rest stays in the strained sludge
};

// clang-format off
template <class Scalar> struct HeatLiquor { Mixture<Scalar> liquor; };
template <class Scalar> struct MashIn     { Mixture<Scalar> grist; Scalar rest_temperature_c; double kettle_heat_kj_per_k; double room_c; bool heated_in_kettle; };
template <class Scalar> struct Rest       { Scalar temperature_c; double minutes; double conversion; };
template <class Scalar> struct Drain      { Scalar grist_kg; double held_l_per_kg; Mixture<Scalar> sparge_liquor; };
template <class Scalar> struct TopUp      { Mixture<Scalar> water; };
template <class Scalar> struct Boil       { double minutes; double boil_off_l_per_h; HopCourse course; std::vector<Pour<Scalar>> pours; };
template <class Scalar> struct Stand      { Mixture<Scalar> addition; HopCourse course; };
template <class Scalar> struct Chill      { double to_c; };
template <class Scalar> struct Transfer   { double kettle_loss_l; double held_l_per_kg_trub; double fat_left_share; };
template <class Scalar> struct Pitch      { Mixture<Scalar> yeast; Mixture<Scalar> addition; };
template <class Scalar> struct Attenuate  { Ferment how; };
template <class Scalar> struct Dose       { Mixture<Scalar> food; Steeping steeping; };
template <class Scalar> struct Rack       { double fermenter_loss_l; double fat_left_share; };
template <class Scalar> struct Fill       { double carbonation_volumes; double temperature_c; };
// clang-format on

template <class Scalar>
using Step = std::variant<HeatLiquor<Scalar>, MashIn<Scalar>, Rest<Scalar>, Drain<Scalar>, TopUp<Scalar>, Boil<Scalar>, Stand<Scalar>,
                          Chill<Scalar>, Transfer<Scalar>, Pitch<Scalar>, Attenuate<Scalar>, Dose<Scalar>, Rack<Scalar>, Fill<Scalar>>;

template <class Scalar>
struct Plan {
  std::vector<Step<Scalar>> steps;
};

// The steps of a day with this kit. Rest 60 min unless the kit says otherwise.
template <class Scalar>
Plan<Scalar> make_plan(const Kit& kit, const Charge<Scalar>& charge, const Ferment& ferment, double carbonation_volumes);

}  // namespace oddgrist::process

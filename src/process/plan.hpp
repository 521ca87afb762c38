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
#include "science/infusion.hpp"

namespace oddgrist::process {

// Something poured into the kettle at a moment of the boil.
template <class Scalar>
struct Pour {
  double minutes_before_end = 0.0;
  Mixture<Scalar> mixture;
};

// A figure that is only estimated, and the span it plausibly lies in.
struct Estimated {
  double usual = 0.0, low = 0.0, high = 0.0;
  friend bool operator==(const Estimated&, const Estimated&) = default;
};

// A side vessel: food steeped in boiling water or in spirit, fat skimmed cold, solids strained off. One vessel a brew. What becomes
// of it is reckoned by science::strain(), whose usual values these are; the spans are our estimates, no source.
struct Steeping {
  double liquor_l_per_kg_food = 3.0;            // at 20 C, as it is poured
  double liquor_alcohol_volume_fraction = 0.0;  // 0: water; at 20 C
  double minutes = 30.0;                        // water: from the boil; spirit: closed, at room temperature
  Estimated dissolved_share{science::Steep<double>{}.dissolved_share, 0.8, 1.0};  // of what can dissolve
  Estimated fat_afloat_share{science::Steep<double>{}.fat_afloat_share, 0.1,
                             0.6};  // of the fat, comes away from the solids
  Estimated fat_skimmed_share{science::Steep<double>{}.fat_skimmed_share, 0.6,
                              0.95};                                            // of the fat afloat, lifted off cold
  Estimated held_kg_per_kg{science::Steep<double>{}.held_kg_per_kg, 0.5, 2.0};  // liquor the strained solids keep

  [[nodiscard]] bool in_spirit() const { return liquor_alcohol_volume_fraction > 0.0; }
  friend bool operator==(const Steeping&, const Steeping&) = default;
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
  Mixture<Scalar> fermenter;  // with the yeast
  Mixture<Scalar> yeast;
  Mixture<Scalar> infused_food;  // steeped in a side vessel, the liquor dosed after the first fermentation
  Steeping steeping;             // how that is done
  Scalar rest_temperature_c{66.0};
};

// How far the yeast goes, and where.
struct Ferment {
  larder::YeastTraits yeast;
  double temperature_c = 19.0;
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
template <class Scalar> struct Referment  { Ferment how; Dose<Scalar> dose; };
template <class Scalar> struct Rack       { double fermenter_loss_l; double fat_left_share; };
template <class Scalar> struct Fill       { double carbonation_volumes; double temperature_c; };
template <class Scalar> struct Spill      { double lost_l; };  // at 20 C; put in where something boils over; not between a dose and its referment
// clang-format on

template <class Scalar>
using Step = std::variant<HeatLiquor<Scalar>, MashIn<Scalar>, Rest<Scalar>, Drain<Scalar>, TopUp<Scalar>, Boil<Scalar>,
                          Stand<Scalar>, Chill<Scalar>, Transfer<Scalar>, Pitch<Scalar>, Attenuate<Scalar>,
                          Dose<Scalar>, Referment<Scalar>, Rack<Scalar>, Fill<Scalar>, Spill<Scalar>>;

template <class Scalar>
struct Plan {
  std::vector<Step<Scalar>> steps;
};

// The steps of a day with this kit. Rest 60 min unless the kit says otherwise.
template <class Scalar>
Plan<Scalar> make_plan(const Kit& kit, const Charge<Scalar>& charge, const Ferment& ferment,
                       double carbonation_volumes);
// The same, with the hops' course reckoned beforehand: for whoever makes many plans that differ in nothing it hangs on.
[[nodiscard]] HopCourse hop_course_of(const Kit& kit, double chilled_to_c);
template <class Scalar>
Plan<Scalar> make_plan(const Kit& kit, const Charge<Scalar>& charge, const Ferment& ferment, double carbonation_volumes,
                       const HopCourse& course);

}  // namespace oddgrist::process

// The brewer's kit: what it holds and what it loses. Defaults are common practice for one kettle and a bag; a brewer's own
// gyles will sharpen them.
#pragma once

#include <string>

#include "quantity/quantity.hpp"

namespace oddgrist::process {

enum class MashMethod { full_volume_bag, sparged };

struct Kit {
  std::string name = "one kettle and a bag";
  MashMethod mash_method = MashMethod::full_volume_bag;
  Volume kettle = 16.0 * litre;               // brim-full, cold
  Volume fermenter = 0.0 * litre;             // 0: not stated, no limit
  Fraction kettle_headspace = 5.0 * percent;  // of the kettle kept free while mashing and boiling
  Flow boil_off = 2.0 * litre_per_hour;       // cold litres of water a hour of boil drives off
  Duration boil = 60.0 * minute;
  Duration rest = 60.0 * minute;      // saccharification rest
  Duration hot_stand = 0.0 * minute;  // after the boil, before the chiller
  Temperature hot_stand_at = 80.0 * celsius;
  Duration flame_out_to_cold = 20.0 * minute;  // how long the chiller takes
  VolumePerMass held_by_grain =
      0.6 * litre_per_kilogram;  // wort the drained and squeezed grain keeps, per kg as weighed
  VolumePerMass held_by_hops = 6.0 * litre_per_kilogram;  // wort the trub keeps, per kg of undissolved hop and food
  Fraction conversion = 95.0 * percent;                   // share of the grist's starch that dissolves
  Volume kettle_loss = 0.5 * litre;                       // left behind with the trub
  Volume fermenter_loss = 0.5 * litre;                    // left behind with the yeast
  double kettle_heat_kj_per_k = 2.0;                      // heat the kettle itself takes up
  Volume sparge = 0.0 * litre;                            // sparged mash: liquor kept for the sparge
  Temperature room = 20.0 * celsius;
  Temperature boiling_point = 100.0 * celsius;
};

}  // namespace oddgrist::process

// The brewer's kit: what it holds and what it loses. Defaults are common practice for one kettle and a bag; a brewer's own
// gyles will sharpen them.
#pragma once

#include <optional>
#include <string>

#include "process/way.hpp"
#include "quantity/quantity.hpp"

namespace oddgrist::process {

enum class MashMethod { full_volume_bag, sparged };
// Water that goes to the wort in the fermenter: as it comes from the tap, or boiled and cooled before.
enum class FermenterWater { boiled, cold };
enum class Package { bottles, keg };

struct Kit {
  std::string name = "one kettle and a bag";
  std::optional<Way> way;  // as the brewer states it; none: it follows from kettle and ingredients
  MashMethod mash_method = MashMethod::full_volume_bag;
  FermenterWater fermenter_water = FermenterWater::boiled;
  Package package = Package::bottles;
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
      0.8 * litre_per_kilogram;  // wort the drained and squeezed grain keeps, per kg as weighed
  VolumePerMass held_by_hops = 6.0 * litre_per_kilogram;  // wort the trub keeps, per kg of undissolved hop and food
  Fraction conversion = 88.0 * percent;  // share of the grist's starch that dissolves, where enzymes are plenty
  Volume kettle_loss = 0.5 * litre;      // left behind with the trub
  Volume fermenter_loss = 0.5 * litre;   // left behind with the yeast
  double kettle_heat_kj_per_k = 2.0;     // heat the kettle itself takes up
  Volume sparge = 0.0 * litre;           // sparged mash: liquor kept for the sparge
  Temperature room = 20.0 * celsius;
  Temperature boiling_point = 100.0 * celsius;

  [[nodiscard]] bool boils() const { return boil > 0.0 * minute; }
  // The hottest the wort gets once the grain is out: where it boils, or where a beer without a boil is held.
  [[nodiscard]] Temperature hottest() const { return boils() ? boiling_point : hot_stand_at; }
};

// What a kettle of this size usually loses, drives off and weighs: losses go with its volume, what goes through a surface with the
// two-thirds power of it. Common practice for 16 L, no source; scaled from there.
[[nodiscard]] Kit usual_kit(Volume kettle);
// A kettle in which this much beer can be brewed whole.
[[nodiscard]] Volume usual_kettle_for(Volume beer);

}  // namespace oddgrist::process

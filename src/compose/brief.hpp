// A brief: what the brewer was given, has, and wants. Plain data; src/files reads it, compose() answers it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "larder/ingredient.hpp"
#include "process/kit.hpp"
#include "process/plan.hpp"
#include "quantity/quantity.hpp"
#include "science/water.hpp"

namespace oddgrist::compose {

// Where in the file a thing was written, so that a message can point at it. line 0: not from a file.
struct Place {
  std::string file;
  int line = 0;
  int column = 0;
};

// How an ingredient reaches the beer.
enum class Route { mash, boil, flame_out, fermenter, infusion };

// What the brewer must do with something they were given.
struct Must {
  enum class Sense { all, at_least, at_most, between };
  Sense sense = Sense::all;
  Mass low = 0.0 * kilogram;  // all: the whole amount
  Mass high = 0.0 * kilogram;
};

struct Supply {
  larder::Ingredient ingredient;
  std::optional<Mass> amount;                 // what is in the house; none: as much as wanted can be bought
  std::optional<Mass> packet;                 // bought only in whole packets of this size
  std::optional<Must> must;                   // set for [[given]]
  std::optional<Route> route;                 // the brewer's wish; none: the usual way for its kind
  std::optional<process::Steeping> steeping;  // route infusion: in what, how long; none: the usual way
  std::vector<Duration> hop_times;  // minutes before the end of the boil the brewer allows; empty: the tool's own set
  double cost_per_kg = 0.0;         // 0: not stated
  bool open = false;                // already opened: used up first where nothing speaks against it
  Place place;
};

enum class Measure {
  volume,
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
};
inline constexpr int measure_count = 12;

// A wish: this measure between low and high. Base units of the measure: L, SG, SG, % vol, IBU, EBC, pH at 20 C, mg/L of all liquor.
struct Wish {
  Measure measure = Measure::volume;
  double low = 0.0;
  double high = 0.0;
  double weight = 1.0;
  Place place;
};

// A water in the house, as its report states it.
struct Water {
  std::string name = "water";
  science::WaterIons<double> ions;
  std::optional<Volume> amount;  // none: the tap
  Place place;
};

// What earlier gyles taught about a doubt of the forecast: it lies about what the brief reckons with, with this deviation. No gyles: what is
// thought of a kit nobody has brewed on.
struct Learned {
  // What is learned of two doubts together is often surer than of either: so much another one moves for each unit of this one.
  struct Pull {
    std::string doubt;
    double by = 0.0;
  };
  std::string doubt;  // its name
  double deviation = 0.0;
  int gyles = 0;
  std::vector<Pull> pulls;
};

struct Brief {
  std::string name;
  std::string file;
  process::Kit kit;
  std::vector<Supply> given;
  std::vector<Supply> have;
  std::vector<Wish> wishes;
  std::vector<Water> waters;  // empty: not stated, reckoned as distilled
  int most_malts = 4;         // different malts and grains in the grist, given ones included
  int most_hops = 3;
  Temperature rest_low = 64.0 * celsius;  // saccharification rest may lie in this range
  Temperature rest_high = 69.0 * celsius;
  Temperature ferment_at = 19.0 * celsius;
  double carbonation_volumes = 2.4;
  bool us_units_first = false;
  std::vector<Learned> learned;  // takes the place of the range common practice gives
  Place most_malts_place, most_hops_place, kit_place;
};

}  // namespace oddgrist::compose

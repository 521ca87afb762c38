// What can stand in the log of a gyle. Entries are only ever appended: a mistake is mended by a later entry that names the earlier
// one, so nothing that was once written down is lost.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "compose/recipe.hpp"

namespace oddgrist::gyle {

using Instant = std::chrono::sys_time<std::chrono::milliseconds>;

// How far the brew has come.
enum class Stage { planned, mash, before_boil, boil, after_boil, fermenter, package };

// What was looked at. Base units: litres as they stand, SG as a hydrometer shows it, degrees Brix as a refractometer shows it, C, pH as
// shown, bar above the air, kg, a score from 0 to 10.
enum class Sight { volume, gravity, refraction, temperature, ph, pressure, mass, taste };

struct Reading {
  Sight sight = Sight::gravity;
  Stage stage = Stage::before_boil;
  double value = 0.0;  // in the base unit of the sight
  std::optional<double>
      deviation;  // one standard deviation in the same unit; none: what such an instrument usually has
  std::optional<double> at_celsius;  // temperature of what was read; none: 20 C, or boiling for a volume in the kettle
  std::string of;                    // mass: which ingredient or vessel
};

// The first entry of every gyle.
struct Started {
  std::string name;
  std::string brief_text;  // the brief as it was read, whole
  compose::Recipe recipe;
  std::string kit;       // under which name the kit is learned
  bool learned = false;  // reckoned with what the gyles before it had taught about the kit, then and since
};

struct Reached {
  Stage stage = Stage::mash;
};

// Something went in that the recipe does not have, or more of what it has.
struct Added {
  compose::Recipe::Amount amount;
};

// The recipe has it, the kettle does not. `kg`: how much is missing.
struct Missed {
  compose::Recipe::Amount amount;
};

// A boil-over, a spill, a sample: this much of the liquid is gone.
struct Lost {
  Stage stage = Stage::boil;
  double volume_l = 0.0;              // as it stood, hot or cold
  std::optional<double> deviation_l;  // one standard deviation; none: a guess by eye
};

// How the rest of the day is now meant to go, where it differs from the recipe.
struct Changed {
  std::optional<double> boil_minutes;
  std::optional<double> carbonation_volumes;
  std::optional<double> priming_sucrose_g;  // weighed for the whole batch; none: as the recipe's forecast says
  std::optional<double> ferment_at_celsius;
};

struct Note {
  std::string text;
};

// The entry named by Entry::mends does not hold.
struct Struck {
  std::string why;
};

using What = std::variant<Started, Reached, Reading, Added, Missed, Lost, Changed, Note, Struck>;

struct Entry {
  std::string key;    // made by whoever writes the entry, so that sending it twice writes it once
  Instant at{};       // when it happened, by the writer's clock
  std::string mends;  // key of the entry this one takes the place of; empty: none
  What what;
};

}  // namespace oddgrist::gyle

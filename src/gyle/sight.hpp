// From what an instrument shows to what the forecast calls it, and how sure one can be of it.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "gyle/brewing.hpp"

namespace oddgrist::gyle {

// Figures of the forecast that something can be read for. Volumes are at 20 C, gravities at 20/20.
enum class Told {
  rest_temperature,
  mash_ph,
  mash_volume,  // liquor and grain
  pre_boil_volume,
  pre_boil_gravity,
  post_boil_volume,
  post_boil_gravity,
  fermenter_volume,
  original_gravity,
  final_gravity,
  carbonation,
  packaged_volume,
  alcohol,
  bitterness,
  colour,
};
inline constexpr int told_count = 15;

[[nodiscard]] double told_by(const Upcome& upcome, Told told);

struct Seen {
  Told told = Told::original_gravity;
  double value = 0.0;
  double deviation = 0.0;  // one standard deviation
};

// What else must be known to make sense of a reading; taken from the forecast as it stands.
struct Known {
  double original_gravity_sg = 1.050;
  double pre_boil_gravity_sg = 1.040;
  double post_boil_gravity_sg = 1.050;
};

// What such an instrument usually has, one standard deviation in the reading's unit. Common practice, no source.
[[nodiscard]] double usual_deviation(Sight sight, double value);

// No figure of the forecast goes with the reading if `seen` is empty; `why` says why.
struct Sighting {
  std::optional<Seen> seen;
  std::string why;
};
inline constexpr const char* no_instrument = "no instrument shows that here";  // the `why` of a reading that cannot be
[[nodiscard]] Sighting sighting_of(const Taken& taken, const Known& known);

// What the forecast says a figure is, and one standard deviation of what such a reading would then show.
struct Expected {
  double value = 0.0, deviation = 1.0;
};

// Slips that would make a strange reading an ordinary one, in plain words: "typed in degrees Plato", "read at about 60 C". Only
// those that bring it within two deviations of what is expected are named, nearest first, three at most.
[[nodiscard]] std::vector<std::string> likely_slips(const Taken& taken, const Known& known,
                                                    const std::function<Expected(Told)>& expected);

// A vessel's marks: height (cm of a dipstick, or number of a mark) and litres, in rising order.
using Marks = std::vector<std::pair<double, double>>;
// Litres at a height, straight between marks. Nothing outside the marks, or if they do not rise.
[[nodiscard]] std::optional<double> litres_at(const Marks& marks, double height);

}  // namespace oddgrist::gyle

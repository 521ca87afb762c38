// What is not exactly known about a proposal - how strong the hops are, how well the grain gives - and what that does to the
// beer. Every figure comes out of the one forward model, run with the inputs at other values.
#pragma once

#include <array>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::compose {

// What comes of the day and can be read off or tasted. Base units: SG, SG, % vol, IBU, EBC, L in the fermenter, pH at 20 C,
// volumes of carbon dioxide in the package if the priming sugar is weighed as forecast.
enum class Upshot { original_gravity, final_gravity, alcohol, bitterness, colour, volume, mash_ph, carbonation };
inline constexpr int upshot_count = 8;
using Upshots = std::array<double, upshot_count>;

// What kind of thing is uncertain; it decides what a brewer can do about it.
enum class Topic {
  extract,
  moisture,
  malt_colour,
  grain_ph,
  buffering,
  alpha_acid,
  food_part,
  food_colour,
  acid_strength,
  uptake,
  wort_limit,
  steeping,
  conversion,
  boil_off,
  grain_hold,
  kettle_loss,
  trub_hold,
  rest_temperature,
  utilisation,
  colour_formula,
  scale,
  water_measure,
  weighing,
  water_minerals,
  lees,
  alkalinity,
  warmest_beer,
  left_over,
  still_gas,
};

// Everything the forecast is run on, open to change. Factors are 1 and shifts 0 unless a doubt says otherwise.
struct Setting {
  process::Kit kit;
  std::vector<larder::Composition> ingredients;
  larder::YeastTraits yeast;
  process::Steeping steeping;
  double wort_limit_shift = 0.0;  // of the fermentable share of what the grist's starch gives
  double rest_shift_k = 0.0;
  double utilisation_factor = 1.0;
  double colour_factor = 1.0;
  double scale_factor = 1.0;       // true mass over the mass read
  double water_factor = 1.0;       // true volume over the volume read
  double alkalinity_factor = 1.0;  // of the water as the report states it
  double minerals_factor = 1.0;    // likewise
  std::vector<double> misread_kg;  // per portion: true mass over and above what the scale shows; beyond its end: 0
  double warmest_shift_k = 0.0;
  double left_over_sucrose_g_per_l = 0.0;
  double still_gas_shift_volumes = 0.0;
};

// One uncertain input: surely between low and high, and the proposal reckons with the usual value.
struct Doubt {
  enum class Shape { triangular, uniform };  // uniform: the range is all that is known
  Topic topic = Topic::extract;
  std::string name;   // "alpha acid of home-dried hops"
  std::string group;  // what it belongs to: an ingredient's name, "kit", "yeast", ...
  std::string unit;
  double low = 0.0, usual = 0.0, high = 0.0;
  Shape shape = Shape::triangular;
  std::string source;
  std::function<void(Setting&, double)> set;
};

// A proposal taken apart so far that it can be poured again with other inputs.
struct Doubtful {
  struct Portion {
    int ingredient = 0;  // index into Setting::ingredients
    double amount_kg = 0.0;
    process::Mixture<double> process::Charge<double>::*where = nullptr;  // none: the kettle
    std::size_t kettle_pour = 0;
  };
  process::Charge<double> waters;  // the charge without its portions
  std::vector<Portion> portions;
  Setting usual;
  process::Ferment ferment;
  double carbonation_volumes = 2.4;
  double priming_sucrose_g = 0.0;  // as forecast, and so as weighed
  std::vector<Doubt> doubts;
};

// Keeps nothing of the brief or the proposal.
[[nodiscard]] Doubtful doubtful_of(const Brief& brief, const Proposal& proposal);

// What is poured with this setting, and the volumes of carbon dioxide in the package that come of it.
[[nodiscard]] process::Charge<double> charge_at(const Doubtful& doubtful, const Setting& setting);
[[nodiscard]] double carbonation_at(const Doubtful& doubtful, const Setting& setting, const process::Plan<double>& plan,
                                    const process::Forecast<double>& forecast);

// Forecasts one proposal again and again, without building again what does not change. One for each thread; nothing is left of one
// point when the next is asked for.
class Rebrew {
 public:
  explicit Rebrew(const Doubtful& doubtful);  // which must outlive it

  // With the doubts at these values, one each.
  [[nodiscard]] process::Forecast<double> forecast(std::span<const double> values);
  [[nodiscard]] Upshots upshots(std::span<const double> values);

 private:
  const Doubtful& doubtful_;
  Setting setting_;
  process::Charge<double> charge_;
  process::Plan<double> plan_;
};

// The forecast with the doubts at these values, one each.
[[nodiscard]] Upshots upshots_of(const Doubtful& doubtful, std::span<const double> values);

// One doubt at its low and at its high value, the others as usual.
struct Swing {
  Upshots at_low{}, at_high{};
  Upshots share{};  // of that upshot's variance, as if effects were straight lines; all shares sum to 1, or to 0
};
[[nodiscard]] std::vector<Swing> swings_of(const Doubtful& doubtful);

// The usual value, and the range that holds it and the middle 80 % of what independent doubts lead to: quasi-Monte-Carlo with
// Sobol's sequence, the same points every time, and the same figures whatever the number of threads (0: as many as it is worth).
inline constexpr int interval_points = 512;
[[nodiscard]] std::array<Estimate, upshot_count> intervals_of(const Doubtful& doubtful, int points = interval_points,
                                                              int threads = 0);

// Fills in low and high of the proposal's estimates.
void estimate(const Brief& brief, Proposal& proposal, int points);

}  // namespace oddgrist::compose

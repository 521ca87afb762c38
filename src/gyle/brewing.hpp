// A gyle as something that can be forecast: what went in and what is still to come, poured into the one forward model, with
// everything uncertain as independent standard normal inputs.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include <Eigen/Core>

#include "compose/design.hpp"
#include "compose/doubt.hpp"
#include "compose/elastic.hpp"
#include "gyle/state.hpp"

namespace oddgrist::gyle {

// Something uncertain. z = 0 is its median; z follows the standard normal distribution.
struct Input {
  compose::Doubt doubt;
  int spill = -1;  // index into Brewing::spills; -1: a doubt of the proposal
  // How far the outer tenth reaches beyond the range, in half ranges a standard deviation; 0: not at all.
  double tail = 0.0;
  [[nodiscard]] double value_at(double z) const;
};

// `learned`: the doubt's range is learned or that of a kit nobody has brewed on, no longer that of an ordinary day.
[[nodiscard]] Input input_of(const compose::Doubt& doubt, bool learned);

// Liquid that is gone, as an amount at 20 C; where in the day, see state.hpp.
struct Spilled {
  Stage stage = Stage::boil;
  bool seen_in_readings = false;
};

// What one set of inputs leads to.
struct Upcome {
  process::Forecast<double> forecast;
  double carbonation_volumes = 0.0;
  double rest_temperature_c = 0.0;
};

struct Brewing {
  std::shared_ptr<const compose::Brief>
      brief;  // with the boil as it now is and what came from outside; others point into it
  compose::Unknowns unknowns;
  compose::Demands demands;
  compose::Design design;  // what went in and will go in, as the demands count it
  compose::Recipe recipe;  // the same
  compose::Doubtful doubtful;
  // [k]: with only the first k of what the log added; all of them is `doubtful`. A reading knows nothing of what went in after it.
  std::vector<compose::Doubtful> with_additions;
  std::vector<std::string> slots;  // per Doubtful::usual.ingredients: its name in the recipe
  std::vector<Input> inputs;
  std::vector<Spilled> spills;
  process::HopCourse hop_course;
  std::vector<std::string> unknown;  // named in the log, but neither in the brief nor in the larder
};

// Things in the house that are not in the recipe are there with 0 kg, so that what is uncertain about them is known.
[[nodiscard]] Brewing brewing_of(const compose::Brief& brief, const State& state);
// The same before anything happened: the recipe as it was composed.
[[nodiscard]] Brewing brewing_as_planned(const compose::Brief& brief, const State& state);

// What of a supply of the brief is in the house and not meant to go in, kg; 0 for what would have to be bought.
[[nodiscard]] double left_in_house_kg(const Brewing& brewing, int supply);

// How the recipe calls a supply or a water; the supply it calls so, -1: none.
[[nodiscard]] std::string name_of_supply(const compose::Unknowns& unknowns, int supply);
[[nodiscard]] int supply_named(const compose::Unknowns& unknowns, const std::string& name);
// The variable the demands count an amount under; -1: none.
[[nodiscard]] int variable_for(const Brewing& brewing, const compose::Recipe::Amount& amount);

[[nodiscard]] compose::Setting setting_at(const Brewing& brewing, const Eigen::VectorXd& z);
// Litres at 20 C of each spill.
[[nodiscard]] std::vector<double> spilled_at(const Brewing& brewing, const Eigen::VectorXd& z);
[[nodiscard]] Upcome upcome_of(const Brewing& brewing, const compose::Doubtful& poured, const compose::Setting& setting,
                               std::span<const double> spilled_l);
[[nodiscard]] Upcome upcome_at(const Brewing& brewing, const Eigen::VectorXd& z);
// Without what went in after the first `additions` of the log.
[[nodiscard]] Upcome upcome_before(const Brewing& brewing, const Eigen::VectorXd& z, std::size_t additions);
// With every input as the recipe reckons it.
[[nodiscard]] Upcome upcome_as_reckoned(const Brewing& brewing);

}  // namespace oddgrist::gyle

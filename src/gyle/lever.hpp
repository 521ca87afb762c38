// What can be moved from a stage on, and the day with the levers moved.
#pragma once

#include <vector>

#include "gyle/replan.hpp"

namespace oddgrist::gyle {

// One thing that can be changed, by `change` from `low` to `high` in steps. 0 is the plan.
struct Lever {
  Part::Kind kind = Part::Kind::boil;
  int supply = -1;  // into Unknowns::supplies
  compose::Recipe::Into into = compose::Recipe::Into::kettle;
  double minutes = 0.0, from_minutes = 0.0;
  double low = 0.0, high = 0.0, step = 1.0;
  double planned = 0.0;
  int portion = -1, from_portion = -1;  // into Doubtful::portions
  int variable = -1, from_variable = -1;
};

using Changes = std::vector<double>;  // one per lever

// The gyle with its levers. Forecasts for many changes at many points of the belief.
class Bench {
 public:
  // `unfinished_volumes`: gas that unfermented sugar would still give if nobody waits.
  Bench(const Brewing& brewing, const State& state, Instant now, double unfinished_volumes);

  [[nodiscard]] const std::vector<Lever>& levers() const { return levers_; }
  [[nodiscard]] const Brewing& brewing() const { return brewing_; }
  void believe(const std::vector<Eigen::VectorXd>& points);
  [[nodiscard]] std::size_t points() const { return settings_.size(); }

  [[nodiscard]] Upcome upcome(const Changes& changes, std::size_t point);
  [[nodiscard]] double loss(const Changes& changes, std::size_t point);
  // What the last loss was the loss of.
  [[nodiscard]] const Upcome& last() const { return last_; }
  [[nodiscard]] double mean_loss(const Changes& changes, std::size_t first, std::size_t count);
  // Small prices for every part and minute, so that nobody walks for nothing.
  [[nodiscard]] double trouble_of(const Changes& changes) const;

  [[nodiscard]] Part part_of(std::size_t lever, const Changes& changes) const;
  [[nodiscard]] std::vector<What> entries_of(const Changes& changes) const;
  // What more is used up, at the brief's prices.
  [[nodiscard]] double money_of(const Changes& changes) const;
  [[nodiscard]] double boil_minutes(const Changes& changes) const;

 private:
  void levers_of_the_boil();
  void levers_of_hops();
  void levers_of_sugars();
  void levers_of_water();
  void levers_of_oddments();
  void levers_of_the_package();
  void lever_of_a_dry_hop(int supply);
  void add_hop(int supply, double minutes);
  void add_shift(int supply, double from, double to);
  void add(Lever lever);
  int portion_at(int supply, compose::Recipe::Into into, double minutes);
  int slot_of(int supply) const;
  double planned_kg(int supply, compose::Recipe::Into into, double minutes) const;
  void pour(const Changes& changes, compose::Setting& setting);

  const Brewing& brewing_;
  const State& state_;
  std::optional<double> boiled_;
  double remaining_ = 0.0;  // minutes of boil still to come
  double volume_l_ = 10.0;
  double unfinished_volumes_ = 0.0;
  std::vector<Lever> levers_;
  compose::Doubtful poured_;  // rewritten for every forecast
  std::vector<double> base_kg_;
  std::vector<double> base_minutes_;
  compose::Doubtful untouched_;  // its waters are the base
  compose::Design design_;
  Upcome last_;
  std::vector<compose::Setting> settings_;
  std::vector<std::vector<double>> spilled_;
};

}  // namespace oddgrist::gyle

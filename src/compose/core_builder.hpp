// From the demands and the forecast's derivatives at a design to a mixed-integer linear core, and back.
#pragma once

#include <vector>

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/linear_core.hpp"
#include "compose/search.hpp"

namespace oddgrist::compose {

inline constexpr double rest_step_k = 0.5;  // what a thermometer and a lid can hold

// What of a core stays whole. steps: everything a scale weighs. moments: no amounts, but what is used, when, and how many packets.
// uses: only what is used and how many packets; then the moments of an ingredient share one column, the first of them.
enum class Whole { steps, moments, uses };

// Columns of the core: one per variable (in steps), the rest temperature (in steps above its low end), one per supply (used or
// not), one per moment (used or not), one per packet size (how many), one per gauge, then two slacks per elastic.
class CoreBuilder {
 public:
  CoreBuilder(const Unknowns& unknowns, const Demands& demands, Exactness exactness);

  // `radius` limits how far each amount may move, in ordinary changes of it; infinite for no limit.
  [[nodiscard]] LinearCore build(const Linearisation& line, const Design& at, double radius,
                                 Whole whole = Whole::steps) const;
  // The same for the relaxation alone, and much smaller: what use costs is put on the amounts, `extra_per_kg`, one per variable.
  [[nodiscard]] LinearCore build_flat(const Linearisation& line, const Design& at, double radius,
                                      const std::vector<double>& extra_per_kg) const;
  // Adds how many of the grist and how many of the hops are used, to be branched on first.
  void count_rows(LinearCore& core) const;
  [[nodiscard]] Design design_from(const std::vector<double>& value) const;

  // More of it than this is never worth having: beyond the stock, or more than would by itself overshoot a wish it raises. Not for what
  // was given, and generous, since slopes change on the way.
  [[nodiscard]] std::vector<double> ceilings_kg(const Linearisation& line) const;

  // Keeps the ingredients of the design and lets only amounts move: what the prices of the relaxation then mean is "this recipe".
  void keep_ingredients(LinearCore& core, const Design& design) const;
  // What a design uses, as a point of the core; its other columns are nothing.
  [[nodiscard]] std::vector<double> uses_of(const Design& design) const;
  // The ingredients and packets of a point of the core, fixed.
  [[nodiscard]] LinearCore with_uses_of(LinearCore core, const std::vector<double>& value) const;
  // Forbids those ingredients as a set.
  void shut_out(LinearCore& core, const std::vector<double>& value) const;
  // Whole steps nearest to a point of the core: the sum over the moments of an ingredient is rounded once, then shared out by the
  // largest remainders. No value if the steps break a hard row.
  [[nodiscard]] CoreAnswer rounded(const LinearCore& core, std::vector<double> value) const;

  [[nodiscard]] std::size_t first_gauge_row() const;
  [[nodiscard]] std::size_t first_elastic_row() const { return first_gauge_row() + gauge_count; }
  [[nodiscard]] std::size_t rest_column() const { return unknowns_.variables.size(); }
  [[nodiscard]] int use_column(int supply) const { return static_cast<int>(unknowns_.variables.size()) + 1 + supply; }
  [[nodiscard]] int moment_column(std::size_t moment) const {
    return use_column(static_cast<int>(unknowns_.supplies.size())) + static_cast<int>(moment);
  }

  [[nodiscard]] int gauge_column(int gauge) const {
    return moment_column(demands_.moments.size() + demands_.packets.size()) + gauge;
  }

 private:
  void amount_columns(LinearCore& core, const Design& at, double radius, const std::vector<double>& ceiling,
                      bool whole) const;
  void use_columns(LinearCore& core, const std::vector<double>& ceiling, Whole whole) const;
  void moment_rows(LinearCore& core, const std::vector<double>& most_kg) const;
  void moment_rows_in_one(LinearCore& core, const std::vector<double>& most_kg) const;
  void packet_rows(LinearCore& core) const;
  void grist_row(LinearCore& core) const;
  void gauge_rows(LinearCore& core, const Linearisation& line, const Design& at) const;
  void elastic_row(LinearCore& core, const Elastic& elastic, int first_gauge_column,
                   const std::vector<double>* used_per_kg) const;
  [[nodiscard]] bool is_only_a_ceiling(const Elastic& elastic) const;

  const Unknowns& unknowns_;
  const Demands& demands_;
  bool weighable_;
  std::vector<std::vector<int>> moments_of_supply_;
  std::vector<double> least_kg_;  // per supply: of the whole, and so of the one moment it is used at
};

}  // namespace oddgrist::compose

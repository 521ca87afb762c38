// From the demands and the forecast's derivatives at a design to a mixed-integer linear core, and back.
#pragma once

#include <vector>

#include "compose/design.hpp"
#include "compose/elastic.hpp"
#include "compose/linear_core.hpp"
#include "compose/search.hpp"

namespace oddgrist::compose {

inline constexpr double rest_step_k = 0.5;  // what a thermometer and a lid can hold

// Columns of the core: one per variable (in steps), the rest temperature (in steps above its low end), one per supply (used or
// not), one per moment (used or not), one per packet size (how many), then two slacks per elastic.
class CoreBuilder {
 public:
  CoreBuilder(const Unknowns& unknowns, const Demands& demands, Exactness exactness)
      : unknowns_(unknowns), demands_(demands), weighable_(exactness == Exactness::weighable) {}

  // `radius` limits how far each amount may move, in ordinary changes of it; infinite for no limit.
  [[nodiscard]] LinearCore build(const Linearisation& line, const Design& at, double radius) const;
  [[nodiscard]] Design design_from(const std::vector<double>& value) const;

  // Keeps the ingredients of the design and lets only amounts move: what the prices of the relaxation then mean is "this recipe".
  void keep_ingredients(LinearCore& core, const Design& design) const;
  // Only "used or not" stays whole, amounts may be anything: solved in a moment, and a bound of the whole core.
  [[nodiscard]] LinearCore counts_only(LinearCore core) const;
  // The ingredients of a point of the core, fixed.
  [[nodiscard]] LinearCore with_uses_of(LinearCore core, const std::vector<double>& value) const;
  // Forbids those ingredients (and moments) as a set.
  void shut_out(LinearCore& core, const std::vector<double>& value) const;
  // Whole steps nearest to a point of the core: the sum over the moments of an ingredient is rounded once, then shared out by the
  // largest remainders. No value if the steps break a hard row.
  [[nodiscard]] CoreAnswer rounded(const LinearCore& core, std::vector<double> value) const;

  [[nodiscard]] std::size_t first_elastic_row() const;
  [[nodiscard]] std::size_t rest_column() const { return unknowns_.variables.size(); }
  [[nodiscard]] int use_column(int supply) const { return static_cast<int>(unknowns_.variables.size()) + 1 + supply; }
  [[nodiscard]] int moment_column(std::size_t moment) const {
    return use_column(static_cast<int>(unknowns_.supplies.size())) + static_cast<int>(moment);
  }

 private:
  void amount_columns(LinearCore& core, const Design& at, double radius) const;
  void use_columns(LinearCore& core) const;
  void elastic_row(LinearCore& core, const Elastic& elastic, const Linearisation& line, const Design& at) const;

  const Unknowns& unknowns_;
  const Demands& demands_;
  bool weighable_;
};

}  // namespace oddgrist::compose

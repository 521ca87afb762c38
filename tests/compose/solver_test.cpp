// Tiny problems whose answer is known by hand, stated first.
#include <gtest/gtest.h>

#include "compose/linear_core.hpp"

namespace oddgrist::compose {
namespace {

// maximise 3x + 2y, x + y <= 4, x + 3y <= 9, x <= 3: best corner (3, 1), value 11; one more unit of the first row is worth 2.
TEST(Solver, RelaxedCornerAndPrice) {
  LinearCore core;
  const int x = core.add_column(0, 3, -3), y = core.add_column(0, unlimited, -2);
  core.add_row(-unlimited, 4, {{x, 1}, {y, 1}});
  core.add_row(-unlimited, 9, {{x, 1}, {y, 3}});
  const CoreAnswer answer = solve_relaxed(core);
  ASSERT_EQ(answer.status, CoreAnswer::Status::optimal);
  EXPECT_NEAR(answer.value[x], 3, 1e-9);
  EXPECT_NEAR(answer.value[y], 1, 1e-9);
  EXPECT_NEAR(answer.objective, -11, 1e-9);
  EXPECT_NEAR(answer.row_price[0], -2, 1e-9);
  EXPECT_NEAR(answer.row_price[1], 0, 1e-9);
}

// A knapsack by hand: weights 3 4 5, values 4 5 6, room 8: take 3 and 5, value 10 (3+4 gives 9; the relaxation would give 10.4).
TEST(Solver, IntegerKnapsack) {
  LinearCore core;
  std::vector<std::pair<int, double>> terms;
  const double weight[] = {3, 4, 5}, value[] = {4, 5, 6};
  for (int i = 0; i < 3; ++i) terms.emplace_back(core.add_column(0, 1, -value[i], true), weight[i]);
  core.add_row(-unlimited, 8, terms);
  const CoreAnswer answer = solve_integer(core, 0.0, 10000, {});
  ASSERT_EQ(answer.status, CoreAnswer::Status::optimal);
  EXPECT_NEAR(answer.objective, -10, 1e-9);
  EXPECT_NEAR(answer.bound, -10, 1e-6);
  EXPECT_EQ(answer.value, (std::vector<double>{1, 0, 1}));
}

TEST(Solver, InfeasibleIsAnAnswer) {
  LinearCore core;
  const int x = core.add_column(0, 1, 1, true);
  core.add_row(2, unlimited, {{x, 1}});
  EXPECT_EQ(solve_relaxed(core).status, CoreAnswer::Status::infeasible);
  EXPECT_EQ(solve_integer(core, 0.0, 10000, {}).status, CoreAnswer::Status::infeasible);
}

}  // namespace
}  // namespace oddgrist::compose

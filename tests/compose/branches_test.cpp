// Branch and bound against an independent solver (GLPK's own branch and cut) on random cores of the shape compose makes: things used or
// not, amounts that need them used, counts, a few whole amounts, slacks that have their price.
#include <algorithm>
#include <cmath>
#include <memory>
#include <random>

#include <glpk.h>
#include <gtest/gtest.h>

#include "compose/linear_core.hpp"

namespace oddgrist::compose {
namespace {

LinearCore random_core(std::mt19937& random, bool counted) {
  const auto number = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
  LinearCore core;
  const int things = 4 + static_cast<int>(random() % 8), wishes = 3 + static_cast<int>(random() % 4);
  std::vector<int> amount;
  std::vector<std::pair<int, double>> used;
  for (int i = 0; i < things; ++i)
    amount.push_back(core.add_column(0, std::floor(number(3, 40)), number(0, 0.01), i % 3 == 0));
  for (int i = 0; i < things; ++i) {
    const int use = core.add_column(0, 1, number(0.5, 2), true);
    used.emplace_back(use, 1.0);
    core.add_row(-unlimited, 0, {{amount[i], 1.0}, {use, -core.columns[amount[i]].high}});
    core.add_row(0, unlimited, {{amount[i], 1.0}, {use, -number(1, 3)}});
  }
  for (int w = 0; w < wishes; ++w) {
    std::vector<std::pair<int, double>> terms;
    for (int a : amount) {
      if (random() % 3 != 0) terms.emplace_back(a, number(-0.3, 1));
    }
    const double low = number(2, 20), high = low + number(0, 3);
    if (w > 0) {  // the first must be met, if it can
      terms.emplace_back(core.add_column(0, unlimited, number(0.2, 3)), 1.0);
      terms.emplace_back(core.add_column(0, unlimited, number(0.2, 3)), -1.0);
    }
    core.add_row(low, high, std::move(terms));
  }
  core.add_row(-unlimited, 1 + static_cast<double>(random() % things), used);
  if (counted) {
    const int count = core.add_column(0, things, 0, true);
    core.columns[count].counts = true;
    used.emplace_back(count, -1.0);
    core.add_row(0, 0, used);
  }
  return core;
}

// The least objective; unlimited if there is no point.
double by_glpk(const LinearCore& core) {
  const std::unique_ptr<glp_prob, void (*)(glp_prob*)> problem(glp_create_prob(), glp_delete_prob);
  glp_term_out(GLP_OFF);
  const auto kind = [](double low, double high) {
    if (low == high) return GLP_FX;
    if (low == -unlimited) return GLP_UP;
    return high == unlimited ? GLP_LO : GLP_DB;
  };
  glp_add_cols(problem.get(), static_cast<int>(core.columns.size()));
  glp_add_rows(problem.get(), static_cast<int>(core.rows.size()));
  for (int c = 0; c < static_cast<int>(core.columns.size()); ++c) {
    const auto& column = core.columns[c];
    glp_set_col_bnds(problem.get(), c + 1, kind(column.low, column.high), column.low, column.high);
    glp_set_obj_coef(problem.get(), c + 1, column.cost);
    if (column.integer) glp_set_col_kind(problem.get(), c + 1, GLP_IV);
  }
  for (int r = 0; r < static_cast<int>(core.rows.size()); ++r) {
    const auto& row = core.rows[r];
    glp_set_row_bnds(problem.get(), r + 1, kind(row.low, row.high), row.low, row.high);
    std::vector<int> index{0};
    std::vector<double> value{0.0};
    for (const auto& [column, coefficient] : row.terms) {
      index.push_back(column + 1);
      value.push_back(coefficient);
    }
    glp_set_mat_row(problem.get(), r + 1, static_cast<int>(row.terms.size()), index.data(), value.data());
  }
  glp_iocp control;
  glp_init_iocp(&control);
  control.presolve = GLP_ON;
  control.msg_lev = GLP_MSG_OFF;
  if (glp_intopt(problem.get(), &control) != 0) return unlimited;
  return glp_mip_status(problem.get()) == GLP_OPT ? glp_mip_obj_val(problem.get()) : unlimited;
}

void expect_point(const LinearCore& core, const CoreAnswer& answer) {
  double objective = 0.0;
  for (std::size_t c = 0; c < core.columns.size(); ++c) {
    const auto& column = core.columns[c];
    objective += column.cost * answer.value[c];
    EXPECT_GE(answer.value[c], column.low - 1e-6);
    EXPECT_LE(answer.value[c], column.high + 1e-6);
    if (column.integer) {
      EXPECT_EQ(answer.value[c], std::round(answer.value[c]));
    }
  }
  EXPECT_NEAR(objective, answer.objective, 1e-5 * (1.0 + std::abs(objective)));
  for (const auto& row : core.rows) {
    double activity = 0.0;
    for (const auto& [column, coefficient] : row.terms) activity += coefficient * answer.value[column];
    EXPECT_GE(activity, row.low - 1e-5);
    EXPECT_LE(activity, row.high + 1e-5);
  }
}

TEST(Branches, AgreeWithAnIndependentSolver) {
  std::mt19937 random(20261128);
  int possible = 0, impossible = 0;
  for (int i = 0; i < 400; ++i) {
    SCOPED_TRACE(i);
    const LinearCore core = random_core(random, i % 2 == 0);
    const double least = by_glpk(core);
    const CoreAnswer answer = solve_integer(core, 0.0, 100000, {});
    if (least == unlimited) {
      ++impossible;
      EXPECT_EQ(answer.status, CoreAnswer::Status::infeasible);
      continue;
    }
    ++possible;
    ASSERT_EQ(answer.status, CoreAnswer::Status::optimal);
    EXPECT_NEAR(answer.objective, least, 1e-5 * (1.0 + std::abs(least)));
    EXPECT_LE(answer.bound, least + 1e-6);
    EXPECT_GE(answer.bound, least - 1e-5 * (1.0 + std::abs(least)));
    expect_point(core, answer);
  }
  EXPECT_GT(possible, 200);
  EXPECT_GT(impossible, 5);
}

// Stopped early, or not interested in what is not good enough, it says nothing false.
TEST(Branches, BoundsHoldWhenItStopsEarly) {
  std::mt19937 random(7);
  int stopped = 0, shut = 0;
  for (int i = 0; i < 200; ++i) {
    SCOPED_TRACE(i);
    const LinearCore core = random_core(random, true);
    const double least = by_glpk(core);
    if (least == unlimited) continue;
    const CoreAnswer few = solve_integer(core, 0.0, 4, {});
    EXPECT_LE(few.bound, least + 1e-6);
    if (!few.value.empty()) {
      EXPECT_GE(few.objective, least - 1e-6);
      expect_point(core, few);
    }
    stopped += few.status == CoreAnswer::Status::optimal ? 0 : 1;
    const CoreAnswer above = solve_integer(core, 0.0, 100000, {}, least + 0.01);
    ASSERT_EQ(above.status, CoreAnswer::Status::optimal);
    EXPECT_NEAR(above.objective, least, 1e-5 * (1.0 + std::abs(least)));
    const CoreAnswer below = solve_integer(core, 0.0, 100000, {}, least - 0.01);
    EXPECT_EQ(below.status, CoreAnswer::Status::infeasible);
    EXPECT_TRUE(below.value.empty());
    EXPECT_NEAR(below.bound, least - 0.01, 1e-9);
    shut += below.value.empty() ? 1 : 0;
    // A gap: not further from the best than that, and the bound admits it.
    const CoreAnswer rough = solve_integer(core, 0.1, 100000, {});
    EXPECT_LE(rough.objective, least + 0.1 * std::abs(rough.objective) + 1e-6);
    EXPECT_LE(rough.bound, least + 1e-6);
    // Begun at the best point, nothing better is found.
    const CoreAnswer again = solve_integer(core, 0.0, 100000, above.value);
    EXPECT_EQ(again.value, above.value);
  }
  EXPECT_GT(stopped, 20);
  EXPECT_GT(shut, 100);
}

}  // namespace
}  // namespace oddgrist::compose

// The relaxation of a core, by the simplex library (Clp).
#include <algorithm>
#include <cstring>

#include <coin/CoinPackedMatrix.hpp>

#include "compose/clp_core.hpp"

namespace oddgrist::compose {
namespace {

double coin_bound(double bound) {
  if (bound == unlimited) return COIN_DBL_MAX;
  if (bound == -unlimited) return -COIN_DBL_MAX;
  return bound;
}

}  // namespace

void load(const LinearCore& core, ClpSimplex& simplex) {
  const int columns = static_cast<int>(core.columns.size());
  const int rows = static_cast<int>(core.rows.size());
  std::vector<int> row_index, column_index;
  std::vector<double> element;
  for (int r = 0; r < rows; ++r) {
    for (const auto& [column, coefficient] : core.rows[r].terms) {
      if (coefficient == 0.0) continue;
      row_index.push_back(r);
      column_index.push_back(column);
      element.push_back(coefficient);
    }
  }
  CoinPackedMatrix matrix(true, row_index.data(), column_index.data(), element.data(),
                          static_cast<CoinBigIndex>(element.size()));
  matrix.setDimensions(rows, columns);
  std::vector<double> column_low, column_high, cost, row_low, row_high;
  for (const auto& column : core.columns) {
    column_low.push_back(coin_bound(column.low));
    column_high.push_back(coin_bound(column.high));
    cost.push_back(column.cost);
  }
  for (const auto& row : core.rows) {
    row_low.push_back(coin_bound(row.low));
    row_high.push_back(coin_bound(row.high));
  }
  simplex.setLogLevel(0);
  simplex.loadProblem(matrix, column_low.data(), column_high.data(), cost.data(), row_low.data(), row_high.data());
  for (int c = 0; c < columns; ++c) {
    if (core.columns[c].integer) simplex.setInteger(c);
  }
}

CoreAnswer solve_relaxed(const LinearCore& core, const std::vector<char>& basis) {
  ClpSimplex simplex;
  load(core, simplex);
  const int columns = simplex.numberColumns(), rows = simplex.numberRows();
  const std::size_t whole = static_cast<std::size_t>(columns) + rows;
  if (basis.size() == whole) {
    simplex.createStatus();
    std::memcpy(simplex.statusArray(), basis.data(), whole);
  }
  simplex.dual();
  if (simplex.status() != 0 && simplex.status() != 1) simplex.primal();
  CoreAnswer answer;
  if (simplex.isProvenOptimal()) {
    answer.status = CoreAnswer::Status::optimal;
    answer.value.assign(simplex.primalColumnSolution(), simplex.primalColumnSolution() + columns);
    answer.row_price.assign(simplex.dualRowSolution(), simplex.dualRowSolution() + rows);
    answer.column_price.assign(simplex.dualColumnSolution(), simplex.dualColumnSolution() + columns);
    answer.objective = answer.bound = simplex.objectiveValue();
    answer.basis.assign(simplex.statusArray(), simplex.statusArray() + whole);
  } else if (simplex.isProvenPrimalInfeasible()) {
    answer.status = CoreAnswer::Status::infeasible;
  }
  return answer;
}

}  // namespace oddgrist::compose

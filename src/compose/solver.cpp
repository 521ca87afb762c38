// The one file that talks to the solver library (CBC and Clp).
#include <algorithm>
#include <cmath>
#include <memory>

#include <coin/CbcModel.hpp>
#include <coin/CglGomory.hpp>
#include <coin/CglMixedIntegerRounding2.hpp>
#include <coin/CglProbing.hpp>
#include <coin/ClpSimplex.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/CoinWarmStartBasis.hpp>
#include <coin/OsiClpSolverInterface.hpp>

#include "compose/linear_core.hpp"

namespace oddgrist::compose {
namespace {

// Hundreds of small stocks under a clash can make branches very slow; elsewhere the branches end a solve long before.
constexpr double most_seconds = 0.5;

double coin_bound(double bound) {
  if (bound == unlimited) return COIN_DBL_MAX;
  if (bound == -unlimited) return -COIN_DBL_MAX;
  return bound;
}

void load(const LinearCore& core, OsiClpSolverInterface& solver) {
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
  solver.messageHandler()->setLogLevel(0);
  solver.getModelPtr()->setLogLevel(0);
  solver.loadProblem(matrix, column_low.data(), column_high.data(), cost.data(), row_low.data(), row_high.data());
}

void set_basis(OsiClpSolverInterface& solver, const std::vector<char>& basis) {
  CoinWarmStartBasis start;
  start.setSize(solver.getNumCols(), solver.getNumRows());
  for (int c = 0; c < solver.getNumCols(); ++c)
    start.setStructStatus(c, static_cast<CoinWarmStartBasis::Status>(basis[c]));
  for (int r = 0; r < solver.getNumRows(); ++r)
    start.setArtifStatus(r, static_cast<CoinWarmStartBasis::Status>(basis[solver.getNumCols() + r]));
  solver.setWarmStart(&start);
}

std::vector<char> basis_of(const OsiClpSolverInterface& solver) {
  std::vector<char> basis;
  const std::unique_ptr<CoinWarmStart> warm(solver.getWarmStart());
  const auto* end = dynamic_cast<const CoinWarmStartBasis*>(warm.get());
  if (end == nullptr) return basis;
  for (int c = 0; c < end->getNumStructural(); ++c) basis.push_back(static_cast<char>(end->getStructStatus(c)));
  for (int r = 0; r < end->getNumArtificial(); ++r) basis.push_back(static_cast<char>(end->getArtifStatus(r)));
  return basis;
}

}  // namespace

CoreAnswer solve_relaxed(const LinearCore& core, const std::vector<char>& basis) {
  OsiClpSolverInterface solver;
  load(core, solver);
  const bool warm = basis.size() == core.columns.size() + core.rows.size();
  if (warm) {
    set_basis(solver, basis);
    solver.resolve();  // without the presolve, which would throw the basis away
  }
  if (!warm || !solver.isProvenOptimal()) solver.initialSolve();
  CoreAnswer answer;
  if (solver.isProvenOptimal()) {
    answer.status = CoreAnswer::Status::optimal;
    answer.value.assign(solver.getColSolution(), solver.getColSolution() + solver.getNumCols());
    answer.row_price.assign(solver.getRowPrice(), solver.getRowPrice() + solver.getNumRows());
    answer.column_price.assign(solver.getReducedCost(), solver.getReducedCost() + solver.getNumCols());
    answer.objective = answer.bound = solver.getObjValue();
    answer.basis = basis_of(solver);
  } else if (solver.isProvenPrimalInfeasible()) {
    answer.status = CoreAnswer::Status::infeasible;
  }
  return answer;
}

CoreAnswer solve_integer(const LinearCore& core, double relative_gap, int most_branches,
                         const std::vector<double>& start, double cutoff) {
  OsiClpSolverInterface solver;
  load(core, solver);
  for (std::size_t i = 0; i < core.columns.size(); ++i) {
    if (core.columns[i].integer) solver.setInteger(static_cast<int>(i));
  }
  solver.initialSolve();
  CoreAnswer answer;
  if (solver.isProvenPrimalInfeasible()) {
    answer.status = CoreAnswer::Status::infeasible;
    return answer;
  }
  if (solver.isProvenOptimal() && solver.getObjValue() >= cutoff) {
    answer.status = CoreAnswer::Status::infeasible;
    answer.bound = cutoff;
    return answer;
  }
  CbcModel model(solver);
  model.setLogLevel(0);
  model.messageHandler()->setLogLevel(0);
  // Probing on the used-or-not columns pays; cuts on the step columns cost more than they save, and so do the heuristics that guess a first
  // answer and long looks at where to branch (seen in ./dev bench).
  CglProbing probing;
  probing.setUsingObjective(1);
  probing.setMaxPass(1);
  CglGomory gomory;
  CglMixedIntegerRounding2 rounding_cuts;
  model.addCutGenerator(&probing, -1, "probing");
  model.addCutGenerator(&gomory, -99, "gomory");
  model.addCutGenerator(&rounding_cuts, -99, "rounding");
  model.setNumberStrong(2);
  model.setNumberBeforeTrust(1);
  model.setAllowableFractionGap(relative_gap);
  model.setAllowableGap(1e-7);
  model.setMaximumNodes(most_branches);
  model.setMaximumSeconds(most_seconds);
  if (cutoff < unlimited) model.setCutoff(cutoff);
  if (!start.empty()) {
    model.setBestSolution(start.data(), static_cast<int>(start.size()), COIN_DBL_MAX, true);
  }
  model.branchAndBound();
  if (model.bestSolution() != nullptr) {
    answer.status = model.isProvenOptimal() ? CoreAnswer::Status::optimal : CoreAnswer::Status::stopped;
    answer.value.assign(model.bestSolution(), model.bestSolution() + model.getNumCols());
    for (std::size_t i = 0; i < core.columns.size(); ++i) {
      if (core.columns[i].integer) answer.value[i] = std::round(answer.value[i]);
    }
    answer.objective = model.getObjValue();
    answer.bound = std::min(model.getBestPossibleObjValue(), answer.objective);
  } else {
    if (model.isProvenInfeasible()) answer.status = CoreAnswer::Status::infeasible;
    answer.bound = std::min(cutoff, model.isProvenInfeasible() ? unlimited : model.getBestPossibleObjValue());
  }
  return answer;
}

}  // namespace oddgrist::compose

// A mixed-integer linear problem as plain data, and its answer. Only solver.cpp knows which library solves it.
#pragma once

#include <limits>
#include <utility>
#include <vector>

namespace oddgrist::compose {

inline constexpr double unlimited = std::numeric_limits<double>::infinity();

// minimise sum cost*x  subject to  row.low <= sum coefficient*x <= row.high,  column.low <= x <= column.high
struct LinearCore {
  struct Column {
    double low = 0.0;
    double high = unlimited;
    double cost = 0.0;
    bool integer = false;
    bool counts = false;  // says how many of some others are used: integer, and the first thing to branch on
  };
  struct Row {
    double low = -unlimited;
    double high = unlimited;
    std::vector<std::pair<int, double>> terms;  // column, coefficient
  };
  std::vector<Column> columns;
  std::vector<Row> rows;

  int add_column(double low, double high, double cost = 0.0, bool integer = false) {
    columns.push_back({low, high, cost, integer, false});
    return static_cast<int>(columns.size()) - 1;
  }
  int add_row(double low, double high, std::vector<std::pair<int, double>> terms) {
    rows.push_back({low, high, std::move(terms)});
    return static_cast<int>(rows.size()) - 1;
  }
};

struct CoreAnswer {
  enum class Status { optimal, infeasible, stopped, failed } status = Status::failed;
  std::vector<double> value;  // one per column; empty if there is no point
  // From the relaxation only: change of the objective per unit of the row's binding side, and per unit of a column forced in.
  std::vector<double> row_price, column_price;
  std::vector<char> basis;  // to begin the next relaxation of the same shape from; columns, then rows
  double objective = unlimited;
  double bound = -unlimited;  // no point of the core has a lower objective
};

// The relaxation: integer marks ignored.
[[nodiscard]] CoreAnswer solve_relaxed(const LinearCore& core, const std::vector<char>& basis = {});

// Stops at the relative gap or after this many branches (or very many pivots), with the best point found: the same one on a slow machine
// and a fast one. `start` (may be empty) is a point to begin from; points that are not below `cutoff` are of no interest.
[[nodiscard]] CoreAnswer solve_integer(const LinearCore& core, double relative_gap, int most_branches,
                                       const std::vector<double>& start, double cutoff = unlimited);

}  // namespace oddgrist::compose

// The one file that talks to the solver library (Clp): the relaxation of a core by its simplex, and branch and bound on its dual simplex for
// cores of some twenty to a hundred whole columns. Such cores are solved by the dozen, and a general solver spends most of its time on
// getting ready (decision 0020).
#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>

#include <coin/ClpPresolve.hpp>
#include <coin/ClpSimplex.hpp>
#include <coin/CoinPackedMatrix.hpp>

#include "compose/linear_core.hpp"

namespace oddgrist::compose {
namespace {

double coin_bound(double bound) {
  if (bound == unlimited) return COIN_DBL_MAX;
  if (bound == -unlimited) return -COIN_DBL_MAX;
  return bound;
}

// Silent, integer columns marked, not solved yet.
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

constexpr double whole_within = 1e-6;
constexpr double least_gap = 1e-7;
constexpr double up_from = 0.3;      // of a step: more than this and rounding up is tried first
constexpr double least_gain = 1e-6;  // so that a side that costs nothing does not hide what the other costs
constexpr int most_pivots = 60'000;  // ends a solve whose branches are slow; the same pivots on every machine
constexpr int presolve_passes = 5;
constexpr double presolve_tolerance = 1e-8;
constexpr int keep_factorisation = 7;  // all the work areas of the last solve, which differed by one bound
// The library's own words for it (ClpSimplex.hpp): in branch and bound; no new factorisation after less than 20 pivots; some checks less.
constexpr unsigned in_branches = 1024 + 2048 + 4096;

class Branches {
 public:
  Branches(const LinearCore& core, double relative_gap, int most_branches, const std::vector<double>& start,
           double cutoff)
      : core_(core), relative_gap_(relative_gap), most_branches_(most_branches), cutoff_(cutoff) {
    if (start.empty()) return;
    best_ = objective_of(start);
    answer_.value = start;
  }

  CoreAnswer search() {
    if (presolve()) {
      Node now;
      bool at_hand = false;  // the simplex stands at its parent
      do {
        for (bool alive = true; alive;) {
          if (branches_ >= most_branches_ || pivots_ >= most_pivots) {
            keep(std::move(now));
            return concluded();
          }
          alive = solve(now, at_hand) && split(now);
          at_hand = true;
        }
        at_hand = false;
      } while (take_best(now));
    }
    return concluded();
  }

 private:
  struct Bounds {
    int column;
    double low, high;
  };
  struct Node {
    double bound = -unlimited;
    std::vector<Bounds> changes;  // to the presolved core
    std::vector<unsigned char> basis;
    // How it came from its parent: the column, the side, and how far the column was moved.
    int column = -1;
    int side = 0;
    double move = 1.0;
  };
  // What moving a column down or up by one has cost so far.
  struct Record {
    double sum = 0.0;
    int count = 0;
    void add(double gain) {
      sum += gain;
      ++count;
    }
    [[nodiscard]] double mean_or(double otherwise) const { return count > 0 ? sum / count : otherwise; }
  };

  [[nodiscard]] double objective_of(const std::vector<double>& value) const {
    double sum = 0.0;
    for (std::size_t c = 0; c < core_.columns.size(); ++c) sum += core_.columns[c].cost * value[c];
    return sum;
  }
  // What is not below this is of no interest.
  [[nodiscard]] double limit() const {
    if (best_ == unlimited) return cutoff_;
    return std::min(cutoff_, best_ - std::max(least_gap, relative_gap_ * std::abs(best_)));
  }

  bool presolve() {
    load(core_, whole_);
    std::vector<char> stays;  // a count would be put in terms of what it counts, and gone
    for (const auto& column : core_.columns) stays.push_back(column.counts ? 1 : 0);
    small_.reset(presolver_.presolvedModel(whole_, presolve_tolerance, true, presolve_passes, true, false, nullptr,
                                           stays.data()));
    if (small_ == nullptr) return false;
    small_->setLogLevel(0);
    small_->setSpecialOptions(small_->specialOptions() | in_branches);
    small_->scaling(0);  // else every solve would scale anew
    const int columns = small_->numberColumns();
    low_.assign(small_->columnLower(), small_->columnLower() + columns);
    high_.assign(small_->columnUpper(), small_->columnUpper() + columns);
    for (int c = 0; c < columns; ++c) {
      if (small_->isInteger(c)) whole_columns_.push_back(c);
      counts_.push_back(core_.columns[presolver_.originalColumns()[c]].counts);
    }
    for (auto& side : record_) side.resize(columns);
    return true;
  }

  // False if it can hold nothing of interest.
  bool solve(Node& node, bool at_hand) {
    const double limit_now = limit();
    small_->setDualObjectiveLimit(limit_now < unlimited ? limit_now : COIN_DBL_MAX);
    small_->dual(0, at_hand ? keep_factorisation : 0);
    pivots_ += small_->numberIterations();
    if (small_->status() != 0 && small_->status() != 1) {  // lost its way: from the beginning
      small_->allSlackBasis();
      small_->primal();
      pivots_ += small_->numberIterations();
    }
    const bool alive = small_->status() == 0 && small_->objectiveValue() < limit_now;
    const double reached = alive ? small_->objectiveValue() : std::min(limit_now, node.bound + 1.0);
    if (node.column >= 0) {
      ++branches_;
      const double gain = std::max(0.0, reached - node.bound) / std::max(node.move, 1e-3);
      record_[node.side][node.column].add(gain);
      all_[node.side].add(gain);
    }
    node.bound = std::max(node.bound, reached);
    return alive;
  }

  // Goes on to the nearer half of a node and keeps the other. False if there is nothing to split: then it is the best point so far.
  bool split(Node& node) {
    const double* value = small_->primalColumnSolution();
    const int column = worth_most(value);
    if (column < 0) {
      best_ = node.bound;
      best_point_.assign(value, value + small_->numberColumns());
      return false;
    }
    const double below = std::floor(value[column]), part = value[column] - below;
    const auto half = [&](int side) {
      Node child = node;
      child.column = column;
      child.side = side;
      child.move = side == 1 ? 1.0 - part : part;
      child.changes.push_back(side == 1 ? Bounds{column, below + 1.0, small_->columnUpper()[column]}
                                        : Bounds{column, small_->columnLower()[column], below});
      return child;
    };
    const int first = part > up_from ? 1 : 0;
    Node other = half(1 - first);
    const unsigned char* basis = small_->statusArray();
    other.basis.assign(basis, basis + small_->numberColumns() + small_->numberRows());
    keep(std::move(other));
    node = half(first);
    const Bounds& change = node.changes.back();
    small_->setColumnBounds(change.column, change.low, change.high);
    return true;
  }

  // Which column to split: a count if any is broken, and else where both sides are expected to cost much.
  [[nodiscard]] int worth_most(const double* value) const {
    int most = -1;
    double most_worth = -1.0;
    for (int c : whole_columns_) {
      const double part = value[c] - std::floor(value[c]);
      if (part < whole_within || part > 1.0 - whole_within) continue;
      const double down = record_[0][c].mean_or(all_[0].mean_or(1.0)) * part;
      const double up = record_[1][c].mean_or(all_[1].mean_or(1.0)) * (1.0 - part);
      const double worth = std::max(down, least_gain) * std::max(up, least_gain) * (counts_[c] ? 1e12 : 1.0);
      if (worth > most_worth) most = c, most_worth = worth;
    }
    return most;
  }

  // Open nodes are a heap, the lowest bound first.
  static bool later(const Node& one, const Node& other) { return one.bound > other.bound; }
  void keep(Node node) {
    open_.push_back(std::move(node));
    std::push_heap(open_.begin(), open_.end(), later);
  }
  bool take_best(Node& node) {
    if (!open_.empty() && open_.front().bound >= limit()) open_.clear();
    if (open_.empty()) return false;
    std::pop_heap(open_.begin(), open_.end(), later);
    node = std::move(open_.back());
    open_.pop_back();
    for (int c : whole_columns_) small_->setColumnBounds(c, low_[c], high_[c]);
    for (const Bounds& change : node.changes) small_->setColumnBounds(change.column, change.low, change.high);
    std::memcpy(small_->statusArray(), node.basis.data(), node.basis.size());
    return true;
  }

  // The best point in the columns of the core.
  void carry_back() {
    for (int c : whole_columns_) {
      const double value = std::round(best_point_[c]);
      small_->setColumnBounds(c, value, value);
    }
    small_->setDualObjectiveLimit(COIN_DBL_MAX);
    small_->dual();
    if (small_->status() != 0) small_->primal();
    presolver_.postsolve(true);
    answer_.value.assign(whole_.primalColumnSolution(), whole_.primalColumnSolution() + whole_.numberColumns());
    for (std::size_t c = 0; c < core_.columns.size(); ++c) {
      if (core_.columns[c].integer) answer_.value[c] = std::round(answer_.value[c]);
    }
  }
  CoreAnswer concluded() {
    const bool all_seen = open_.empty();
    answer_.bound = std::min(best_, limit());
    if (!all_seen) answer_.bound = std::min(answer_.bound, open_.front().bound);
    if (best_ == unlimited) {
      if (all_seen) answer_.status = CoreAnswer::Status::infeasible;
      return std::move(answer_);
    }
    answer_.status = all_seen ? CoreAnswer::Status::optimal : CoreAnswer::Status::stopped;
    answer_.objective = best_;
    if (!best_point_.empty()) carry_back();
    return std::move(answer_);
  }

  const LinearCore& core_;
  double relative_gap_;
  int most_branches_;
  double cutoff_;
  ClpSimplex whole_;
  ClpPresolve presolver_;
  std::unique_ptr<ClpSimplex> small_;
  std::vector<double> low_, high_;
  std::vector<int> whole_columns_;
  std::vector<bool> counts_;
  std::vector<Record> record_[2];
  Record all_[2];
  std::vector<Node> open_;
  std::vector<double> best_point_;  // in the columns of the presolved core
  double best_ = unlimited;
  CoreAnswer answer_;
  int branches_ = 0, pivots_ = 0;
};

}  // namespace

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

CoreAnswer solve_integer(const LinearCore& core, double relative_gap, int most_branches,
                         const std::vector<double>& start, double cutoff) {
  return Branches(core, relative_gap, most_branches, start, cutoff).search();
}

}  // namespace oddgrist::compose

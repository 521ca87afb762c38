#include "suite/plain_cores.hpp"

#include <cmath>
#include <cstdio>
#include <fstream>
#include <memory>
#include <sstream>

#include <coin/Cbc_C_Interface.h>
#include <fmt/format.h>

namespace oddgrist::bench {

using compose::LinearCore;
using compose::unlimited;

LinearCore final_core(const Task& task, const compose::Design& at, bool counted) {
  const compose::CoreBuilder builder(task.unknowns, task.demands, compose::Exactness::weighable);
  LinearCore core = builder.build(compose::linearise(task.brief, task.unknowns, at, task.fermentation), at, unlimited);
  if (counted) builder.count_rows(core);
  return core;
}

double loss_at(const Task& task, std::vector<double> value, const LinearCore& core) {
  for (std::size_t c = 0; c < value.size(); ++c) {
    if (core.columns[c].integer) value[c] = std::round(value[c]);
  }
  const compose::CoreBuilder builder(task.unknowns, task.demands, compose::Exactness::weighable);
  return true_loss(task, builder.design_from(value));
}

Outcome solve_with_cbc(const Task& task, const LinearCore& core, double seconds) {
  const int columns = static_cast<int>(core.columns.size()), rows = static_cast<int>(core.rows.size());
  std::vector<std::vector<std::pair<int, double>>> by_column(core.columns.size());
  std::vector<double> row_low, row_high, low, high, cost, element;
  for (int r = 0; r < rows; ++r) {
    row_low.push_back(core.rows[r].low);
    row_high.push_back(core.rows[r].high);
    for (const auto& [column, coefficient] : core.rows[r].terms) {
      if (coefficient != 0.0) by_column[column].emplace_back(r, coefficient);
    }
  }
  std::vector<CoinBigIndex> start{0};
  std::vector<int> index;
  for (int c = 0; c < columns; ++c) {
    for (const auto& [row, coefficient] : by_column[c]) {
      index.push_back(row);
      element.push_back(coefficient);
    }
    start.push_back(static_cast<CoinBigIndex>(index.size()));
    low.push_back(core.columns[c].low);
    high.push_back(core.columns[c].high);
    cost.push_back(core.columns[c].cost);
  }
  Outcome outcome;
  const double began = busy_ms();
  const std::unique_ptr<Cbc_Model, void (*)(Cbc_Model*)> model(Cbc_newModel(), Cbc_deleteModel);
  Cbc_loadProblem(model.get(), columns, rows, start.data(), index.data(), element.data(), low.data(), high.data(),
                  cost.data(), row_low.data(), row_high.data());
  for (int c = 0; c < columns; ++c) {
    if (core.columns[c].integer) Cbc_setInteger(model.get(), c);
  }
  Cbc_setLogLevel(model.get(), 0);
  Cbc_setParameter(model.get(), "log", "0");
  Cbc_setAllowableFractionGap(model.get(), core_gap);
  Cbc_setMaximumSeconds(model.get(), seconds);
  Cbc_solve(model.get());
  outcome.ms = busy_ms() - began;
  outcome.stopped = Cbc_isProvenOptimal(model.get()) == 0;
  if (const double* best = Cbc_bestSolution(model.get()); best != nullptr) {
    outcome.core_objective = Cbc_getObjValue(model.get());
    outcome.loss = loss_at(task, std::vector<double>(best, best + columns), core);
  }
  return outcome;
}

void write_core(const LinearCore& core, double seconds, const std::string& path_without_ending) {
  std::ofstream(path_without_ending + ".seconds") << seconds << '\n';
  std::ofstream file(path_without_ending + ".lp");
  const auto terms = [&](const std::vector<std::pair<int, double>>& row) {
    int count = 0;
    for (const auto& [column, coefficient] : row) {
      if (coefficient != 0.0) file << fmt::format("{} {:+.17g} c{}", count++ % 8 == 7 ? "\n" : "", coefficient, column);
    }
  };
  std::vector<std::pair<int, double>> costs;
  for (std::size_t c = 0; c < core.columns.size(); ++c) costs.emplace_back(static_cast<int>(c), core.columns[c].cost);
  file << "Minimize\n obj:";
  terms(costs);
  file << "\nSubject To\n";
  for (std::size_t r = 0; r < core.rows.size(); ++r) {
    const LinearCore::Row& row = core.rows[r];
    const auto line = [&](const char* suffix, const char* sense, double side) {
      file << fmt::format(" r{}{}:", r, suffix);
      terms(row.terms);
      file << fmt::format(" {} {:.17g}\n", sense, side);
    };
    if (row.low == row.high) {
      line("", "=", row.low);
    } else {
      if (row.low > -unlimited) line("l", ">=", row.low);
      if (row.high < unlimited) line("h", "<=", row.high);
    }
  }
  file << "Bounds\n";
  for (std::size_t c = 0; c < core.columns.size(); ++c) {
    const auto& column = core.columns[c];
    const std::string low = column.low > -unlimited ? fmt::format("{:.17g}", column.low) : "-inf";
    const std::string high = column.high < unlimited ? fmt::format("{:.17g}", column.high) : "inf";
    file << fmt::format(" {} <= c{} <= {}\n", low, c, high);
  }
  file << "Generals\n";
  for (std::size_t c = 0; c < core.columns.size(); ++c) {
    if (core.columns[c].integer) file << fmt::format(" c{}\n", c);
  }
  file << "End\n";
}

bool solve_with_highs(const std::string& folder,
                      const std::function<void(const std::string&, Outcome, std::vector<double>)>& report) {
  const std::string command =
      fmt::format("node '{}/bench/suite/highs.mjs' '{}' {}", ODDGRIST_SOURCE_DIR, folder, core_gap);
  std::FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return false;
  std::string line;
  const auto take = [&] {
    std::istringstream words(line);
    std::string name, status, each;
    Outcome outcome;
    words >> name >> status >> outcome.ms;
    outcome.stopped = status != "optimal";
    std::vector<double> value;
    while (words >> each) value.push_back(std::stod(each));
    if (!value.empty()) {
      outcome.core_objective = value.front();
      value.erase(value.begin());
    }
    report(name, outcome, std::move(value));
    line.clear();
  };
  for (int c = std::fgetc(pipe); c != EOF; c = std::fgetc(pipe)) {
    if (c == '\n') {
      take();
    } else {
      line += static_cast<char>(c);
    }
  }
  return pclose(pipe) == 0;
}

}  // namespace oddgrist::bench

// suite [--ours] [--quick] [--counts] [--limit SECONDS] [NAME...]: the stored briefs answered by Oddgrist and by general-purpose solvers.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include <unistd.h>

#include <fmt/format.h>

#include "compose/kept_memory.hpp"
#include "files/brief_file.hpp"
#include "suite/multistart.hpp"
#include "suite/ours.hpp"
#include "suite/plain_cores.hpp"
#include "suite/table.hpp"

namespace {

using namespace oddgrist;
using namespace oddgrist::bench;
namespace fs = std::filesystem;

constexpr double most_limits = 6.0;  // and this many times the limit of CBC at most

struct Options {
  bool ours_only = false, quick = false;
  bool counts = false;   // hands the others the counts that ours branches on
  double limit_s = 2.0;  // of one solve by CBC; HiGHS and NLopt get what ten times our time takes, if that is more
  std::vector<std::string> names;
};

bool read_options(int argc, char** argv, Options& options) {
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    if (word == "--ours") {
      options.ours_only = true;
    } else if (word == "--quick") {
      options.quick = true;
    } else if (word == "--counts") {
      options.counts = true;
    } else if (word == "--limit" && i + 1 < argc) {
      options.limit_s = std::atof(argv[++i]);
      if (!(options.limit_s > 0.0)) return false;
    } else if (word.starts_with("-")) {
      return false;
    } else {
      options.names.push_back(word);
    }
  }
  return true;
}

// By size, then by letter.
std::vector<std::string> stored_names(const fs::path& folder, const Options& options) {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) {
    const std::string name = entry.path().stem().string();
    const bool in_quick = name.ends_with("-a") || name.ends_with("-d-missed");
    const bool asked = options.names.empty() ? !options.quick || in_quick
                                             : std::count(options.names.begin(), options.names.end(), name) > 0;
    if (asked && entry.path().extension() == ".toml") names.push_back(name);
  }
  std::sort(names.begin(), names.end(), [](const std::string& a, const std::string& b) {
    const int size_a = std::stoi(a), size_b = std::stoi(b);
    return size_a != size_b ? size_a < size_b : a < b;
  });
  return names;
}

Task read_task(const fs::path& folder, const std::string& name) {
  const std::string path = (folder / (name + ".toml")).string();
  auto read = files::read_brief_file(path);
  if (!read) {
    for (const auto& problem : read.problems())
      std::fputs(fmt::format("{}\n", files::problem_line(problem)).c_str(), stderr);
    std::exit(1);
  }
  Task task;
  task.name = name;
  task.candidates = std::stoi(name);
  task.brief = std::move(read.value());
  task.unknowns = compose::unknowns_of(task.brief);
  task.demands = compose::demands_of(task.brief, task.unknowns);
  return task;
}

struct Folder {
  fs::path path = fs::temp_directory_path() / fmt::format("oddgrist-suite-{}", getpid());
  Folder() { fs::create_directories(path); }
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
};

}  // namespace

int main(int argc, char** argv) {
  compose::keep_freed_memory();  // as the program does; it serves CBC and NLopt as well
  Options options;
  if (!read_options(argc, argv, options)) {
    std::fputs("usage: suite [--ours] [--quick] [--counts] [--limit SECONDS] [NAME...]\n", stderr);
    return 2;
  }
  const fs::path briefs = fs::path(ODDGRIST_SOURCE_DIR) / "bench/suite/briefs";
  const auto names = stored_names(briefs, options);
  if (names.empty()) {
    std::fputs("suite: there is no such brief in bench/suite/briefs\n", stderr);
    return 2;
  }
  const Folder scratch;
  std::map<std::string, std::pair<Task, compose::LinearCore>> cores;
  std::vector<Row> rows;
  for (const std::string& name : names) {
    std::fputs(fmt::format("   {} of {}: {} ... ", rows.size() + 1, names.size(), name).c_str(), stderr);
    Task task = read_task(briefs, name);
    Row row{name, task.candidates, run_ours(task), {}, {}, {}};
    std::fputs(fmt::format("{:.0f} ms\n", row.ours.whole.ms).c_str(), stderr);
    if (!options.ours_only) {
      compose::LinearCore core = final_core(task, row.ours.found.design, options.counts);
      row.cbc = solve_with_cbc(task, core, options.limit_s);
      const double ten_times_ms = std::min(10.0 * row.ours.whole.ms, most_limits * 1e3 * options.limit_s);
      row.nlopt = multistart(task, row.ours.whole.ms, ten_times_ms);
      write_core(core, std::max(options.limit_s, 1.02e-3 * ten_times_ms), (scratch.path / name).string());
      cores.emplace(name, std::pair(std::move(task), std::move(core)));
    }
    rows.push_back(std::move(row));
  }
  if (!options.ours_only) {
    std::size_t done = 0;
    const bool ran = solve_with_highs(
        scratch.path.string(), [&](const std::string& name, Outcome outcome, std::vector<double> value) {
          std::fputs(fmt::format("   HiGHS {} of {}: {}\n", ++done, names.size(), name).c_str(), stderr);
          const auto& [task, core] = cores.at(name);
          if (value.size() == core.columns.size()) outcome.loss = loss_at(task, std::move(value), core);
          for (Row& row : rows) {
            if (row.name == name) row.highs = outcome;
          }
        });
    if (!ran || done != names.size()) {
      std::fputs("suite: HiGHS did not run; is node there, and `npm ci` done in bench/suite?\n", stderr);
      return 1;
    }
  }
  print_ours(rows);
  if (!options.ours_only) print_comparison(rows, options.limit_s);
}

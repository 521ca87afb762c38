#include "suite/table.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include <fmt/format.h>

namespace oddgrist::bench {
namespace {

// Nearest rank; NaNs left out.
double quantile(std::vector<double> values, double share) {
  std::erase_if(values, [](double value) { return std::isnan(value); });
  if (values.empty()) return std::numeric_limits<double>::quiet_NaN();
  std::sort(values.begin(), values.end());
  const auto rank = static_cast<std::size_t>(std::ceil(share * static_cast<double>(values.size())));
  return values[std::max<std::size_t>(rank, 1) - 1];
}

template <class Of>
std::vector<double> column(const std::vector<Row>& rows, Of of) {
  std::vector<double> values;
  for (const Row& row : rows) values.push_back(of(row));
  return values;
}

std::string number(double value, int width, int places) {
  return std::isfinite(value) ? fmt::format("{:{}.{}f}", value, width, places) : fmt::format("{:>{}}", "none", width);
}

// A point of loss is a hundredth of a wish clearly missed; the core is solved to a gap of 0.5 %, so nothing finer is told apart.
bool is_better(double loss, const Row& row) { return loss < row.ours.whole.loss * 0.995 - 0.005; }

bool nlopt_comes_as_far(const Row& row) { return row.nlopt.longer.loss <= 1.005 * row.ours.whole.loss + 0.005; }

void goal(const char* what, double measured, double most, const char* unit) {
  fmt::print("  {:<62} {} {:10.1f} {:<5} {}\n", what, number(measured, 10, 2), most, unit,
             measured <= most ? "ok" : "NOT MET");
}

struct Rival {
  const char* name;
  Outcome Row::*outcome;
};
constexpr Rival core_solvers[] = {{"CBC", &Row::cbc}, {"HiGHS", &Row::highs}};

void print_lost(const std::vector<Row>& rows) {
  int lost = 0;
  const auto say = [&](const Row& row, const std::string& text) {
    fmt::print("  {:<16} {}\n", row.name, text);
    ++lost;
  };
  fmt::print("\nLost rows\n");
  for (const Row& row : rows) {
    const double ms = row.ours.whole.ms, loss = row.ours.whole.loss;
    if (ms > 2.0 * row.cbc.ms) say(row, fmt::format("{:.1f} times the time of one CBC solve", ms / row.cbc.ms));
    if (10.0 * ms > row.highs.ms && !row.highs.stopped)
      say(row, fmt::format("HiGHS takes only {:.1f} times our time", row.highs.ms / ms));
    for (const Rival& rival : core_solvers) {
      const Outcome& outcome = row.*rival.outcome;
      if (is_better(outcome.loss, row))
        say(row, fmt::format("{} finds {:.4f} in {:.0f} ms, ours {:.4f}", rival.name, outcome.loss, outcome.ms, loss));
    }
    if (is_better(row.nlopt.longer.loss, row)) {
      say(row, fmt::format("NLopt finds {:.4f} in {:.0f} ms, ours {:.4f} in {:.0f} ms", row.nlopt.longer.loss,
                           row.nlopt.longer.ms, loss, ms));
    } else if (nlopt_comes_as_far(row)) {
      say(row,
          fmt::format("NLopt reaches our {:.4f} within {:.0f} ms, ours took {:.0f} ms", loss, row.nlopt.longer.ms, ms));
    }
  }
  if (lost == 0) fmt::print("  none\n");
}

}  // namespace

void print_ours(const std::vector<Row>& rows) {
  fmt::print(
      "Oddgrist on {} generated briefs, processor time, ms. search: the inversion alone; again: from its answer, with "
      "another bitterness\n",
      rows.size());
  fmt::print("  {:<16} {:>9} {:>9} {:>9} {:>11} {:>8} {:>5} {:>6}\n", "", "compose", "search", "again", "true loss",
             "gap %", "lin.", "clash");
  for (const Row& row : rows) {
    fmt::print("  {:<16} {:9.1f} {:9.1f} {:9.1f} {:11.4f} {:8.2f} {:5} {:6}\n", row.name, row.ours.whole.ms,
               row.ours.search_ms, row.ours.again_ms, row.ours.whole.loss, 100.0 * row.ours.found.gap(),
               row.ours.found.linearisations, row.ours.clash_members);
  }
  std::map<int, std::vector<Row>> by_size;
  for (const Row& row : rows) by_size[row.candidates].push_back(row);
  fmt::print("\n  {:<16} {:>9} {:>9} {:>9} {:>9} {:>9}\n", "candidates", "compose", "p95", "search", "p95", "again");
  for (const auto& [size, group] : by_size) {
    const auto whole = column(group, [](const Row& row) { return row.ours.whole.ms; });
    const auto search = column(group, [](const Row& row) { return row.ours.search_ms; });
    const auto again = column(group, [](const Row& row) { return row.ours.again_ms; });
    fmt::print("  {:<16} {:9.1f} {:9.1f} {:9.1f} {:9.1f} {:9.1f}\n", size, quantile(whole, 0.5), quantile(whole, 0.95),
               quantile(search, 0.5), quantile(search, 0.95), quantile(again, 0.5));
  }
  if (by_size.count(60) > 0 && by_size.count(1000) > 0) {
    const auto median = [&](int size) {
      return quantile(column(by_size[size], [](const Row& row) { return row.ours.whole.ms; }), 0.5);
    };
    goal("from 60 to 1,000 candidates, median time grows", median(1000) / median(60), 20.0, "times");
  }
}

void print_comparison(const std::vector<Row>& rows, double limit_s) {
  fmt::print(
      "\nThe same by other solvers: time in ms (> stopped: CBC at {:g} s, HiGHS at ten times our time if that is "
      "more), and "
      "by how much their true loss is above ours\n"
      "  CBC and HiGHS: one solve of our final linear core to a gap of 0.5 %. NLopt: multistart on the true "
      "forecast.\n",
      limit_s);
  fmt::print("  {:<16} {:>9} {:>10} {:>10} {:>10} {:>10} {:>12} {:>12} {:>7}\n", "", "ours", "CBC", "more loss",
             "HiGHS", "more loss", "NLopt equal", "up to 10x", "starts");
  const auto timed = [](const Outcome& outcome) { return (outcome.stopped ? ">" : " ") + number(outcome.ms, 8, 1); };
  for (const Row& row : rows) {
    const double loss = row.ours.whole.loss;
    fmt::print("  {:<16} {:9.1f} {:>10} {} {:>10} {} {} {} {:7}\n", row.name, row.ours.whole.ms, timed(row.cbc),
               number(row.cbc.loss - loss, 10, 4), timed(row.highs), number(row.highs.loss - loss, 10, 4),
               number(row.nlopt.equal.loss - loss, 12, 4), number(row.nlopt.longer.loss - loss, 12, 4),
               row.nlopt.starts);
  }
  const auto line = [&](const char* what, const std::vector<double>& values) {
    fmt::print("  {:<62} {} {}\n", what, number(quantile(values, 0.5), 10, 4), number(quantile(values, 0.95), 10, 4));
  };
  fmt::print("\n  {:<62} {:>10} {:>10}\n", "", "median", "p95");
  line("our time over that of one CBC solve",
       column(rows, [](const Row& row) { return row.ours.whole.ms / row.cbc.ms; }));
  line("the same without explanation (search alone)",
       column(rows, [](const Row& row) { return row.ours.search_ms / row.cbc.ms; }));
  line("time of HiGHS (a floor where stopped) over ours",
       column(rows, [](const Row& row) { return row.highs.ms / row.ours.whole.ms; }));
  line("gap of ours to the bound of its own core, %",
       column(rows, [](const Row& row) { return 100.0 * row.ours.found.gap(); }));
  line("true loss of CBC's answer less ours",
       column(rows, [](const Row& row) { return row.cbc.loss - row.ours.whole.loss; }));
  line("true loss of HiGHS's answer less ours",
       column(rows, [](const Row& row) { return row.highs.loss - row.ours.whole.loss; }));
  line("true loss of NLopt in the same time less ours",
       column(rows, [](const Row& row) { return row.nlopt.equal.loss - row.ours.whole.loss; }));
  line("true loss of NLopt in up to ten times the time less ours",
       column(rows, [](const Row& row) { return row.nlopt.longer.loss - row.ours.whole.loss; }));
  fmt::print("\n");
  goal("our time over that of one CBC solve, median",
       quantile(column(rows, [](const Row& row) { return row.ours.whole.ms / row.cbc.ms; }), 0.5), 2.0, "times");
  goal("our time over that of HiGHS (where stopped, its floor), median",
       quantile(column(rows, [](const Row& row) { return row.ours.whole.ms / row.highs.ms; }), 0.5), 0.1, "times");
  const auto undecided = std::count_if(rows.begin(), rows.end(), [](const Row& row) {
    return row.highs.stopped && row.highs.ms < 10.0 * row.ours.whole.ms;
  });
  fmt::print("  {:<62} {:10}\n", "HiGHS stopped before ten times our time: not decided, rows", undecided);
  goal("briefs on which NLopt comes as far in up to ten times our time",
       static_cast<double>(std::count_if(rows.begin(), rows.end(), nlopt_comes_as_far)), 0.0, "rows");
  print_lost(rows);
}

}  // namespace oddgrist::bench

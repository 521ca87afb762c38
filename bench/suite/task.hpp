// One brief of the suite, and what a solver made of it.
#pragma once

#include <ctime>
#include <limits>
#include <string>
#include <vector>

#include "compose/proposal.hpp"
#include "compose/search.hpp"
#include "compose/yeast_choice.hpp"

namespace oddgrist::bench {

// Processor time of this thread, so that a busy machine does not matter. Every solver here runs in one thread.
inline double busy_ms() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return 1e3 * static_cast<double>(now.tv_sec) + 1e-6 * static_cast<double>(now.tv_nsec);
}

// A brief read, with what every solver starts from. The yeast is the one compose() chose, pitched as for the search.
struct Task {
  std::string name;
  int candidates = 0;
  compose::Brief brief;
  compose::Unknowns unknowns;
  compose::Demands demands;
  compose::Fermentation fermentation;
};

struct Outcome {
  double ms = std::numeric_limits<double>::quiet_NaN();
  double loss = std::numeric_limits<double>::quiet_NaN();            // on the true forecast
  double core_objective = std::numeric_limits<double>::quiet_NaN();  // of the linear core, where one was solved
  bool stopped = false;                                              // by the time limit
};

[[nodiscard]] inline double true_loss(const Task& task, const compose::Design& design) {
  const auto gauges = compose::gauges_of(compose::forecast_of(task.brief, task.unknowns, design, task.fermentation));
  return compose::loss_of(task.demands, design, task.unknowns, gauges);
}

}  // namespace oddgrist::bench

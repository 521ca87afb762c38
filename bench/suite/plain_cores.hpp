// The final linear core of the search, handed as it is to two mixed-integer solvers with their default settings.
#pragma once

#include <functional>

#include "compose/core_builder.hpp"
#include "suite/task.hpp"

namespace oddgrist::bench {

inline constexpr double core_gap = 0.005;  // ours too

// Every amount in whole steps, every use and packet whole, free to go anywhere, linearised at the design.
[[nodiscard]] compose::LinearCore final_core(const Task& task, const compose::Design& at, bool counted);

// One CBC solve as its command line does it: its own presolve, cuts and heuristics. Loading the problem is counted, building it not.
[[nodiscard]] Outcome solve_with_cbc(const Task& task, const compose::LinearCore& core, double seconds);

// HiGHS in WebAssembly under node reads the core from a file in the LP format; reading and node's start are not counted.
// `seconds`: when it is stopped; kept in a file beside the core.
void write_core(const compose::LinearCore& core, double seconds, const std::string& path_without_ending);
// Solves every core in the folder and reports each as it is done; `value` is empty where no point was found. False: node did not run.
bool solve_with_highs(const std::string& folder,
                      const std::function<void(const std::string& name, Outcome, std::vector<double> value)>& report);

[[nodiscard]] double loss_at(const Task& task, std::vector<double> value, const compose::LinearCore& core);

}  // namespace oddgrist::bench

// The likely range of a whole gyle from many brews that might have been. Goal: 10,000 of them in under 100 ms on two cores.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <stdexcept>
#include <vector>

#include "compose/doubt.hpp"
#include "compose/proposal.hpp"
#include "files/brief_file.hpp"
#include "process/forecast.hpp"

namespace {

using namespace oddgrist;
using Clock = std::chrono::steady_clock;

struct Demo {
  compose::Proposal proposal;
  compose::Doubtful doubtful;
};

const Demo& demo() {
  static const Demo demo = [] {
    auto read = files::read_brief_file(ODDGRIST_SOURCE_DIR "/examples/saltmarsh-round.toml");
    if (!read) throw std::runtime_error("cannot read the demo brief");
    const compose::Brief brief = read.value();
    compose::Proposal proposal = compose::compose(brief).proposals.at(0);
    compose::Doubtful doubtful = doubtful_of(brief, proposal);
    return Demo{std::move(proposal), std::move(doubtful)};
  }();
  return demo;
}

double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

double at_share(std::vector<double> values, double share) {
  const auto place = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1) + 0.5);
  std::nth_element(values.begin(), place, values.end());
  return *place;
}

// Seconds one bare forecast of the demo takes at its best, measured at once beside what it is compared with.
double bare_forecast_seconds() {
  const auto& plan = demo().proposal.plan;
  double best = 1.0;
  for (int round = 0; round < 20; ++round) {
    constexpr int runs = 200;
    const auto start = Clock::now();
    for (int run = 0; run < runs; ++run) benchmark::DoNotOptimize(process::forecast(plan));
    best = std::min(best, seconds_since(start) / runs);
  }
  return best;
}

// Arguments: points, threads.
void GyleIntervals(benchmark::State& state) {
  const auto points = static_cast<int>(state.range(0)), threads = static_cast<int>(state.range(1));
  const double bare = bare_forecast_seconds();
  std::vector<double> seconds;
  for (auto _ : state) {
    const auto start = Clock::now();
    benchmark::DoNotOptimize(compose::intervals_of(demo().doubtful, points, threads));
    seconds.push_back(seconds_since(start));
  }
  const double median = at_share(seconds, 0.5);
  state.counters["points_per_s"] = points / median;
  state.counters["median_ms"] = 1000.0 * median;
  state.counters["p95_ms"] = 1000.0 * at_share(seconds, 0.95);
  state.counters["doubts"] = static_cast<double>(demo().doubtful.doubts.size());
  state.counters["bare_us"] = 1e6 * bare;
  state.counters["forecasts_a_point"] = *std::min_element(seconds.begin(), seconds.end()) / points / bare;
}
BENCHMARK(GyleIntervals)
    ->Args({128, 1})
    ->Args({512, 1})
    ->Args({10000, 1})
    ->Args({10000, 2})
    ->Iterations(40)
    ->UseRealTime()
    ->MeasureProcessCPUTime()
    ->Unit(benchmark::kMillisecond);

}  // namespace

// The demo brief answered within one process, and its doubts.
#include <benchmark/benchmark.h>

#include <cstdlib>
#include <stdexcept>

#include "compose/doubt.hpp"
#include "compose/proposal.hpp"
#include "compose/warm.hpp"
#include "files/brief_file.hpp"

namespace {

using namespace oddgrist;

compose::Brief demo_brief() {
  auto read = files::read_brief_file(ODDGRIST_SOURCE_DIR "/examples/saltmarsh-round.toml");
  if (!read) throw std::runtime_error("cannot read the demo brief");
  return read.value();
}

void Compose(benchmark::State& state) {
  const compose::Brief brief = demo_brief();
  for (auto _ : state) benchmark::DoNotOptimize(compose::compose(brief));
}
BENCHMARK(Compose)->Unit(benchmark::kMicrosecond);

// A slider on its way: the bitterness moves on by a little each time, and back again.
void Nudge(benchmark::State& state) {
  compose::Warm warm(demo_brief());
  const auto wishes = warm.brief().wishes;
  int position = 0;
  for (auto _ : state) {
    auto moved = wishes;
    for (compose::Wish& wish : moved) {
      if (wish.measure != compose::Measure::bitterness) continue;
      wish.low += 0.05 * std::abs(position - 100);
      wish.high += 0.05 * std::abs(position - 100);
    }
    position = (position + 1) % 200;
    benchmark::DoNotOptimize(warm.nudge(moved));
  }
}
BENCHMARK(Nudge)->Unit(benchmark::kMicrosecond);

void Intervals(benchmark::State& state) {
  const compose::Brief brief = demo_brief();
  const auto answer = compose::compose(brief);
  const auto doubtful = compose::doubtful_of(brief, answer.proposals.at(0));
  for (auto _ : state) benchmark::DoNotOptimize(compose::intervals_of(doubtful, static_cast<int>(state.range(0))));
}
BENCHMARK(Intervals)->Arg(128)->Arg(512)->Unit(benchmark::kMicrosecond);

void Swings(benchmark::State& state) {
  const compose::Brief brief = demo_brief();
  const auto answer = compose::compose(brief);
  const auto doubtful = compose::doubtful_of(brief, answer.proposals.at(0));
  for (auto _ : state) benchmark::DoNotOptimize(compose::swings_of(doubtful));
}
BENCHMARK(Swings)->Unit(benchmark::kMicrosecond);

}  // namespace

// Re-planning: how long it takes, and over many days with hidden truths how often the first move ends closer to the wish than doing
// nothing. The counts are printed once, before the times.
#include <algorithm>

#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include "../tests/gyle/hidden_gyle.hpp"

namespace {

using namespace oddgrist;
using namespace oddgrist::gyle;
using hidden::Mishap;

constexpr int days_of_a_kind = 40;

Replan replan_of(const hidden::Day& day) {
  return replan(*day.brief, day.state(), hidden::minute_of_day(day.log.now_minutes));
}

void count_days() {
  int better = 0, same = 0, worse = 0;
  double worst = 0.0, idle = 0.0, moved = 0.0;
  std::uint64_t seed = 100000;
  for (Stage stage : {Stage::before_boil, Stage::boil, Stage::after_boil, Stage::fermenter, Stage::package}) {
    for (int m = 1; m < hidden::mishap_count; ++m) {
      const auto mishap = static_cast<Mishap>(m);
      if (!hidden::has_happened(mishap, stage)) continue;
      for (int i = 0; i < days_of_a_kind; ++i) {
        const auto day = hidden::day_of(hidden::planned().brief, hidden::planned().recipe, seed++, mishap, stage);
        const double nothing = day.loss(), something = hidden::taking(day, replan_of(day).moves.front()).loss();
        idle += nothing;
        moved += something;
        worst = std::max(worst, something - nothing);
        (something < nothing - 1e-9 ? better : something > nothing + 1e-9 ? worse : same) += 1;
      }
    }
  }
  const int all = better + same + worse;
  fmt::print(
      "disturbed gyles {}: closer to the wish {}, as near {}, further {} (worst by {:.0f}); mean loss {:.0f} -> "
      "{:.0f}\n",
      all, better, same, worse, worst, idle / all, moved / all);
}

void replan_once(benchmark::State& state) {
  static const bool counted = (count_days(), true);
  benchmark::DoNotOptimize(counted);
  const auto day = hidden::day_of(hidden::planned().brief, hidden::planned().recipe, 7, Mishap::boil_over,
                                  static_cast<Stage>(state.range(0)));
  const State now = day.state();
  for (auto _ : state) benchmark::DoNotOptimize(replan(*day.brief, now, hidden::minute_of_day(day.log.now_minutes)));
}
BENCHMARK(replan_once)->DenseRange(2, 6)->Unit(benchmark::kMillisecond);

void where_is_it(benchmark::State& state) {
  const auto day =
      hidden::day_of(hidden::planned().brief, hidden::planned().recipe, 7, Mishap::boil_over, Stage::after_boil);
  const State now = day.state();
  for (auto _ : state) benchmark::DoNotOptimize(standing_of(*day.brief, now));
}
BENCHMARK(where_is_it)->Unit(benchmark::kMillisecond);

}  // namespace

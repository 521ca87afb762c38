// Re-planning: how long it takes, and over many days with hidden truths how often the first move ends closer to the wish than doing
// nothing - and where it does not, why. The counts are printed once, before the times.
#include <algorithm>
#include <array>

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

double loss_with(const hidden::Day& day, const Move& move) { return hidden::taking(day, move).loss(); }

// Nothing was to mend: doing nothing misses no wish by a hundredth of its scale. Nothing mends it: somebody who knew the truth would not
// have come nearer by that much either. Not seen: they would have.
struct Count {
  int days = 0, closer = 0, further = 0, nothing_to_mend = 0, nothing_mends = 0, not_seen = 0;
  int mendable = 0, mended = 0;
  double worst = 0.0, idle = 0.0, moved = 0.0, known = 0.0;

  void add(const hidden::Day& day) {
    const double nothing = day.loss(), something = loss_with(day, replan_of(day).moves.front());
    const double least = hidden::least_loss_of_who_knows(day);
    ++days;
    idle += nothing, moved += something, known += std::min(least, something);
    worst = std::max(worst, something - nothing);
    const bool is_closer = something<nothing - 1e-9, is_further = something> nothing + 1e-9;
    const bool can = nothing >= hidden::a_hundredth && least < nothing - hidden::a_hundredth;
    mendable += can, mended += can && is_closer;
    closer += is_closer, further += is_further;
    if (is_closer || is_further) return;
    (can ? not_seen : nothing < hidden::a_hundredth ? nothing_to_mend : nothing_mends) += 1;
  }
  void add(const Count& other) {
    days += other.days, closer += other.closer, further += other.further;
    nothing_to_mend += other.nothing_to_mend, nothing_mends += other.nothing_mends, not_seen += other.not_seen;
    mendable += other.mendable, mended += other.mended;
    idle += other.idle, moved += other.moved, known += other.known;
    worst = std::max(worst, other.worst);
  }
  void say(std::string_view stage, std::string_view mishap) const {
    fmt::print("  {:14} {:15} {:5} {:7} {:8} {:12} {:9} {:8} {:6.0f} {:9} {:7} {:7.0f} {:7.0f} {:7.0f}\n", stage,
               mishap, days, closer, further, nothing_to_mend, nothing_mends, not_seen, worst, mendable, mended,
               idle / days, moved / days, known / days);
  }
};

void count_days() {
  constexpr std::array stages = {Stage::before_boil, Stage::boil, Stage::after_boil, Stage::fermenter, Stage::package};
  constexpr std::array stage_names = {"before boil", "in the boil", "after boil", "fermenter", "bottles"};
  constexpr std::array mishap_names = {"none",           "boil-over",     "hop forgotten",
                                       "low conversion", "much boil-off", "little kept"};
  fmt::print("  {:30} {:5} {:7} {:8} {:>31} {:6} {:9} {:7} {:>23}\n", "", "days", "closer", "further",
             "as near: nothing", "worst", "mendable", "of them", "mean loss");
  fmt::print("  {:30} {:5} {:7} {:8} {:>12} {:>9} {:>8} {:6} {:9} {:7} {:>7} {:>7} {:>7}\n", "", "", "", "",
             "was to mend", "mends it", "not seen", "", "", "closer", "idle", "moved", "knowing");
  Count disturbed, ordinary;
  std::uint64_t seed = 100000, ordinary_seed = 400000;
  for (std::size_t s = 0; s < stages.size(); ++s) {
    for (int m = 0; m < hidden::mishap_count; ++m) {
      const auto mishap = static_cast<Mishap>(m);
      if (!hidden::has_happened(mishap, stages[s])) continue;
      Count count;
      for (int i = 0; i < days_of_a_kind; ++i)
        count.add(hidden::day_of(hidden::planned().brief, hidden::planned().recipe,
                                 mishap == Mishap::none ? ordinary_seed++ : seed++, mishap, stages[s]));
      count.say(stage_names[s], mishap_names[static_cast<std::size_t>(m)]);
      (mishap == Mishap::none ? ordinary : disturbed).add(count);
    }
  }
  disturbed.say("all disturbed", "");
  ordinary.say("all ordinary", "");
  const auto share = [](int part, int all) { return 100.0 * part / std::max(1, all); };
  fmt::print(
      "disturbed gyles {}: closer to the wish {} ({:.0f} %), as near {}, further {} (worst by {:.0f}); mean loss "
      "{:.0f} -> {:.0f}\n"
      "of the {} in which somebody who knew the truth would have come closer: {} ({:.1f} %) closer\n",
      disturbed.days, disturbed.closer, share(disturbed.closer, disturbed.days),
      disturbed.days - disturbed.closer - disturbed.further, disturbed.further, disturbed.worst,
      disturbed.idle / disturbed.days, disturbed.moved / disturbed.days, disturbed.mendable, disturbed.mended,
      share(disturbed.mended, disturbed.mendable));
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

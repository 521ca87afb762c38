// Learning the kit: 500 gyles of brewers with hidden kits (tests/gyle/brewers.hpp), counted once before the times are taken.
#include <cstdlib>

#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include "../tests/gyle/brewers.hpp"

namespace {

using namespace oddgrist;
using namespace oddgrist::gyle;

void say(const char* who, const hidden::Tally& tally) {
  fmt::print("  {:8}", who);
  for (std::size_t t = 0; t < hidden::tried.size(); ++t) fmt::print(" {:6.1f}", 100.0 * tally.share_held(t));
  fmt::print("   ");
  for (double off : tally.off) fmt::print(" {:9.5f}", off / tally.all);
  fmt::print("   ");
  for (double width : tally.width) fmt::print(" {:9.5f}", width / tally.all);
  fmt::print("\n");
}

void count(const char* which, int brewers, hidden::Kits kits) {
  const auto& planned = hidden::planned();
  constexpr int gyles = 6;
  const auto first = hidden::brew_on(planned.brief, planned.recipe, 5 * brewers, 1, 700000, kits).learned.front();
  const auto [learned, told, apart] = hidden::brew_on(planned.brief, planned.recipe, brewers, gyles, 900000, kits);
  fmt::print("{}: {} brewers, {} gyles; \"first\" is the first gyle of {} others.\n", which, brewers, gyles,
             5 * brewers);
  fmt::print("  {:8} {:>27}    {:>39}    {:>39}\n", "", "80 % intervals held, %", "off by", "80 % intervals wide");
  fmt::print("  {:8} {:>6} {:>6} {:>6} {:>6}    {:>9} {:>9} {:>9} {:>9}    {:>9} {:>9} {:>9} {:>9}\n", "", "OG", "L",
             "FG", "IBU", "OG", "L", "FG", "IBU", "OG", "L", "FG", "IBU");
  say("first", first);
  hidden::Tally later, best;
  for (std::size_t g = 0; g < learned.size(); ++g) {
    say(fmt::format("gyle {}", g + 1).c_str(), learned[g]);
    if (g > 0) later += learned[g];
    best += told[g];
  }
  say("2 to 6", later);
  say("told all", best);
  const double off = first.off[0] / first.all;
  fmt::print(
      "  original gravity after 5 gyles: off by {:.0f} % less than first; at most {:.0f} % less is possible, by one "
      "told all that stays "
      "the same.\n  The forecast is {:.0f} % nearer to that one's than at first.\n",
      100.0 * (1.0 - learned.back().off[0] / learned.back().all / off), 100.0 * (1.0 - best.off[0] / best.all / off),
      100.0 * (1.0 - apart.back() / apart.front()));
}

// ODDGRIST_BREWERS: how many brewers; 100 if not said.
void count_gyles() {
  const char* said = std::getenv("ODDGRIST_BREWERS");
  const int brewers = said != nullptr ? std::max(1, std::atoi(said)) : 100;
  count("Kits nobody has brewed on", brewers, hidden::Kits::unknown);
  count("The same, with malt of one lot all through", brewers, hidden::Kits::one_sack);
  count("Kits half as far from the stated one", (brewers + 2) / 3, hidden::Kits::middling);
  count("Kits as stated", (brewers + 2) / 3, hidden::Kits::as_stated);
}

void learn_a_log(benchmark::State& state) {
  static const bool counted = (count_gyles(), true);
  benchmark::DoNotOptimize(counted);
  const auto& planned = hidden::planned();
  hidden::Brewer brewer(planned.brief, planned.recipe, 7);
  std::vector<State> states;
  std::vector<PastGyle> gyles;
  for (int i = 0; i < state.range(0); ++i) states.push_back(brewer.brew().state());
  for (const State& each : states) gyles.push_back({&planned.brief, &each});
  for (auto _ : state) benchmark::DoNotOptimize(learned_from(gyles));
}
BENCHMARK(learn_a_log)->Arg(1)->Arg(10)->Arg(100)->Unit(benchmark::kMillisecond);

}  // namespace

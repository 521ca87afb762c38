// Learning the kit: gyles of brewers with hidden kits (tests/gyle/brewers.hpp), counted once before the times are taken.
#include <cstdlib>

#include <Eigen/Cholesky>
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

constexpr std::size_t taught_by = 5;

std::vector<hidden::Day> days_of(std::uint64_t seed, hidden::Kits kits) {
  hidden::Brewer brewer(hidden::planned().brief, hidden::planned().recipe, seed, kits);
  std::vector<hidden::Day> days;
  for (std::size_t g = 0; g <= taught_by; ++g) days.push_back(brewer.brew());
  return days;
}

double original_gravity(const hidden::Day& day) { return told_by(day.upcome(), Told::original_gravity); }

// What a straight rule may go by, of the days before the last, and 1.
Eigen::VectorXd gravity_without_error(const std::vector<hidden::Day>& days) {
  Eigen::Vector2d mean(0.0, 1.0);
  for (std::size_t g = 0; g < taught_by; ++g) mean[0] += (original_gravity(days[g]) - 1.0) / taught_by;
  return mean;
}
Eigen::VectorXd all_readings(const std::vector<hidden::Day>& days) {
  std::vector<double> sums;
  for (std::size_t g = 0; g < taught_by; ++g) {
    std::size_t r = 0;
    for (const Entry& entry : days[g].log.entries) {
      const auto* reading = std::get_if<Reading>(&entry.what);
      if (reading == nullptr) continue;
      if (r == sums.size()) sums.push_back(0.0);
      sums[r++] += reading->sight == Sight::gravity ? reading->value - 1.0 : reading->value / 10.0;
    }
  }
  sums.push_back(1.0);
  return Eigen::Map<Eigen::VectorXd>(sums.data(), static_cast<Eigen::Index>(sums.size()));
}

// How far off the best straight rule is that foretells the original gravity of the last day: least squares over 1000 others of the same
// population. It has seen what no brewer can, how kits, scatter and readings lie, so that it bounds what learning can come to.
template <class Features>
double off_by_rule(const Features& features, int brewers, std::uint64_t seed, hidden::Kits kits) {
  constexpr std::uint64_t others = 1000, seed_of_others = 3000000;
  Eigen::MatrixXd squares;
  Eigen::VectorXd pull;
  for (std::uint64_t b = 0; b < others; ++b) {
    const auto days = days_of(seed_of_others + b, kits);
    const Eigen::VectorXd x = features(days);
    if (b == 0) squares = Eigen::MatrixXd::Zero(x.size(), x.size()), pull = Eigen::VectorXd::Zero(x.size());
    squares += x * x.transpose();
    pull += x * original_gravity(days.back());
  }
  const Eigen::VectorXd rule = squares.ldlt().solve(pull);
  double off = 0.0;
  for (int b = 0; b < brewers; ++b) {
    const auto days = days_of(seed + static_cast<std::uint64_t>(b), kits);
    off += std::abs(original_gravity(days.back()) - rule.dot(features(days)));
  }
  return off / brewers;
}

void count(const char* which, int brewers, hidden::Kits kits) {
  const auto& planned = hidden::planned();
  constexpr int gyles = taught_by + 1, firsts = 3;
  const auto first = hidden::brew_on(planned.brief, planned.recipe, firsts * brewers, 1, 700000, kits).learned.front();
  constexpr std::uint64_t seed = 900000;
  const auto [learned, told, apart] = hidden::brew_on(planned.brief, planned.recipe, brewers, gyles, seed, kits);
  fmt::print("{}: {} brewers, {} gyles; \"first\" is the first gyle of {} others.\n", which, brewers, gyles,
             firsts * brewers);
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
  const auto less = [&](double now) { return 100.0 * (1.0 - now / off); };
  fmt::print(
      "  original gravity after {} gyles: off by {:.1f} % less than first; nearer by {:.0f} % to the forecast of one "
      "told all.\n"
      "  The last gyle by one told all that stays the same: {:.1f} % less.\n",
      taught_by, less(learned.back().off[0] / learned.back().all), 100.0 * (1.0 - apart.back() / apart.front()),
      less(told.back().off[0] / told.back().all));
  if (kits != hidden::Kits::unknown && kits != hidden::Kits::one_sack) return;
  fmt::print(
      "  By the best straight rule from {} original gravities known without error: {:.1f} % less, from all readings: "
      "{:.1f} %.\n",
      taught_by, less(off_by_rule(gravity_without_error, brewers, seed, kits)),
      less(off_by_rule(all_readings, brewers, seed, kits)));
}

// ODDGRIST_BREWERS: how many brewers of each population that counts; 300 if not said: the mean of 100 is off by 7 % one time in three.
void count_gyles() {
  const char* said = std::getenv("ODDGRIST_BREWERS");
  const int brewers = said != nullptr ? std::max(1, std::atoi(said)) : 300;
  count("Kits nobody has brewed on", brewers, hidden::Kits::unknown);
  count("The same, with malt of one lot all through", brewers, hidden::Kits::one_sack);
  count("Kits half as far from the stated one", (brewers + 8) / 9, hidden::Kits::middling);
  count("Kits as stated", (brewers + 8) / 9, hidden::Kits::as_stated);
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

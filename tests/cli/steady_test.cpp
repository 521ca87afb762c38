// The examples, chosen by their chance: it rises or stays, on the days the choice has seen and on days thrown by another sampler.
#include <cmath>
#include <random>

#include <gtest/gtest.h>

#include "compose/design.hpp"
#include "compose/doubt.hpp"
#include "compose/robust.hpp"
#include "files/brief_file.hpp"

namespace oddgrist {
namespace {

// Plain Monte-Carlo: independent throws, a triangle as the library's piecewise linear density.
double thrown_chance(const compose::Brief& brief, const compose::Proposal& proposal, int throws, unsigned seed) {
  const compose::Doubtful doubtful = doubtful_of(brief, proposal);
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> any(0.0, 1.0);
  compose::Rebrew rebrew(doubtful);
  int inside = 0;
  for (int i = 0; i < throws; ++i) {
    std::vector<double> values;
    for (const compose::Doubt& doubt : doubtful.doubts) {
      double value = doubt.low + any(random) * (doubt.high - doubt.low);
      if (doubt.shape == compose::Doubt::Shape::triangular) {  // by rejection under the triangle
        const auto height = [&](double x) {
          if (x == doubt.usual) return 1.0;
          return x < doubt.usual ? (x - doubt.low) / (doubt.usual - doubt.low)
                                 : (doubt.high - x) / (doubt.high - doubt.usual);
        };
        while (any(random) > height(value)) value = doubt.low + any(random) * (doubt.high - doubt.low);
      }
      values.push_back(value);
    }
    const auto gauges = compose::gauges_of(rebrew.forecast(values));
    bool all = true;
    for (const compose::Wish& wish : brief.wishes) {
      const double value = gauges[static_cast<std::size_t>(wish.measure)];
      all = all && value >= wish.low && value <= wish.high;
    }
    inside += all ? 1 : 0;
  }
  return static_cast<double>(inside) / throws;
}

TEST(Steadiest, ExamplesComeOutAsWishedMoreOften) {
  constexpr int throws = 8000;
  double gained = 0.0;
  int changed = 0;
  for (const char* name : {"community-200l", "lemon", "quince", "saltmarsh-round", "stove-top-5l", "walnut-spirit"}) {
    const auto read = files::read_brief_file(std::string(ODDGRIST_SOURCE_DIR "/examples/") + name + ".toml");
    ASSERT_TRUE(static_cast<bool>(read)) << name;
    const compose::Brief& brief = read.value();
    const compose::Proposal first = compose::compose(brief).proposals.at(0);
    const compose::Steady steady = steadiest(brief, first);
    EXPECT_GE(steady.now.all, steady.before.all) << name;
    if (!steady.changed) continue;
    ++changed;
    const double before = thrown_chance(brief, first, throws, 11),
                 now = thrown_chance(brief, steady.proposal, throws, 12);
    const double error = std::sqrt((before * (1.0 - before) + now * (1.0 - now)) / throws);
    EXPECT_GT(now, before - 3.0 * error) << name;  // one gain may be less than throws can tell
    EXPECT_NEAR(before, steady.before.all, 0.03) << name;
    EXPECT_NEAR(now, steady.now.all, 0.03) << name;
    gained += (now - before) / error;
  }
  EXPECT_GE(changed, 3);
  EXPECT_GT(gained / std::sqrt(std::max(1, changed)), 5.0);  // all gains together are far beyond the throws' scatter
}

}  // namespace
}  // namespace oddgrist

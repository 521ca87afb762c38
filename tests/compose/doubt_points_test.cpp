// The points at which doubts are tried: the same whatever the threads, true to an independent sampler, better than chance; and shares of
// variance beside each other.
#include <algorithm>
#include <cmath>
#include <random>

#include <gtest/gtest.h>

#include "compose/doubt_indices.hpp"
#include "compose/doubt_points.hpp"
#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

struct Harvest {
  Brief brief = sample::harvest();
  Answer answer = compose(brief);
  Doubtful doubtful = doubtful_of(brief, answer.proposals.at(0));
};

const Harvest& harvest() {
  static const Harvest harvest;
  return harvest;
}

// A sampler that shares nothing with the points: a Mersenne twister, and a triangle as the library's piecewise linear density.
class Dice {
 public:
  Dice(const Doubtful& doubtful, unsigned seed) : random_(seed) {
    for (const Doubt& doubt : doubtful.doubts) {
      const bool flat = doubt.shape == Doubt::Shape::uniform;
      std::vector<double> at, density;
      const auto corner = [&](double x, double y) {
        if (!at.empty() && x <= at.back()) {
          density.back() = std::max(density.back(), y);
        } else {
          at.push_back(x);
          density.push_back(y);
        }
      };
      corner(doubt.low, flat ? 1.0 : 0.0);
      if (!flat) corner(doubt.usual, 1.0);
      corner(doubt.high, flat || doubt.usual == doubt.high ? 1.0 : 0.0);
      dice_.emplace_back(at.begin(), at.end(), density.begin());
    }
  }
  std::vector<double> throw_all() {
    std::vector<double> values;
    for (auto& die : dice_) values.push_back(die(random_));
    return values;
  }

 private:
  std::mt19937_64 random_;
  std::vector<std::piecewise_linear_distribution<double>> dice_;
};

Upshots mean_of_points(const Doubtful& doubtful, int points, unsigned sample = 0) {
  Rebrew rebrew(doubtful);
  Layout layout = in_order(doubtful.doubts.size());
  layout.sample = sample;
  Points places(doubtful.doubts, layout);
  Upshots mean{};
  for (int point = 0; point < points; ++point) {
    const Upshots upshots = rebrew.upshots(places.next());
    for (std::size_t u = 0; u < upshot_count; ++u) mean[u] += upshots[u] / points;
  }
  return mean;
}

struct Thrown {
  Upshots mean{}, deviation{};
  std::vector<Upshots> all;
};

Thrown thrown(const Doubtful& doubtful, int points, unsigned seed) {
  Rebrew rebrew(doubtful);
  Dice dice(doubtful, seed);
  Thrown thrown;
  for (int point = 0; point < points; ++point) thrown.all.push_back(rebrew.upshots(dice.throw_all()));
  for (std::size_t u = 0; u < upshot_count; ++u) {
    for (const Upshots& upshots : thrown.all) thrown.mean[u] += upshots[u] / points;
    for (const Upshots& upshots : thrown.all)
      thrown.deviation[u] += (upshots[u] - thrown.mean[u]) * (upshots[u] - thrown.mean[u]) / (points - 1);
    thrown.deviation[u] = std::sqrt(thrown.deviation[u]);
  }
  return thrown;
}

// A plan refilled is the plan made anew, bit for bit. Only the warmth of the beer is not asked for here: a plan made anew would be chilled
// to it, too.
TEST(DoubtPoints, RefilledPlanIsThePlanMadeAnew) {
  const Doubtful& doubtful = harvest().doubtful;
  Rebrew rebrew(doubtful);
  Points points(doubtful.doubts);
  for (int point = 0; point < 200; ++point) {
    const auto there = points.next();
    std::vector<double> values(there.begin(), there.end());
    Setting setting = doubtful.usual;
    for (std::size_t i = 0; i < values.size(); ++i) {
      if (doubtful.doubts[i].topic == Topic::warmest_beer) values[i] = doubtful.doubts[i].usual;
      doubtful.doubts[i].set(setting, values[i]);
    }
    process::Ferment ferment = doubtful.ferment;
    ferment.yeast = setting.yeast;
    const auto plan =
        process::make_plan(setting.kit, charge_at(doubtful, setting), ferment, doubtful.carbonation_volumes);
    const auto anew = process::forecast(plan);
    const Upshots upshots = rebrew.upshots(values);
    EXPECT_EQ(upshots[0], anew.original_gravity_sg);
    EXPECT_EQ(upshots[1], anew.final_gravity_sg);
    EXPECT_EQ(upshots[2], anew.abv_percent);
    EXPECT_EQ(upshots[3], anew.bitterness_ibu);
    EXPECT_EQ(upshots[4], anew.colour_ebc);
    EXPECT_EQ(upshots[5], anew.fermenter_volume_l);
    EXPECT_EQ(upshots[6], anew.mash_ph);
    EXPECT_EQ(upshots[7], carbonation_at(doubtful, setting, plan, anew));
  }
}

TEST(DoubtPoints, APointIsKnownByItsNumber) {
  const auto& doubts = harvest().doubtful.doubts;
  for (unsigned sample : {0U, 5U}) {
    Layout layout = in_order(doubts.size());
    layout.sample = sample;
    Points in_turn(doubts, layout), at_once(doubts, layout);
    for (std::size_t point = 0; point < 300; ++point) {
      const auto one = in_turn.next();
      if (point % 37 != 0) continue;
      at_once.go_to(point);
      const auto other = at_once.next();
      EXPECT_TRUE(std::equal(one.begin(), one.end(), other.begin(), other.end())) << point;
    }
  }
}

TEST(DoubtPoints, ThreadsChangeNothing) {
  const Doubtful& doubtful = harvest().doubtful;
  const auto alone = intervals_of(doubtful, 3000, 1);
  for (int threads : {2, 3, 8}) {
    const auto together = intervals_of(doubtful, 3000, threads);
    for (std::size_t u = 0; u < upshot_count; ++u) {
      EXPECT_EQ(alone[u].low, together[u].low);
      EXPECT_EQ(alone[u].high, together[u].high);
    }
  }
  const std::vector<std::vector<std::size_t>> groups = {{0}, {1, 2}};
  const Shares one = shares_of(doubtful, groups, 400, 1), three = shares_of(doubtful, groups, 400, 3);
  for (std::size_t u = 0; u < upshot_count; ++u) EXPECT_EQ(one.groups[1].total[u], three.groups[1].total[u]);
}

// 10,000 points of the sequence against 10,000 throws: the means agree within four standard errors of the throws, and of the throws the
// share that falls below the sequence's 10 and 90 % ends is 10 and 90 % within four binomial standard errors (1 in 16,000 by chance).
TEST(DoubtPoints, AgreesWithPlainMonteCarlo) {
  constexpr int points = 10000;
  const Doubtful& doubtful = harvest().doubtful;
  const Upshots mean = mean_of_points(doubtful, points);
  const auto intervals = intervals_of(doubtful, points);
  const Thrown dice = thrown(doubtful, points, 1);
  for (std::size_t u = 0; u < upshot_count; ++u) {
    EXPECT_NEAR(mean[u], dice.mean[u], 4.0 * dice.deviation[u] / std::sqrt(points)) << u;
    const auto below = [&](double end) {
      const auto count =
          std::count_if(dice.all.begin(), dice.all.end(), [&](const Upshots& each) { return each[u] < end; });
      return static_cast<double>(count) / points;
    };
    const double error = std::sqrt(0.1 * 0.9 / points);
    EXPECT_NEAR(below(intervals[u].low), 0.1, 4.0 * error) << u;
    EXPECT_NEAR(below(intervals[u].high), 0.9, 4.0 * error) << u;
  }
}

// Off the mean of 32,768 points of another sample, 1,024 points of the sequence are closer than 1,024 throws: root mean square over
// eight samples of each, for every figure.
TEST(DoubtPoints, CloserThanAsManyThrows) {
  constexpr int points = 1024;
  constexpr unsigned samples = 8;
  const Doubtful& doubtful = harvest().doubtful;
  const Upshots truth = mean_of_points(doubtful, 32768, 99);
  Upshots off_points{}, off_dice{};
  for (unsigned sample = 1; sample <= samples; ++sample) {
    const Upshots sequence = mean_of_points(doubtful, points, sample), dice = thrown(doubtful, points, sample).mean;
    for (std::size_t u = 0; u < upshot_count; ++u) {
      off_points[u] += std::pow(sequence[u] - truth[u], 2);
      off_dice[u] += std::pow(dice[u] - truth[u], 2);
    }
  }
  for (std::size_t u = 0; u < upshot_count; ++u) {
    RecordProperty("ratio_" + std::to_string(u), std::to_string(std::sqrt(off_points[u] / off_dice[u])));
    EXPECT_LT(off_points[u], off_dice[u]) << u;
  }
}

// Jansen's estimators know no straight lines; the swings assume them. This forecast is nearly straight: they agree to a few hundredths,
// and first never exceeds total by more than the scatter.
TEST(DoubtIndices, AgreeWithStraightLines) {
  const Doubtful& doubtful = harvest().doubtful;
  const auto swings = swings_of(doubtful);
  std::vector<std::vector<std::size_t>> each, everything(1);
  for (std::size_t i = 0; i < doubtful.doubts.size(); ++i) {
    each.push_back({i});
    everything[0].push_back(i);
  }
  const Shares shares = shares_of(doubtful, each, 1024);
  for (std::size_t u = 0; u < upshot_count; ++u) {
    for (std::size_t i = 0; i < each.size(); ++i) {
      EXPECT_NEAR(shares.groups[i].first[u], swings[i].share[u], 0.06) << doubtful.doubts[i].name << u;
      EXPECT_LE(shares.groups[i].first[u], shares.groups[i].total[u] + 0.06) << doubtful.doubts[i].name << u;
    }
  }
  const Shares all = shares_of(doubtful, everything, 256);
  for (std::size_t u = 0; u < upshot_count; ++u) EXPECT_NEAR(all.groups[0].first[u], 1.0, 1e-9);
}

// What is promised comes true: with the inputs of a measuring known, the range is narrower by about as much.
TEST(DoubtIndices, MeasuringNarrowsAsPromised) {
  const Doubtful& doubtful = harvest().doubtful;
  const auto intervals = intervals_of(doubtful, 4096);
  const auto list = measurings_of(harvest().brief, doubtful, intervals);
  ASSERT_GE(list.size(), 3U);
  EXPECT_EQ(list[0].by, Gauging::hop_analysis);  // hops nobody has measured
  EXPECT_EQ(list[0].of, "home-dried hops");
  double least = list[0].worth;
  for (const Measuring& measuring : list) {
    EXPECT_LE(measuring.worth, least);
    least = measuring.worth;
  }
  // On average over what the measuring shows: known to lie at the middle of each quarter of its likelihood.
  for (const Measuring& measuring : {list[0], list[1]}) {
    Upshots variance{};
    for (double share : {0.125, 0.375, 0.625, 0.875}) {
      Doubtful known = doubtful;
      for (std::size_t i : measuring.doubts) {
        Doubt& doubt = known.doubts[i];
        const double value = Inverse(doubtful.doubts[i])(measuring.doubts.size() == 1 ? share : 0.5);
        doubt.low = doubt.usual = doubt.high = value;
        doubt.shape = Doubt::Shape::uniform;
        known.doubts[i].set(known.usual, value);
      }
      const auto left = intervals_of(known, 4096);
      for (std::size_t u = 0; u < upshot_count; ++u)
        variance[u] += 0.25 * std::pow((left[u].high - left[u].low) / (intervals[u].high - intervals[u].low), 2);
    }
    for (std::size_t u = 0; u < upshot_count; ++u)
      EXPECT_NEAR(std::sqrt(variance[u]), 1.0 - measuring.narrowing[u], 0.08) << u;
  }
}

// A scale's last digit counts where amounts are small, and never for the yeast.
TEST(DoubtInputs, SmallWeighingsAreDoubtful) {
  const Doubtful& doubtful = harvest().doubtful;
  std::size_t weighings = 0;
  for (const Doubt& doubt : doubtful.doubts) {
    if (doubt.topic != Topic::weighing) continue;
    ++weighings;
    EXPECT_EQ(doubt.low, -doubt.high);
    EXPECT_EQ(doubt.shape, Doubt::Shape::uniform);
    EXPECT_EQ(doubt.name.find("yeast"), std::string::npos) << doubt.name;
  }
  EXPECT_GE(weighings, 1U);  // the hops
  EXPECT_LT(weighings, doubtful.portions.size());
}

}  // namespace
}  // namespace oddgrist::compose

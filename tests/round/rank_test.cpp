// Places against published worked examples and formulas, and against what must not matter.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "round/codes.hpp"
#include "round/rank.hpp"
#include "round/tally.hpp"

namespace oddgrist::round {
namespace {

std::vector<Score> scores_of(const std::vector<std::vector<double>>& by_beer) {
  std::vector<Score> scores;
  for (std::size_t beer = 0; beer < by_beer.size(); ++beer) {
    for (std::size_t judge = 0; judge < by_beer[beer].size(); ++judge) {
      if (std::isfinite(by_beer[beer][judge])) scores.push_back({judge, beer, by_beer[beer][judge]});
    }
  }
  return scores;
}

const BeerPlace& of_beer(const Ranking& ranking, std::size_t beer) {
  return *std::find_if(ranking.beers.begin(), ranking.beers.end(), [&](const auto& p) { return p.beer == beer; });
}

const PairGap& gap_of(const Ranking& ranking, std::size_t a, std::size_t b) {
  return *std::find_if(ranking.pairs.begin(), ranking.pairs.end(), [&](const PairGap& pair) {
    return (pair.better == a && pair.worse == b) || (pair.better == b && pair.worse == a);
  });
}

// Snedecor and Cochran, Statistical Methods, randomized blocks: soybean seeds out of 100 that failed to emerge, five treatments in five
// blocks (from memory). Printed: error mean square 5.41 with 16 degrees of freedom; treatment means 10.8, 6.2, 8.2, 6.6, 5.8.
const std::vector<std::vector<double>> soybeans = {
    {8, 10, 12, 13, 11}, {2, 6, 7, 11, 5}, {4, 10, 9, 8, 10}, {3, 5, 9, 10, 6}, {9, 7, 5, 5, 3}};

TEST(Rank, SoybeansOfSnedecorAndCochran) {
  const Ranking ranking = rank_beers(scores_of(soybeans), 5, 5);
  EXPECT_EQ(ranking.freedom, 16U);
  EXPECT_NEAR(std::pow(*ranking.residual_sd, 2), 5.41, 0.005);
  const double means[] = {10.8, 6.2, 8.2, 6.6, 5.8};
  for (std::size_t beer = 0; beer < 5; ++beer) EXPECT_NEAR(of_beer(ranking, beer).adjusted, means[beer], 0.05);
  // Standard error of a difference of two means: sqrt(2 s^2 / blocks), printed as 1.47 (from memory).
  EXPECT_NEAR(*gap_of(ranking, 0, 4).standard_error, 1.47, 0.005);
}

// One plot missing. F. Yates, The analysis of replicated experiments when the field results are incomplete, Empire J. Exp. Agric. 1 (1933):
// the missing value is (t T + b B - G) / ((t - 1)(b - 1)); the variance of a difference with that treatment is
// s^2 (2/b + t / (b (b - 1)(t - 1))) (both from memory).
TEST(Rank, MissingPlotOfYates) {
  auto incomplete = soybeans;
  incomplete[1][3] = std::nan("");
  const Ranking ranking = rank_beers(scores_of(incomplete), 5, 5);
  const double t = 5, b = 5;
  const double treatment = 2 + 6 + 7 + 5, block = 13 + 8 + 10 + 5, grand = 188 - 11;
  const double missing = (t * treatment + b * block - grand) / ((t - 1) * (b - 1));
  EXPECT_EQ(ranking.freedom, 15U);
  EXPECT_NEAR(of_beer(ranking, 1).adjusted, (treatment + missing) / b, 1e-9);
  const double variance = std::pow(*ranking.residual_sd, 2);
  EXPECT_NEAR(*gap_of(ranking, 0, 1).standard_error, std::sqrt(variance * (2 / b + t / (b * (b - 1) * (t - 1)))), 1e-9);
  EXPECT_NEAR(*gap_of(ranking, 0, 2).standard_error, std::sqrt(variance * 2 / b), 1e-9);
}

// Balanced incomplete blocks, every pair of 4 beers by one judge each (k = 2, lambda = 1). F. Yates, Incomplete randomized blocks, Ann.
// Eugenics 7 (1936), from memory: the effect is k Q / (lambda t), Q the beer's total less the means of its blocks; the variance of a
// difference is 2 k s^2 / (lambda t).
TEST(Rank, BalancedIncompleteBlocksOfYates) {
  const double k = 2, lambda = 1, t = 4;
  const std::size_t pairs[6][2] = {{0, 1}, {0, 2}, {0, 3}, {1, 2}, {1, 3}, {2, 3}};
  const double values[6][2] = {{7, 5}, {6.5, 6}, {9, 4}, {5, 7.5}, {3, 4.5}, {8, 6}};
  std::vector<Score> scores;
  std::vector<double> adjusted_total(4, 0.0);
  for (std::size_t judge = 0; judge < 6; ++judge) {
    for (std::size_t i = 0; i < 2; ++i) {
      scores.push_back({judge, pairs[judge][i], values[judge][i]});
      adjusted_total[pairs[judge][i]] += values[judge][i] - (values[judge][0] + values[judge][1]) / k;
    }
  }
  const Ranking ranking = rank_beers(scores, 4, 6);
  for (std::size_t beer = 0; beer < 4; ++beer)
    EXPECT_NEAR(of_beer(ranking, beer).ahead, k * adjusted_total[beer] / (lambda * t), 1e-9);
  EXPECT_NEAR(*gap_of(ranking, 0, 3).standard_error,
              std::sqrt(2 * k * std::pow(*ranking.residual_sd, 2) / (lambda * t)), 1e-9);
}

// By hand from Holm's definition: 4 x 0.005, then 3 x 0.01, 2 x 0.03, and 0.04 held up to the one before it.
TEST(Rank, HolmsSteps) {
  const std::vector<double> adjusted = holm({0.01, 0.04, 0.03, 0.005});
  const double expected[] = {0.03, 0.06, 0.06, 0.02};
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(adjusted[i], expected[i], 1e-12);
  EXPECT_EQ(holm({0.9, 0.8}), (std::vector<double>{1.0, 1.0}));
}

// Two-sided 5 % point of t with 16 degrees of freedom: 2.120 (printed tables).
TEST(Rank, IntervalIsStudents) {
  const Ranking ranking = rank_beers(scores_of(soybeans), 5, 5);
  const BeerPlace& place = of_beer(ranking, 2);
  EXPECT_NEAR((*place.high - place.ahead) / *place.standard_error, 2.120, 0.0005);
}

std::vector<Score> random_scores(std::size_t beers, std::size_t judges) {
  std::vector<Score> scores;
  for (std::size_t judge = 0; judge < judges; ++judge) {
    for (std::size_t beer = 0; beer < beers; ++beer) {
      if (*rc::gen::inRange(0, 10) < 7) scores.push_back({judge, beer, 0.5 * *rc::gen::inRange(0, 21)});
    }
  }
  return scores;
}

void expect_alike(const Ranking& a, const Ranking& b, std::size_t beers) {
  RC_ASSERT(a.beers.size() == b.beers.size());
  RC_ASSERT(a.freedom == b.freedom);
  for (std::size_t beer = 0; beer < beers; ++beer) {
    if (std::none_of(a.beers.begin(), a.beers.end(), [&](const auto& p) { return p.beer == beer; })) continue;
    const BeerPlace &x = of_beer(a, beer), &y = of_beer(b, beer);
    RC_ASSERT(std::abs(x.ahead - y.ahead) < 1e-7);
    RC_ASSERT(x.standard_error.has_value() == y.standard_error.has_value());
    if (x.standard_error) RC_ASSERT(std::abs(*x.standard_error - *y.standard_error) < 1e-7);
  }
  for (const PairGap& pair : a.pairs)
    RC_ASSERT(std::abs(pair.chance - gap_of(b, pair.better, pair.worse).chance) < 1e-6);
}

// A judge who gives everything two marks less costs nobody anything.
RC_GTEST_PROP(RankProperty, SeverityOfAJudgeChangesNothing, ()) {
  const std::vector<Score> scores = random_scores(5, 4);
  RC_PRE(!scores.empty());
  std::vector<Score> shifted = scores;
  const std::size_t severe = *rc::gen::inRange<std::size_t>(0, 4);
  for (Score& score : shifted) score.value -= score.judge == severe ? 2.25 : 0.0;
  const Ranking before = rank_beers(scores, 5, 4), after = rank_beers(shifted, 5, 4);
  expect_alike(before, after, 5);
  for (const BeerPlace& place : before.beers) RC_ASSERT(of_beer(after, place.beer).place == place.place);
}

RC_GTEST_PROP(RankProperty, NumberingOfBeersAndJudgesChangesNothing, ()) {
  const std::vector<Score> scores = random_scores(5, 4);
  RC_PRE(!scores.empty());
  std::vector<Score> renamed = scores;
  for (Score& score : renamed) score = {3 - score.judge, 4 - score.beer, score.value};
  std::reverse(renamed.begin(), renamed.end());
  Ranking back = rank_beers(renamed, 5, 4);
  for (BeerPlace& place : back.beers) place.beer = 4 - place.beer;
  for (PairGap& pair : back.pairs) pair = {4 - pair.better, 4 - pair.worse, pair.gap, pair.standard_error, pair.chance};
  expect_alike(rank_beers(scores, 5, 4), back, 5);
}

RC_GTEST_PROP(RankProperty, PlacesFollowTheirRule, ()) {
  const std::vector<Score> scores = random_scores(6, 5);
  RC_PRE(!scores.empty());
  const Ranking ranking = rank_beers(scores, 6, 5);
  for (const PairGap& pair : ranking.pairs) {
    const BeerPlace &better = of_beer(ranking, pair.better), &worse = of_beer(ranking, pair.worse);
    RC_ASSERT(better.ahead >= worse.ahead);
    RC_ASSERT(better.place <= worse.place);
    if (pair.chance < ranking_level) RC_ASSERT(better.place < worse.place);
  }
  for (const BeerPlace& place : ranking.beers) RC_ASSERT(std::isfinite(place.adjusted));
}

// Two benches that share neither judge nor beer: no comparison between them.
TEST(Rank, SeparateBenchesAreSeparateGroups) {
  const Ranking ranking =
      rank_beers({{0, 0, 7}, {0, 1, 5}, {1, 0, 8}, {1, 1, 5}, {2, 2, 1}, {2, 3, 2}, {3, 2, 1}, {3, 3, 3}}, 4, 4);
  EXPECT_EQ(ranking.groups, 2U);
  EXPECT_EQ(ranking.pairs.size(), 2U);
  EXPECT_NE(of_beer(ranking, 0).group, of_beer(ranking, 2).group);
  EXPECT_NEAR(of_beer(ranking, 0).adjusted, 7.5, 1e-9);
  EXPECT_NEAR(of_beer(ranking, 3).adjusted, 2.5, 1e-9);
}

TEST(Rank, WithoutFreedomNobodyIsPlacedBeforeAnybody) {
  const Ranking ranking = rank_beers({{0, 0, 9}, {0, 1, 2}}, 2, 1);
  EXPECT_EQ(ranking.freedom, 0U);
  EXPECT_FALSE(ranking.residual_sd);
  for (const BeerPlace& place : ranking.beers) {
    EXPECT_EQ(place.place, 1);
    EXPECT_FALSE(place.low);
    EXPECT_EQ(place.alike.size(), 1U);
  }
}

// Judges who agree to the mark but for their severity leave no doubt at all.
TEST(Rank, PerfectAgreementTellsAllApart) {
  const Ranking ranking = rank_beers(scores_of({{5, 6, 3}, {7, 8, 5}, {4, 5, 2}}), 3, 3);
  EXPECT_EQ(of_beer(ranking, 1).place, 1);
  EXPECT_EQ(of_beer(ranking, 0).place, 2);
  EXPECT_EQ(of_beer(ranking, 2).place, 3);
  EXPECT_EQ(*ranking.residual_sd, 0.0);
}

TEST(Rank, NothingIsNoRanking) {
  const Ranking ranking = rank_beers({}, 3, 3);
  EXPECT_TRUE(ranking.beers.empty());
  EXPECT_EQ(ranking.unscored.size(), 3U);
}

Round small_round() {
  Round round;
  round.kits.emplace_back();
  for (const char* name : {"Ida", "Bea", "Cal", "Dot"}) {
    Member member;
    member.name = name;
    round.members.push_back(member);
  }
  round.guests = {"Nell"};
  round.drawn = std::vector<std::size_t>{1, 2, 3, 0};  // Ida brews Bea's, Bea Cal's, Cal Dot's, Dot Ida's
  return round;
}

Sheet sheet(std::size_t judge, std::string code, std::optional<double> mark, int line) {
  Sheet made;
  made.judge = judge;
  made.code = std::move(code);
  made.marks = {mark};
  made.place = Place{"r.toml", line, 1};
  return made;
}

TEST(Tally, OwnBeerOwnParcelUnknownCodeAndRepeatsAreLeftOutAndSaid) {
  Round round = small_round();
  const std::vector<std::string> codes = {"BCD", "FGH", "JKL", "MNP"};
  round.sheets = {sheet(0, "FGH", 7.0, 1), sheet(0, "BCD", 9.0, 2), sheet(0, "MNP", 9.0, 3),
                  sheet(4, "XXX", 5.0, 4), sheet(0, "FGH", 8.0, 5), sheet(1, "JKL", std::nullopt, 6),
                  sheet(4, "BCD", 4.0, 7)};
  const Tally tally = tally_of(round, codes);
  ASSERT_EQ(tally.scores.size(), 2U);
  EXPECT_EQ(tally.scores[0].value, 7.0);
  EXPECT_EQ(tally.scores[1].judge, 4U);
  ASSERT_EQ(tally.left_out.size(), 5U);
  const char* words[] = {"their own", "their own parcel", "no beer of this seed", "no mark", "twice"};
  for (const char* word : words) {
    EXPECT_TRUE(std::any_of(tally.left_out.begin(), tally.left_out.end(), [&](const LeftOut& left) {
      return left.what.find(word) != std::string::npos;
    })) << word;
  }
}

TEST(Tally, CriteriaCountByTheirWeight) {
  Round round = small_round();
  round.criteria = {{"gift", 3.0}, {"clean", 1.0}};
  Sheet whole = sheet(4, "", std::nullopt, 1), part = whole;
  whole.marks = {8.0, 4.0};
  part.brewer = 1;
  part.marks = {8.0, std::nullopt};
  round.sheets = {whole, part};
  const Tally tally = tally_of(round, {});
  ASSERT_EQ(tally.scores.size(), 1U);
  EXPECT_DOUBLE_EQ(tally.scores[0].value, 7.0);
  ASSERT_EQ(tally.left_out.size(), 1U);
  EXPECT_NE(tally.left_out[0].what.find("clean"), std::string::npos);
}

TEST(Codes, DifferInTwoLettersAndHideTheOrder) {
  Round round;
  for (int i = 0; i < 200; ++i) {
    Member member;
    member.name = "m" + std::to_string(i);
    round.members.push_back(member);
  }
  const std::vector<std::string> codes = codes_of(round, 3);
  for (std::size_t i = 0; i < codes.size(); ++i) {
    EXPECT_EQ(codes[i].find_first_of("AEIOUY"), std::string::npos);
    for (std::size_t j = 0; j < i; ++j) {
      int differing = 0;
      for (std::size_t k = 0; k < 3; ++k) differing += codes[i][k] != codes[j][k] ? 1 : 0;
      EXPECT_GE(differing, 2);
    }
  }
  EXPECT_EQ(codes_of(round, 3), codes);
  EXPECT_NE(codes_of(round, 4), codes);
}

TEST(Codes, NobodyTastesTheirOwn) {
  const Round round = small_round();
  for (std::size_t judge = 0; judge < judge_count(round); ++judge) {
    const auto order = tasting_order(round, judge, 9);
    EXPECT_EQ(order.size(), judge < 4 ? 2U : 4U);
    for (std::size_t beer : order) {
      EXPECT_NE(beer, judge);
      EXPECT_NE((*round.drawn)[beer], judge);
    }
  }
}

}  // namespace
}  // namespace oddgrist::round

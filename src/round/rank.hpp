// Places for beers from judges who differ in severity and have not all tasted everything.
//
// Model: score = level + judge + beer + error, fitted by least squares: the two-way additive layout with unequal numbers (F. Yates, The
// analysis of multiple classifications with unequal numbers in the different classes, J. Am. Stat. Assoc. 29, 1934; H. Scheffe, The
// Analysis of Variance, 1959, chapter 4; both from memory). So a severe judge costs no beer anything, whoever tasted it. Errors are taken
// as independent and of one size for all judges; a mark near either end of the scale breaks that somewhat.
// Two beers are told apart by the t test of their difference, all pairs at once held to 5 % by Holm's steps (S. Holm, A simple
// sequentially rejective multiple test procedure, Scand. J. Statist. 6, 1979; from memory).
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace oddgrist::round {

struct Score {
  std::size_t judge = 0;
  std::size_t beer = 0;
  double value = 0.0;
};

inline constexpr double ranking_level =
    0.05;  // chance that any two alike beers are told apart, over all pairs together

struct BeerPlace {
  std::size_t beer = 0;
  std::size_t group = 0;   // beers of different groups were tasted by different judges and cannot be compared
  int place = 1;           // within the group; shared by beers that are not told apart (rule: see rank_beers)
  std::size_t scores = 0;  // sheets it rests on
  double adjusted = 0.0;   // what all judges of the group would have given it on average
  double ahead = 0.0;      // above the mean of the group's beers
  std::optional<double> standard_error;  // of `ahead`; none if the scores are too few to know
  std::optional<double> low, high;       // 95 % interval of `ahead`, for this beer alone
  std::vector<std::size_t> alike;        // beers of the group not told apart from it
};

struct JudgeLean {
  std::size_t judge = 0;
  double lean = 0.0;  // above the mean of the group's judges, for the same beer
  std::size_t scores = 0;
};

struct PairGap {
  std::size_t better = 0, worse = 0;
  double gap = 0.0;
  std::optional<double> standard_error;
  double chance = 1.0;  // Holm's p: so likely would a gap like this be between beers that are alike
};

struct Ranking {
  std::vector<BeerPlace> beers;  // group by group, best first
  std::vector<JudgeLean> judges;
  std::vector<PairGap> pairs;
  std::size_t groups = 0;
  std::size_t freedom = 0;            // scores less the numbers fitted
  std::optional<double> residual_sd;  // how far a score lies from judge plus beer; none without freedom
  std::vector<std::size_t> unscored;  // beers nobody's sheet counts for
};

// A beer loses a place to every beer that is clearly better (Holm's p below `level`); a beer that stands lower is never placed before one
// that stands higher. So beers share a place when the scores cannot tell them apart.
[[nodiscard]] Ranking rank_beers(const std::vector<Score>& scores, std::size_t beers, std::size_t judges,
                                 double level = ranking_level);

// Holm's adjusted p values, in the order of `chances`.
[[nodiscard]] std::vector<double> holm(const std::vector<double>& chances);

}  // namespace oddgrist::round

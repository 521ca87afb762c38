#include "round/rank.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <Eigen/Dense>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/connected_components.hpp>
#include <boost/math/distributions/students_t.hpp>

namespace oddgrist::round {
namespace {

// The fitted layout. Columns: judges, then beers. Of its many solutions the one of least norm; only contrasts within a group mean anything.
struct Fit {
  std::size_t judges = 0;
  Eigen::VectorXd effect;
  Eigen::MatrixXd inverse;  // generalised inverse of the normal equations
  double variance = 0.0;    // of one score
  std::size_t freedom = 0;
  double scale = 1.0;  // size of the scores, to tell a difference from rounding

  [[nodiscard]] double variance_of(const Eigen::VectorXd& contrast) const {
    return variance * std::max(0.0, contrast.dot(inverse * contrast));
  }
};

// Who is connected with whom through sheets: group numbers of judges, then beers.
std::vector<std::size_t> groups_of(const std::vector<Score>& scores, std::size_t beers, std::size_t judges) {
  boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS> graph(judges + beers);
  for (const Score& score : scores) boost::add_edge(score.judge, judges + score.beer, graph);
  std::vector<std::size_t> group(judges + beers, 0);
  if (!group.empty()) boost::connected_components(graph, group.data());
  return group;
}

Fit fit(const std::vector<Score>& scores, std::size_t beers, std::size_t judges) {
  const auto rows = static_cast<Eigen::Index>(scores.size());
  Eigen::MatrixXd layout = Eigen::MatrixXd::Zero(rows, static_cast<Eigen::Index>(judges + beers));
  Eigen::VectorXd value(rows);
  for (Eigen::Index i = 0; i < rows; ++i) {
    const Score& score = scores[static_cast<std::size_t>(i)];
    layout(i, static_cast<Eigen::Index>(score.judge)) = 1.0;
    layout(i, static_cast<Eigen::Index>(judges + score.beer)) = 1.0;
    value(i) = score.value;
  }
  Fit fit;
  fit.judges = judges;
  const Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd> normal(layout.transpose() * layout);
  fit.inverse = normal.pseudoInverse();
  fit.effect = fit.inverse * (layout.transpose() * value);
  fit.freedom = scores.size() - static_cast<std::size_t>(normal.rank());
  fit.scale = std::max(1.0, value.cwiseAbs().maxCoeff());
  const Eigen::VectorXd rest = value - layout * fit.effect;
  const double negligible = 1e-10 * fit.scale;
  if (fit.freedom > 0 && rest.norm() > negligible * std::sqrt(static_cast<double>(rows)))
    fit.variance = rest.squaredNorm() / static_cast<double>(fit.freedom);
  return fit;
}

double chance_of(double gap, double standard_error, const Fit& fit) {
  if (fit.freedom == 0) return 1.0;
  if (!(standard_error > 0.0)) return std::abs(gap) > 1e-8 * fit.scale ? 0.0 : 1.0;
  const boost::math::students_t spread(static_cast<double>(fit.freedom));
  return 2.0 * boost::math::cdf(boost::math::complement(spread, std::abs(gap) / standard_error));
}

// The mean of some columns, as a contrast.
Eigen::VectorXd mean_of(const std::vector<std::size_t>& columns, Eigen::Index size) {
  Eigen::VectorXd mean = Eigen::VectorXd::Zero(size);
  for (std::size_t column : columns)
    mean(static_cast<Eigen::Index>(column)) = 1.0 / static_cast<double>(columns.size());
  return mean;
}

void place_group(const Fit& fit, const std::vector<std::size_t>& beers, const std::vector<std::size_t>& judges,
                 Ranking& ranking) {
  const Eigen::Index size = fit.effect.size();
  std::vector<std::size_t> columns;
  columns.reserve(beers.size());
  for (std::size_t beer : beers) columns.push_back(fit.judges + beer);
  const Eigen::VectorXd field = mean_of(columns, size), bench = mean_of(judges, size);
  const double level = (field + bench).dot(fit.effect);
  for (std::size_t beer : beers) {
    Eigen::VectorXd contrast = -field;
    contrast(static_cast<Eigen::Index>(fit.judges + beer)) += 1.0;
    BeerPlace place;
    place.beer = beer;
    place.group = ranking.groups;
    place.ahead = contrast.dot(fit.effect);
    place.adjusted = level + place.ahead;
    if (fit.freedom > 0) {
      place.standard_error = std::sqrt(fit.variance_of(contrast));
      const boost::math::students_t spread(static_cast<double>(fit.freedom));
      const double reach = boost::math::quantile(spread, 0.975) * *place.standard_error;
      place.low = place.ahead - reach;
      place.high = place.ahead + reach;
    }
    ranking.beers.push_back(std::move(place));
  }
  for (std::size_t judge : judges) {
    ranking.judges.push_back({judge, fit.effect(static_cast<Eigen::Index>(judge)) - bench.dot(fit.effect), 0});
  }
  ++ranking.groups;
}

void compare_pairs(const Fit& fit, Ranking& ranking) {
  std::vector<double> chances;
  for (std::size_t i = 0; i < ranking.beers.size(); ++i) {
    for (std::size_t j = i + 1; j < ranking.beers.size(); ++j) {
      const BeerPlace &better = ranking.beers[i], &worse = ranking.beers[j];
      if (better.group != worse.group) continue;
      Eigen::VectorXd contrast = Eigen::VectorXd::Zero(fit.effect.size());
      contrast(static_cast<Eigen::Index>(fit.judges + better.beer)) = 1.0;
      contrast(static_cast<Eigen::Index>(fit.judges + worse.beer)) = -1.0;
      PairGap pair{better.beer, worse.beer, better.ahead - worse.ahead, std::nullopt, 1.0};
      const double standard_error = std::sqrt(fit.variance_of(contrast));
      if (fit.freedom > 0) pair.standard_error = standard_error;
      chances.push_back(chance_of(pair.gap, standard_error, fit));
      ranking.pairs.push_back(pair);
    }
  }
  const std::vector<double> adjusted = holm(chances);
  for (std::size_t i = 0; i < adjusted.size(); ++i) ranking.pairs[i].chance = adjusted[i];
}

// `beers` stand best first within their group.
void give_places(double level, Ranking& ranking) {
  const auto place_of = [&](std::size_t beer) {
    return std::find_if(ranking.beers.begin(), ranking.beers.end(), [&](const auto& p) { return p.beer == beer; });
  };
  for (const PairGap& pair : ranking.pairs) {
    const auto better = place_of(pair.better), worse = place_of(pair.worse);
    if (pair.chance < level) {
      ++worse->place;
    } else {
      better->alike.push_back(pair.worse);
      worse->alike.push_back(pair.better);
    }
  }
  for (std::size_t i = 1; i < ranking.beers.size(); ++i) {
    if (ranking.beers[i].group == ranking.beers[i - 1].group)
      ranking.beers[i].place = std::max(ranking.beers[i].place, ranking.beers[i - 1].place);
  }
}

}  // namespace

std::vector<double> holm(const std::vector<double>& chances) {
  std::vector<std::size_t> order(chances.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return chances[a] < chances[b]; });
  std::vector<double> adjusted(chances.size());
  double floor = 0.0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    floor = std::max(floor, std::min(1.0, static_cast<double>(order.size() - i) * chances[order[i]]));
    adjusted[order[i]] = floor;
  }
  return adjusted;
}

Ranking rank_beers(const std::vector<Score>& scores, std::size_t beers, std::size_t judges, double level) {
  Ranking ranking;
  std::vector<std::size_t> of_beer(beers, 0), of_judge(judges, 0);
  for (const Score& score : scores) {
    ++of_beer[score.beer];
    ++of_judge[score.judge];
  }
  for (std::size_t beer = 0; beer < beers; ++beer) {
    if (of_beer[beer] == 0) ranking.unscored.push_back(beer);
  }
  if (scores.empty()) return ranking;
  const Fit fitted = fit(scores, beers, judges);
  const std::vector<std::size_t> group = groups_of(scores, beers, judges);
  const std::size_t group_count = *std::max_element(group.begin(), group.end()) + 1;
  for (std::size_t g = 0; g < group_count; ++g) {
    std::vector<std::size_t> its_beers, its_judges;
    for (std::size_t beer = 0; beer < beers; ++beer) {
      if (of_beer[beer] > 0 && group[judges + beer] == g) its_beers.push_back(beer);
    }
    for (std::size_t judge = 0; judge < judges; ++judge) {
      if (of_judge[judge] > 0 && group[judge] == g) its_judges.push_back(judge);
    }
    if (!its_beers.empty()) place_group(fitted, its_beers, its_judges, ranking);
  }
  for (BeerPlace& place : ranking.beers) place.scores = of_beer[place.beer];
  for (JudgeLean& judge : ranking.judges) judge.scores = of_judge[judge.judge];
  std::stable_sort(ranking.beers.begin(), ranking.beers.end(), [](const BeerPlace& a, const BeerPlace& b) {
    return a.group != b.group ? a.group < b.group : a.ahead > b.ahead;
  });
  ranking.freedom = fitted.freedom;
  if (fitted.freedom > 0) ranking.residual_sd = std::sqrt(fitted.variance);
  compare_pairs(fitted, ranking);
  give_places(level, ranking);
  return ranking;
}

}  // namespace oddgrist::round

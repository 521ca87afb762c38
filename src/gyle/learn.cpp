#include "gyle/learn.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <boost/math/distributions/chi_squared.hpp>

#include "gyle/learn_figures.hpp"

namespace oddgrist::gyle {
namespace {

using namespace learning;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// Pulls towards what was believed before the first gyle.
void forget(KitKnowledge& knowledge) {
  const double kept = knowledge.surprised ? kept_when_surprised : kept_a_gyle;
  VectorXd first(size_of(knowledge));
  for (Index k = 0; k < first.size(); ++k) first[k] = 1.0 / own_variance(figure(knowledge, k));
  const MatrixXd known = knowledge.covariance.inverse();
  MatrixXd left = kept * known;
  left.diagonal() += (1.0 - kept) * first;
  knowledge.covariance = left.inverse();
  // Surprise widens the belief about where it is: it says nothing for the figures first stated.
  if (!knowledge.surprised) knowledge.mean = knowledge.covariance * (kept * (known * knowledge.mean));
}

// What a gyle says of the kit's own figures: the log likelihood is h'x - x'Ix/2.
struct Said {
  MatrixXd information;
  VectorXd pull;
};

Said said_of(const KitKnowledge& knowledge, const Brewing& brewing, const Belief& belief) {
  std::vector<Index> places, figures;
  for (std::size_t i = 0; i < brewing.inputs.size(); ++i) {
    if (!is_learned(brewing.inputs[i].doubt.topic)) continue;
    places.push_back(static_cast<Index>(i));
    figures.push_back(place_of(knowledge, brewing.inputs[i].doubt.name));
  }
  const auto count = static_cast<Index>(places.size());
  MatrixXd covariance(count, count);
  VectorXd mean(count), day(count);
  for (Index a = 0; a < count; ++a) {
    const Index from = places[static_cast<std::size_t>(a)];
    mean[a] = belief.z[from];
    day[a] = figure(knowledge, figures[static_cast<std::size_t>(a)]).day_share;
    for (Index b = 0; b < count; ++b) covariance(a, b) = belief.covariance(from, places[static_cast<std::size_t>(b)]);
  }
  const MatrixXd posterior = covariance.inverse();
  MatrixXd information = posterior - MatrixXd::Identity(count, count);
  VectorXd pull = posterior * mean;
  // Blurred by the day's scatter: (I^-1 + D)^-1, which also holds where I cannot be inverted.
  const MatrixXd blur = (MatrixXd::Identity(count, count) + information * day.asDiagonal()).inverse();
  information = blur * information;
  pull = blur * pull;
  Said said{MatrixXd::Zero(size_of(knowledge), size_of(knowledge)), VectorXd::Zero(size_of(knowledge))};
  for (Index a = 0; a < count; ++a) {
    said.pull[figures[static_cast<std::size_t>(a)]] = pull[a];
    for (Index b = 0; b < count; ++b)
      said.information(figures[static_cast<std::size_t>(a)], figures[static_cast<std::size_t>(b)]) =
          0.5 * (information(a, b) + information(b, a));
  }
  return said;
}

// Squared distance from what was believed, in its deviations, and over how many directions.
std::pair<double, int> distance(const KitKnowledge& knowledge, const Said& said) {
  constexpr double says_something = 1e-2;
  const Eigen::SelfAdjointEigenSolver<MatrixXd> parts(said.information);
  std::vector<Index> saying;
  for (Index i = 0; i < parts.eigenvalues().size(); ++i) {
    if (parts.eigenvalues()[i] > says_something) saying.push_back(i);
  }
  const auto count = static_cast<Index>(saying.size());
  if (count == 0) return {0.0, 0};
  MatrixXd ways(said.pull.size(), count);
  VectorXd strength(count);
  for (Index i = 0; i < count; ++i) {
    ways.col(i) = parts.eigenvectors().col(saying[static_cast<std::size_t>(i)]);
    strength[i] = parts.eigenvalues()[saying[static_cast<std::size_t>(i)]];
  }
  const VectorXd off = (ways.transpose() * said.pull).cwiseQuotient(strength) - ways.transpose() * knowledge.mean;
  MatrixXd spread = ways.transpose() * knowledge.covariance * ways;
  spread.diagonal() += strength.cwiseInverse();
  return {off.dot(spread.ldlt().solve(off)), static_cast<int>(count)};
}

void take(KitKnowledge& knowledge, const Said& said) {
  const auto [squared, directions] = distance(knowledge, said);
  if (directions == 0) return;
  for (Index k = 0; k < size_of(knowledge); ++k) {
    const double alone = said.information(k, k) * own_variance(figure(knowledge, k));
    if (alone / (1.0 + alone) >= tells_from) figure(knowledge, k).gyles += 1;
  }
  const double weight = std::min(1.0, (learn_freedom + directions) / (learn_freedom + squared));
  const MatrixXd before = knowledge.covariance.inverse();
  const MatrixXd after = before + weight * said.information;
  const VectorXd pull = before * knowledge.mean + weight * said.pull;
  knowledge.covariance = after.inverse();
  knowledge.covariance = (0.5 * (knowledge.covariance + knowledge.covariance.transpose())).eval();
  knowledge.mean = knowledge.covariance * pull;
  knowledge.surprised = squared > boost::math::quantile(boost::math::chi_squared(directions), surprise_beyond);
  if (knowledge.surprised) knowledge.strange.push_back(knowledge.gyles);
}

}  // namespace

void learn(KitKnowledge& knowledge, const PastGyle& gyle) {
  const compose::Brief brief = on_a_new_kit(*gyle.brief);
  const Brewing brewing = brewing_of(brief, *gyle.state);
  const Belief belief = belief_of(brewing, gyle.state->readings);
  const bool told = std::any_of(belief.readings.begin(), belief.readings.end(),
                                [](const Judged& judged) { return judged.seen && !judged.questioned; });
  const auto cooled = cooling_seen(brewing.hop_course, *gyle.state);
  if (!told && !cooled) return;
  restate(knowledge, gyle.brief->kit);
  if (knowledge.gyles > 0) forget(knowledge);
  if (knowledge.gyles > 0) forget(knowledge.cooling, kept_a_gyle);
  knowledge.gyles += 1;
  knowledge.surprised = false;
  std::vector<KitFigure> stated = figures_for(gyle.brief->kit);
  for (const Input& input : brewing.inputs) {
    if (input.doubt.group != "kit" && is_learned(input.doubt.topic)) stated.push_back(figure_for(input.doubt));
  }
  for (const KitFigure& each : stated) {
    const Index k = place_of(knowledge, each.reference.doubt.name);
    if (k < 0) {
      add_figure(knowledge, each);
    } else {
      refer_to(knowledge, k, each);
    }
  }
  take(knowledge, said_of(knowledge, brewing, belief));
  if (cooled) learn(knowledge.cooling, *cooled);
}

KitKnowledge learned_from(std::span<const PastGyle> gyles) {
  KitKnowledge knowledge;
  for (const PastGyle& gyle : gyles) {
    knowledge.kit = gyle.brief->kit.name;
    learn(knowledge, gyle);
  }
  return knowledge;
}

}  // namespace oddgrist::gyle

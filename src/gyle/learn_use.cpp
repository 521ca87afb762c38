#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include <Eigen/Cholesky>

#include "gyle/learn_figures.hpp"

namespace oddgrist::gyle {
namespace {

using namespace learning;
using compose::Topic;
using Eigen::MatrixXd;
using Eigen::VectorXd;

void put(process::Kit& kit, Topic topic, double value) {
  switch (topic) {
    case Topic::conversion: kit.conversion = value * ratio; return;
    case Topic::boil_off: kit.boil_off = value * litre_per_hour; return;
    case Topic::grain_hold: kit.held_by_grain = value * litre_per_kilogram; return;
    case Topic::trub_hold: kit.held_by_hops = value * litre_per_kilogram; return;
    case Topic::kettle_loss: kit.kettle_loss = value * litre; return;
    case Topic::lees: kit.fermenter_loss = value * litre; return;
    default: return;
  }
}

void put(larder::Ingredient& yeast, const std::string& doubt, double value) {
  if (!yeast.yeast || !doubt.ends_with(" of " + yeast.name)) return;
  (doubt.starts_with("dextrin") ? yeast.yeast->dextrin_uptake : yeast.yeast->maltotriose_uptake) = value;
}

// Kit, scale and jug, yeasts: a brief need not have the yeast, and then it pulls nothing.
std::vector<Index> in_order(const KitKnowledge& knowledge) {
  std::vector<Index> order;
  for (const int rank : {0, 1, 2}) {
    for (Index k = 0; k < size_of(knowledge); ++k) {
      const KitFigure& of = figure(knowledge, k);
      const int own = is_measure(of.reference.doubt.topic) ? 1 : of.yeast.empty() ? 0 : 2;
      if (own == rank) order.push_back(k);
    }
  }
  return order;
}

// What to reckon the others with where scale and jug are taken to be right, z.
VectorXd reckoned_mean(const KitKnowledge& knowledge) {
  std::vector<Index> measures;
  for (Index k = 0; k < size_of(knowledge); ++k) {
    if (is_measure(figure(knowledge, k).reference.doubt.topic)) measures.push_back(k);
  }
  const auto count = static_cast<Index>(measures.size());
  MatrixXd with(size_of(knowledge), count), among(count, count);
  VectorXd off(count);
  for (Index a = 0; a < count; ++a) {
    const Index k = measures[static_cast<std::size_t>(a)];
    with.col(a) = knowledge.covariance.col(k);
    off[a] = knowledge.mean[k];
  }
  for (Index a = 0; a < count; ++a) among.row(a) = with.row(measures[static_cast<std::size_t>(a)]);
  if (count == 0) return knowledge.mean;
  return knowledge.mean - with * among.ldlt().solve(off);
}

struct Candidate {
  Told told;
  Sight sight;
  Stage stage;
};
constexpr std::array candidates = {
    Candidate{Told::pre_boil_volume, Sight::volume, Stage::before_boil},
    Candidate{Told::pre_boil_gravity, Sight::gravity, Stage::before_boil},
    Candidate{Told::post_boil_volume, Sight::volume, Stage::after_boil},
    Candidate{Told::post_boil_gravity, Sight::gravity, Stage::after_boil},
    Candidate{Told::fermenter_volume, Sight::volume, Stage::fermenter},
    Candidate{Told::original_gravity, Sight::gravity, Stage::fermenter},
    Candidate{Told::final_gravity, Sight::gravity, Stage::package},
};

LearnedFigure cooling_figure(const Cooling& cooling) {
  const CoolingDay stated = stated_day(cooling), learned = coming_day(cooling);
  LearnedFigure figure{"cooling after the boil",
                       "min",
                       "",
                       stated.usual,
                       stated.low,
                       stated.high,
                       learned.usual,
                       learned.low,
                       learned.high,
                       0.0,
                       cooling.gyles,
                       cooling.let_go,
                       true};
  // A share of what it is, as the belief is: three times as long and as sure is no wider.
  figure.narrower = 1.0 - std::log(learned.high / learned.low) / std::log(stated.high / stated.low);
  return figure;
}

}  // namespace

std::vector<LearnedFigure> figures_of(const KitKnowledge& knowledge) {
  const VectorXd reckoned = reckoned_mean(knowledge);
  std::vector<LearnedFigure> figures;
  for (Index k = 0; k < size_of(knowledge); ++k) {
    const KitFigure& of = figure(knowledge, k);
    const Input& input = of.reference;
    const double mean = is_measure(input.doubt.topic) ? knowledge.mean[k] : reckoned[k];
    const double reach = z_of_90_percent * day_deviation(knowledge, k);
    LearnedFigure learned{input.doubt.name,
                          input.doubt.unit,
                          of.yeast,
                          input.doubt.usual,
                          input.value_at(-z_of_90_percent),
                          input.value_at(z_of_90_percent),
                          input.value_at(mean),
                          input.value_at(mean - reach),
                          input.value_at(mean + reach),
                          0.0,
                          of.gyles,
                          of.let_go,
                          !is_measure(input.doubt.topic)};
    learned.narrower = 1.0 - (learned.learned_high - learned.learned_low) / (learned.stated_high - learned.stated_low);
    figures.push_back(std::move(learned));
  }
  if (knowledge.cooling.stated_minutes > 0.0) figures.push_back(cooling_figure(knowledge.cooling));
  return figures;
}

compose::Brief with_learned(compose::Brief brief, KitKnowledge knowledge) {
  restate(knowledge, brief.kit);
  brief = on_a_new_kit(std::move(brief));
  if (knowledge.cooling.gyles > 0) brief.kit.flame_out_to_cold = coming_day(knowledge.cooling).usual * minute;
  const std::vector<Index> order = in_order(knowledge);
  const auto count = static_cast<Index>(order.size());
  if (count == 0) return brief;
  const VectorXd mean = reckoned_mean(knowledge);
  MatrixXd covariance(count, count);
  VectorXd slope(count);
  for (Index a = 0; a < count; ++a) {
    const Index k = order[static_cast<std::size_t>(a)];
    const KitFigure& of = figure(knowledge, k);
    const Input& input = of.reference;
    const double deviation = day_deviation(knowledge, k), value = input.value_at(mean[k]);
    slope[a] = (input.value_at(mean[k] + deviation) - input.value_at(mean[k] - deviation)) / (2.0 * deviation);
    for (Index b = 0; b < count; ++b) covariance(a, b) = knowledge.covariance(k, order[static_cast<std::size_t>(b)]);
    covariance(a, a) += of.day_share;
    if (of.gyles == 0) continue;  // stays as it is stated
    put(brief.kit, input.doubt.topic, value);
    for (auto* supplies : {&brief.given, &brief.have}) {
      for (compose::Supply& supply : *supplies) put(supply.ingredient, input.doubt.name, value);
    }
  }
  const MatrixXd root = (slope.asDiagonal() * covariance * slope.asDiagonal()).llt().matrixL();
  for (Index a = 0; a < count; ++a) {
    const KitFigure& of = figure(knowledge, order[static_cast<std::size_t>(a)]);
    compose::Learned learned{of.reference.doubt.name, root(a, a), of.gyles, {}};
    for (Index b = a + 1; b < count; ++b) {
      constexpr double too_little = 0.02;  // of the other's deviation
      const KitFigure& other = figure(knowledge, order[static_cast<std::size_t>(b)]);
      if (std::abs(root(b, a)) > too_little * root.row(b).norm())
        learned.pulls.push_back({other.reference.doubt.name, root(b, a) / root(a, a)});
    }
    std::erase_if(brief.learned, [&](const compose::Learned& first) { return first.doubt == learned.doubt; });
    brief.learned.push_back(std::move(learned));
  }
  return brief;
}

std::vector<UsefulReading> useful_readings(const compose::Brief& brief, const State& state,
                                           const KitKnowledge& knowledge) {
  const compose::Brief first = on_a_new_kit(brief);
  const Brewing brewing = brewing_of(first, state);
  VectorXd z = VectorXd::Zero(static_cast<Index>(brewing.inputs.size()));
  for (Index i = 0; i < z.size(); ++i) {
    const Index k = place_of(knowledge, brewing.inputs[static_cast<std::size_t>(i)].doubt.name);
    if (k >= 0) z[i] = knowledge.mean[k];
  }
  const Upcome usual = upcome_at(brewing, z);
  std::vector<VectorXd> own(candidates.size(), VectorXd::Zero(size_of(knowledge)));
  std::vector<double> noise(candidates.size());
  for (std::size_t c = 0; c < candidates.size(); ++c)
    noise[c] = std::pow(usual_deviation(candidates[c].sight, told_by(usual, candidates[c].told)), 2);
  for (Index i = 0; i < z.size(); ++i) {
    constexpr double step = 0.2;
    VectorXd moved = z;
    moved[i] = z[i] + step;
    const Upcome above = upcome_at(brewing, moved);
    moved[i] = z[i] - step;
    const Upcome below = upcome_at(brewing, moved);
    const compose::Doubt& doubt = brewing.inputs[static_cast<std::size_t>(i)].doubt;
    const Index k = place_of(knowledge, doubt.name);
    for (std::size_t c = 0; c < candidates.size(); ++c) {
      const double slope = (told_by(above, candidates[c].told) - told_by(below, candidates[c].told)) / (2.0 * step);
      if (k >= 0) own[c][k] = slope;
      noise[c] += slope * slope * (k >= 0 ? figure(knowledge, k).day_share : 1.0);
    }
  }
  const auto taken_off = [&](std::size_t c, Told target) {
    const auto t = static_cast<std::size_t>(
        std::find_if(candidates.begin(), candidates.end(), [&](const Candidate& each) { return each.told == target; }) -
        candidates.begin());
    const VectorXd seen = knowledge.covariance * own[c];
    const double all = own[t].dot(knowledge.covariance * own[t]);
    const double with = own[t].dot(seen);
    return all > 0.0 ? with * with / (own[c].dot(seen) + noise[c]) / all : 0.0;
  };
  std::vector<UsefulReading> useful;
  for (std::size_t c = 0; c < candidates.size(); ++c) {
    const double share = 0.5 * (taken_off(c, Told::original_gravity) + taken_off(c, Told::fermenter_volume));
    if (share >= 0.01) useful.push_back({candidates[c].sight, candidates[c].stage, share});
  }
  std::stable_sort(useful.begin(), useful.end(),
                   [](const auto& a, const auto& b) { return a.takes_off > b.takes_off; });
  return useful;
}

}  // namespace oddgrist::gyle

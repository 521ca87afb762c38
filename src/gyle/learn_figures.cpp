#include "gyle/learn_figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <utility>
#include <vector>

#include <boost/math/distributions/normal.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include "compose/doubt_inputs.hpp"
#include "compose/doubt_points.hpp"

namespace oddgrist::gyle {
namespace learning {
namespace {

using compose::Topic;

// How many times as wide as on an ordinary day a figure of a kit nobody has brewed on is. So the grain keeps from 0.4 to 0.8 of the usual
// 0.6 L/kg, squeezed or only drained; a boil drives off half as much again or as little; a coarse crush dissolves four fifths. Common
// practice, no source.
struct Wider {
  Topic topic;
  double times;
};
constexpr std::array new_kit = {Wider{Topic::conversion, 4.0}, Wider{Topic::boil_off, 3.0},
                                Wider{Topic::grain_hold, 1.6}, Wider{Topic::kettle_loss, 2.0},
                                Wider{Topic::trub_hold, 1.6},  Wider{Topic::lees, 2.0}};

// Of the ranges of a yeast's uptake, which holds strains, packets and days, and of scale and jug, which are mostly off by the same each
// time.
constexpr double other_day_share = 0.3;

double wider(Topic topic) {
  for (const Wider& each : new_kit) {
    if (each.topic == topic) return each.times;
  }
  return 1.0;
}

// Of an ordinary day, mishaps and all.
double day_variance(const compose::Doubt& stated) {
  static const boost::math::normal normal;
  constexpr int points = 256;
  const Input input = input_of(stated, false);
  double sum = 0.0, squares = 0.0;
  for (int i = 0; i < points; ++i) {
    const double off = input.value_at(boost::math::quantile(normal, (i + 0.5) / points)) - stated.usual;
    sum += off, squares += off * off;
  }
  return (squares - sum * sum / points) / points;
}

// Of the normal distribution to reckon the day's scatter with in a sum: added to something normal that is as wide, it has the same
// middle 80 %. A mishap's variance is nearly all in tails beyond; spread over the middle it would make every interval too wide.
double day_variance_in_a_sum(const compose::Doubt& stated) {
  static const boost::math::normal normal;
  constexpr int points = 32;
  const Input input = input_of(stated, false);
  std::vector<double> scatter;
  for (int i = 0; i < points; ++i)
    scatter.push_back(input.value_at(boost::math::quantile(normal, (i + 0.5) / points)) - stated.usual);
  const double variance = day_variance(stated), deviation = std::sqrt(variance);
  const auto reached_by = [&](double share) {
    const auto off = [&](double sum) {
      double below = 0.0;
      for (double each : scatter) below += boost::math::cdf(normal, (sum - each) / deviation);
      return below / points - share;
    };
    std::uintmax_t rounds = 40;
    constexpr int bits = 12;
    const double far = 10.0 * deviation;
    const auto [low, high] =
        boost::math::tools::toms748_solve(off, -far, far, boost::math::tools::eps_tolerance<double>(bits), rounds);
    return 0.5 * (low + high);
  };
  const double together = (reached_by(0.9) - reached_by(0.1)) / (2.0 * boost::math::quantile(normal, 0.9));
  return together * together - variance;
}

// The day's scatter on top of what makes a kit differ from the one stated.
compose::Learned first_of(const compose::Doubt& stated) {
  const double half = std::max(stated.usual - stated.low, stated.high - stated.usual), times = wider(stated.topic);
  const double own = (times * times - 1.0) * half * half / 6.0;
  return {stated.name, std::sqrt(own + day_variance(stated)), 0, {}};
}

compose::Doubt on_a_new_kit(compose::Doubt stated) {
  const std::vector<compose::Learned> first = {first_of(stated)};
  compose::Doubtful doubtful;
  doubtful.doubts.push_back(std::move(stated));
  compose::put_learned(doubtful, first);
  return doubtful.doubts.front();
}

// The z at which an input has this value; the value rises with z.
double z_at(const Input& input, double value) {
  double low = -12.0, high = 12.0;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (input.value_at(middle) < value ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

bool is_same(const Input& one, const Input& other) {
  const auto near = [&](double a, double b) { return std::abs(a - b) <= 1e-9 * (1.0 + std::abs(a)); };
  return near(one.doubt.low, other.doubt.low) && near(one.doubt.usual, other.doubt.usual) &&
         near(one.doubt.high, other.doubt.high);
}

// z of one input as z of another, straight about a point: a + b z.
struct Straight {
  double at_zero = 0.0, slope = 1.0;
};
Straight straight(const Input& from, const Input& to, double z, double deviation) {
  const double below = z_at(to, from.value_at(z - deviation)), above = z_at(to, from.value_at(z + deviation));
  const double slope = std::max(1e-6, (above - below) / (2.0 * deviation));
  return {0.5 * (above + below) - slope * z, slope};
}

void start_anew(KitKnowledge& knowledge, Index k) {
  knowledge.mean[k] = 0.0;
  knowledge.covariance.row(k).setZero();
  knowledge.covariance.col(k).setZero();
  knowledge.covariance(k, k) = own_variance(figure(knowledge, k));
}

std::vector<compose::Doubt> doubts_of(const process::Kit& kit) {
  compose::Doubtful doubtful;
  doubtful.usual.kit = kit;
  compose::add_kit_doubts(doubtful);
  std::erase_if(doubtful.doubts, [](const compose::Doubt& doubt) { return !is_learned(doubt.topic); });
  return std::move(doubtful.doubts);
}

bool other_vessel(Volume before, Volume now) { return std::abs(before.in(litre)-now.in(litre)) > 0.1 * now.in(litre); }

// Another vessel or way of mashing is another kit as far as these figures go.
bool hangs_on_change(Topic topic, const process::Kit& before, const process::Kit& now) {
  switch (topic) {
    case Topic::conversion:
    case Topic::grain_hold: return before.mash_method != now.mash_method;
    case Topic::boil_off:
    case Topic::kettle_loss:
    case Topic::trub_hold: return other_vessel(before.kettle, now.kettle);
    case Topic::lees: return other_vessel(before.fermenter, now.fermenter);
    default: return false;
  }
}

}  // namespace

bool is_learned(Topic topic) { return wider(topic) > 1.0 || topic == Topic::uptake || is_measure(topic); }
bool is_measure(Topic topic) { return topic == Topic::scale || topic == Topic::water_measure; }

Index place_of(const KitKnowledge& knowledge, const std::string& name) {
  const auto found = std::find_if(knowledge.figures.begin(), knowledge.figures.end(),
                                  [&](const KitFigure& each) { return each.reference.doubt.name == name; });
  return found == knowledge.figures.end() ? -1 : static_cast<Index>(found - knowledge.figures.begin());
}

double day_deviation(const KitKnowledge& knowledge, Index k) {
  return std::sqrt(knowledge.covariance(k, k) + figure(knowledge, k).day_share);
}

KitFigure figure_for(const compose::Doubt& stated) {
  KitFigure made;
  if (stated.topic == Topic::uptake || is_measure(stated.topic)) {
    made.reference = input_of(stated, false);
    made.day_share = other_day_share;
    if (stated.topic == Topic::uptake) made.yeast = stated.name.substr(stated.name.find(" of ") + 4);
    return made;
  }
  made.reference = input_of(on_a_new_kit(stated), true);
  made.day_share = std::min(0.9, day_variance_in_a_sum(stated) / compose::variance_of(made.reference.doubt));
  return made;
}

std::vector<KitFigure> figures_for(const process::Kit& kit) {
  std::vector<KitFigure> figures;
  for (const compose::Doubt& doubt : doubts_of(kit)) figures.push_back(figure_for(doubt));
  return figures;
}

void add_figure(KitKnowledge& knowledge, const KitFigure& added) {
  knowledge.figures.push_back(added);
  const Index count = size_of(knowledge);
  knowledge.mean.conservativeResize(count);
  knowledge.covariance.conservativeResize(count, count);
  start_anew(knowledge, count - 1);
}

void let_go(KitKnowledge& knowledge, Index k) {
  start_anew(knowledge, k);
  figure(knowledge, k).gyles = 0;
  figure(knowledge, k).let_go += 1;
}

void refer_to(KitKnowledge& knowledge, Index k, const KitFigure& stated) {
  KitFigure& here = figure(knowledge, k);
  if (is_same(here.reference, stated.reference)) return;
  const double deviation = day_deviation(knowledge, k);
  const double stated_z = z_at(here.reference, stated.reference.doubt.usual);
  const bool where_believed = here.gyles > 0 && std::abs(stated_z - knowledge.mean[k]) <= deviation;
  const Straight line = straight(here.reference, stated.reference, knowledge.mean[k], deviation);
  here.reference = stated.reference;
  here.day_share = stated.day_share;
  if (!where_believed) {
    if (here.gyles > 0) return let_go(knowledge, k);
    return start_anew(knowledge, k);
  }
  knowledge.mean[k] = line.at_zero + line.slope * knowledge.mean[k];
  knowledge.covariance.row(k) *= line.slope;
  knowledge.covariance.col(k) *= line.slope;
}

compose::Brief on_a_new_kit(compose::Brief brief) {
  brief.learned.clear();
  for (const compose::Doubt& doubt : doubts_of(brief.kit)) brief.learned.push_back(first_of(doubt));
  return brief;
}

}  // namespace learning

using namespace learning;

void restate(KitKnowledge& knowledge, const process::Kit& kit) {
  const process::Kit before = std::exchange(knowledge.stated, kit);
  const bool was_stated = knowledge.cooling.stated_minutes > 0.0;
  restate(knowledge.cooling, kit.flame_out_to_cold.in(minute), was_stated && other_vessel(before.kettle, kit.kettle));
  const std::vector<KitFigure> stated = figures_for(kit);
  for (Index k = 0; k < size_of(knowledge); ++k) {
    KitFigure& here = figure(knowledge, k);
    const compose::Doubt& doubt = here.reference.doubt;
    if (!here.yeast.empty() || is_measure(doubt.topic)) continue;
    const auto now = std::find_if(stated.begin(), stated.end(),
                                  [&](const KitFigure& each) { return each.reference.doubt.name == doubt.name; });
    if (now != stated.end()) refer_to(knowledge, k, *now);
    // Not among them: stated as nothing at all.
    const bool other_kit = now == stated.end() || hangs_on_change(doubt.topic, before, kit);
    if (here.gyles > 0 && other_kit) let_go(knowledge, k);
  }
}

}  // namespace oddgrist::gyle

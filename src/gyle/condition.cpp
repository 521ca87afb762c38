#include "gyle/condition.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include <Eigen/Cholesky>
#include <boost/math/distributions/normal.hpp>
#include <boost/random/sobol.hpp>

namespace oddgrist::gyle {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int most_rounds = 12;
constexpr double slope_step = 0.1, still = 1e-3;
constexpr double freedom = 4.0;          // of Student's t
constexpr double bear_out_within = 2.5;  // deviations
constexpr double wider = 5.0;

// The readings the forecast has a figure for.
struct Observed {
  std::vector<std::size_t> place;  // into Belief::readings
  VectorXd value, variance;
};

VectorXd told_at(const Brewing& brewing, const std::vector<Judged>& readings, const Observed& observed,
                 const VectorXd& z) {
  VectorXd told(observed.value.size());
  std::optional<std::size_t> additions;
  Upcome upcome;
  for (Index i = 0; i < told.size(); ++i) {
    const Judged& judged = readings[observed.place[static_cast<std::size_t>(i)]];
    if (additions != judged.taken.added_before) {
      additions = judged.taken.added_before;
      upcome = upcome_before(brewing, z, *additions);
    }
    told[i] = told_by(upcome, judged.seen->told);
  }
  return told;
}

MatrixXd slopes_at(const Brewing& brewing, const std::vector<Judged>& readings, const Observed& observed, VectorXd z) {
  MatrixXd slopes(observed.value.size(), z.size());
  for (Index k = 0; k < z.size(); ++k) {
    const double here = z[k];
    z[k] = here + slope_step;
    const VectorXd above = told_at(brewing, readings, observed, z);
    z[k] = here - slope_step;
    slopes.col(k) = (above - told_at(brewing, readings, observed, z)) / (2.0 * slope_step);
    z[k] = here;
  }
  return slopes;
}

// What reading i should show, given the others listed, as if the forecast were linear in z.
Expected expected_given(const MatrixXd& joint, const VectorXd& prior, const Observed& observed,
                        const std::vector<Index>& others, Index i) {
  const auto n = static_cast<Index>(others.size());
  if (n == 0) return {prior[i], std::sqrt(joint(i, i))};
  MatrixXd among(n, n);
  VectorXd with(n), off(n);
  for (Index a = 0; a < n; ++a) {
    const Index from = others[static_cast<std::size_t>(a)];
    for (Index b = 0; b < n; ++b) among(a, b) = joint(from, others[static_cast<std::size_t>(b)]);
    with[a] = joint(from, i);
    off[a] = observed.value[from] - prior[from];
  }
  const Eigen::LDLT<MatrixXd> solver(among);
  const double variance = joint(i, i) - with.dot(solver.solve(with));
  return {prior[i] + with.dot(solver.solve(off)), std::sqrt(std::max(variance, observed.variance[i]))};
}

double surprise(const Expected& expected, double value) {
  return std::abs(value - expected.value) / expected.deviation;
}

// Which readings are believed: the least surprising first, each given those believed before it; then pairs that bear each other out.
std::vector<bool> believed(const MatrixXd& joint, const VectorXd& prior, const Observed& observed) {
  const Index count = observed.value.size();
  std::vector<bool> in(static_cast<std::size_t>(count), false);
  std::vector<Index> list;
  const auto take = [&](Index i) {
    in[static_cast<std::size_t>(i)] = true;
    list.push_back(i);
  };
  const auto off = [&](const std::vector<Index>& others, Index i) {
    return surprise(expected_given(joint, prior, observed, others, i), observed.value[i]);
  };
  for (;;) {
    Index best = -1;
    double least = question_beyond;
    for (Index i = 0; i < count; ++i) {
      if (in[static_cast<std::size_t>(i)]) continue;
      const double here = off(list, i);
      if (here <= least) least = here, best = i;
    }
    if (best < 0) break;
    take(best);
  }
  // Whatever made one of them strange lies outside the prior: as if that were five times as wide, either must foretell the other.
  MatrixXd wide = joint * (wider * wider);
  wide.diagonal() -= observed.variance * (wider * wider - 1.0);
  const auto bears_out = [&](Index i, Index k) {
    auto with = list;
    with.push_back(i);
    const Expected alone = expected_given(wide, prior, observed, list, k);
    const Expected given = expected_given(wide, prior, observed, with, k);
    return given.deviation < 0.5 * alone.deviation && surprise(given, observed.value[k]) <= bear_out_within;
  };
  for (Index i = 0; i < count; ++i) {
    for (Index k = i + 1; k < count; ++k) {
      if (in[static_cast<std::size_t>(i)] || in[static_cast<std::size_t>(k)]) continue;
      if (!bears_out(i, k) || !bears_out(k, i)) continue;
      take(i);
      take(k);
    }
  }
  return in;
}

struct Mode {
  VectorXd z;
  MatrixXd covariance;
  VectorXd told;
  bool settled = false;
};

// Least of z'z/2 + sum (value - told(z))^2 / (2 variance).
Mode mode_of(const Brewing& brewing, const std::vector<Judged>& readings, const Observed& observed,
             const VectorXd& variance) {
  const auto inputs = static_cast<Index>(brewing.inputs.size());
  Mode mode{VectorXd::Zero(inputs), MatrixXd::Identity(inputs, inputs), {}, true};
  if (observed.value.size() == 0) return mode;
  const auto cost = [&](const VectorXd& z, const VectorXd& told) {
    return 0.5 * z.squaredNorm() + 0.5 * ((observed.value - told).array().square() / variance.array()).sum();
  };
  mode.told = told_at(brewing, readings, observed, mode.z);
  double now = cost(mode.z, mode.told);
  MatrixXd slopes;
  mode.settled = false;
  for (int round = 0; round < most_rounds && !mode.settled; ++round) {
    slopes = slopes_at(brewing, readings, observed, mode.z);
    const VectorXd aim = observed.value - mode.told + slopes * mode.z;
    MatrixXd among = slopes * slopes.transpose();
    among.diagonal() += variance;
    const VectorXd step = slopes.transpose() * among.ldlt().solve(aim) - mode.z;
    double share = 1.0;
    for (; share > 1e-3; share *= 0.5) {
      const VectorXd next = mode.z + share * step;
      const VectorXd told = told_at(brewing, readings, observed, next);
      const double there = cost(next, told);
      if (there > now + 1e-12) continue;
      mode.settled = (share * step).lpNorm<Eigen::Infinity>() < still || now - there < 1e-7 * (1.0 + now);
      mode.z = next, mode.told = told, now = there;
      break;
    }
    if (share <= 1e-3) mode.settled = step.lpNorm<Eigen::Infinity>() < 0.05;
    if (share <= 1e-3) break;
  }
  MatrixXd among = slopes * slopes.transpose();
  among.diagonal() += variance;
  mode.covariance -= slopes.transpose() * among.ldlt().solve(slopes);
  return mode;
}

double quantile_of_sorted(const std::vector<double>& sorted, double share) {
  const double place = share * static_cast<double>(sorted.size()) - 0.5;
  const auto below = static_cast<std::size_t>(std::clamp(place, 0.0, static_cast<double>(sorted.size() - 1)));
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return std::lerp(sorted[below], sorted[above], std::clamp(place - static_cast<double>(below), 0.0, 1.0));
}

VectorXd weighted_variance(const Belief& belief, const Observed& observed) {
  VectorXd variance = observed.variance;
  for (Index i = 0; i < variance.size(); ++i) {
    const Judged& judged = belief.readings[observed.place[static_cast<std::size_t>(i)]];
    // Of a questioned reading not even the instrument is trusted: it counts as if it scattered as widely as the forecast did.
    if (judged.questioned) variance[i] = judged.deviation * judged.deviation / judged.weight;
  }
  return variance;
}

Observed observed_of(const std::vector<Judged>& readings) {
  Observed observed;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (readings[i].seen) observed.place.push_back(i);
  }
  observed.value.resize(static_cast<Index>(observed.place.size()));
  observed.variance.resize(observed.value.size());
  for (Index i = 0; i < observed.value.size(); ++i) {
    const Seen& seen = *readings[observed.place[static_cast<std::size_t>(i)]].seen;
    observed.value[i] = seen.value;
    observed.variance[i] = seen.deviation * seen.deviation;
  }
  return observed;
}

void question(Judged& judged) {
  judged.questioned = true;
  judged.weight = (freedom + 1.0) / (freedom + judged.surprise * judged.surprise);
}

void judge(Belief& belief, const Observed& observed, const MatrixXd& joint, const VectorXd& prior) {
  const std::vector<bool> in = believed(joint, prior, observed);
  for (Index i = 0; i < observed.value.size(); ++i) {
    std::vector<Index> others;
    for (Index k = 0; k < observed.value.size(); ++k) {
      if (k != i && in[static_cast<std::size_t>(k)]) others.push_back(k);
    }
    Judged& judged = belief.readings[observed.place[static_cast<std::size_t>(i)]];
    const Expected expected = expected_given(joint, prior, observed, others, i);
    judged.expected = expected.value;
    judged.deviation = expected.deviation;
    judged.surprise = surprise(expected, observed.value[i]);
    if (!in[static_cast<std::size_t>(i)]) question(judged);
  }
}

void name_slips(const Brewing& brewing, Belief& belief) {
  const bool any = std::any_of(belief.readings.begin(), belief.readings.end(),
                               [](const Judged& judged) { return judged.questioned; });
  if (!any) return;
  const Outlook outlook = outlook_of(brewing, belief);
  for (Judged& judged : belief.readings) {
    if (!judged.questioned) continue;
    judged.slips = likely_slips(judged.taken, belief.known, [&](Told told) -> Expected {
      const compose::Estimate& estimate = outlook[static_cast<std::size_t>(told)];
      constexpr double deviations_in_80_percent = 2.563;
      const double own = judged.seen && judged.seen->told == told ? judged.seen->deviation : 0.0;
      const double spread = (estimate.high - estimate.low) / deviations_in_80_percent;
      return {estimate.value, std::max(1e-6, std::hypot(own, spread))};
    });
  }
}

}  // namespace

Belief prior_belief(const Brewing& brewing) {
  const auto inputs = static_cast<Index>(brewing.inputs.size());
  return {VectorXd::Zero(inputs), MatrixXd::Identity(inputs, inputs), {}, {}, true};
}

Belief belief_of(const Brewing& brewing, std::span<const Taken> readings) {
  Belief belief = prior_belief(brewing);
  const Upcome usual = upcome_at(brewing, belief.z);
  belief.known = {told_by(usual, Told::original_gravity), told_by(usual, Told::pre_boil_gravity),
                  told_by(usual, Told::post_boil_gravity)};
  // What is told by a refractometer in beer hangs on the original gravity: those readings are made sense of last.
  for (int pass = 0; pass < 2; ++pass) {
    belief.readings.clear();
    bool needs_gravity = false;
    for (const Taken& taken : readings) {
      const Sighting sighting = sighting_of(taken, belief.known);
      Judged judged{taken, sighting.seen, sighting.why, 0.0, 0.0, 0.0, 1.0, false, {}};
      judged.questioned = !sighting.seen && sighting.why == no_instrument;
      if (judged.questioned) judged.weight = 0.0;
      needs_gravity = needs_gravity || (taken.reading.sight == Sight::refraction && sighting.seen &&
                                        sighting.seen->told == Told::final_gravity);
      belief.readings.push_back(std::move(judged));
    }
    const Observed observed = observed_of(belief.readings);
    if (observed.value.size() > 0) {
      const VectorXd zero = VectorXd::Zero(belief.z.size());
      const VectorXd prior = told_at(brewing, belief.readings, observed, zero);
      const MatrixXd slopes = slopes_at(brewing, belief.readings, observed, zero);
      MatrixXd joint = slopes * slopes.transpose();
      joint.diagonal() += observed.variance;
      judge(belief, observed, joint, prior);
    }
    Mode mode = mode_of(brewing, belief.readings, observed, weighted_variance(belief, observed));
    // A believed reading that no inputs can explain is questioned after all.
    bool again = false;
    for (Index i = 0; i < observed.value.size(); ++i) {
      Judged& judged = belief.readings[observed.place[static_cast<std::size_t>(i)]];
      const double left = std::abs(observed.value[i] - mode.told[i]) / std::sqrt(observed.variance[i]);
      if (judged.questioned || left <= question_beyond) continue;
      judged.surprise = std::max(judged.surprise, left);
      question(judged);
      again = true;
    }
    if (again) mode = mode_of(brewing, belief.readings, observed, weighted_variance(belief, observed));
    belief.z = mode.z;
    belief.covariance = mode.covariance;
    belief.settled = mode.settled;
    if (!needs_gravity) break;
    belief.known.original_gravity_sg = told_by(upcome_at(brewing, belief.z), Told::original_gravity);
  }
  name_slips(brewing, belief);
  return belief;
}

std::vector<VectorXd> points_of(const Belief& belief, int count) {
  static const boost::math::normal normal;
  const Index inputs = belief.z.size();
  std::vector<VectorXd> points;
  if (inputs == 0) return std::vector<VectorXd>(static_cast<std::size_t>(count), belief.z);
  const MatrixXd root = belief.covariance.llt().matrixL();
  boost::random::sobol sequence(static_cast<std::size_t>(inputs));
  const double cells = static_cast<double>(boost::random::sobol::max()) + 1.0;
  VectorXd point(inputs);
  for (int i = 0; i < count; ++i) {
    for (Index k = 0; k < inputs; ++k)
      point[k] = boost::math::quantile(normal, (static_cast<double>(sequence()) + 0.5) / cells);
    points.emplace_back(belief.z + root * point);
  }
  return points;
}

Outlook outlook_of(const Brewing& brewing, const Belief& belief, int points) {
  std::array<std::vector<double>, told_count> seen;
  for (const VectorXd& point : points_of(belief, points)) {
    const Upcome upcome = upcome_at(brewing, point);
    for (std::size_t t = 0; t < seen.size(); ++t) seen[t].push_back(told_by(upcome, static_cast<Told>(t)));
  }
  Outlook outlook;
  for (std::size_t t = 0; t < seen.size(); ++t) {
    std::sort(seen[t].begin(), seen[t].end());
    outlook[t] = {quantile_of_sorted(seen[t], 0.5), quantile_of_sorted(seen[t], 0.1), quantile_of_sorted(seen[t], 0.9)};
  }
  return outlook;
}

Standing standing_of(const compose::Brief& brief, const State& state) {
  Standing standing;
  standing.state = state;
  const Brewing planned = brewing_as_planned(brief, state);
  standing.before = outlook_of(planned, prior_belief(planned));
  const Upcome reckoned = upcome_as_reckoned(planned);
  for (std::size_t t = 0; t < standing.before.size(); ++t) {
    compose::Estimate& estimate = standing.before[t];
    estimate.value = told_by(reckoned, static_cast<Told>(t));  // as the recipe has it
    estimate.low = std::min(estimate.low, estimate.value);
    estimate.high = std::max(estimate.high, estimate.value);
  }
  const Brewing brewing = brewing_of(brief, state);
  standing.belief = belief_of(brewing, state.readings);
  standing.now = outlook_of(brewing, standing.belief);
  return standing;
}

KitBelief kit_belief_of(const Brewing& brewing, const Belief& belief) {
  KitBelief kit;
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < brewing.inputs.size(); ++i) {
    const compose::Doubt& doubt = brewing.inputs[i].doubt;
    if (doubt.group != "kit") continue;
    places.push_back(i);
    kit.topics.push_back(doubt.topic);
    kit.names.push_back(doubt.name);
  }
  const auto count = static_cast<Index>(places.size());
  constexpr int points = 512;
  const auto sampled = [&](const Belief& of) {
    MatrixXd values(points, count);
    Index row = 0;
    for (const VectorXd& point : points_of(of, points)) {
      for (Index k = 0; k < count; ++k) {
        const std::size_t place = places[static_cast<std::size_t>(k)];
        values(row, k) = brewing.inputs[place].value_at(point[static_cast<Index>(place)]);
      }
      ++row;
    }
    return values;
  };
  const MatrixXd prior = sampled(prior_belief(brewing)), values = sampled(belief);
  kit.usual.resize(count);
  for (Index k = 0; k < count; ++k) kit.usual[k] = brewing.inputs[places[static_cast<std::size_t>(k)]].doubt.usual;
  kit.mean = values.colwise().mean();
  const MatrixXd off = values.rowwise() - kit.mean.transpose();
  kit.covariance = off.transpose() * off / static_cast<double>(points);
  const VectorXd prior_mean = prior.colwise().mean();
  const MatrixXd prior_off = prior.rowwise() - prior_mean.transpose();
  kit.prior_deviation = (prior_off.array().square().colwise().mean()).sqrt();
  return kit;
}

double log_posterior(const Brewing& brewing, const Belief& belief, const VectorXd& z) {
  const Observed observed = observed_of(belief.readings);
  double sum = -0.5 * z.squaredNorm();
  if (observed.value.size() == 0) return sum;
  const VectorXd told = told_at(brewing, belief.readings, observed, z);
  const VectorXd variance = weighted_variance(belief, observed);
  return sum - 0.5 * ((observed.value - told).array().square() / variance.array()).sum();
}

}  // namespace oddgrist::gyle

#include "gyle/watch_fit.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

#include <Eigen/Cholesky>
#include <Eigen/LU>

#include <boost/math/distributions/normal.hpp>
#include <boost/random/sobol.hpp>

#include "science/fermentation_kinetics.hpp"

namespace oddgrist::gyle {
namespace {

constexpr double last_hour = process::course_days * 24.0;
constexpr double freedom = 4.0;  // of the Student errors

double normal_share(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

// ---- Quasi-random standard normals

constexpr std::size_t dimensions = 7;  // up to four of a node, three of the gravities
using Normals = std::array<double, dimensions>;
constexpr std::size_t table_size = 2048;

const std::vector<Normals>& normals() {
  static const std::vector<Normals> table = [] {
    boost::random::sobol sequence(dimensions);
    const boost::math::normal standard;
    std::vector<Normals> rows(table_size);
    const double span = static_cast<double>(boost::random::sobol::max()) + 1.0;
    for (Normals& row : rows) {
      for (double& z : row) z = boost::math::quantile(standard, (static_cast<double>(sequence()) + 0.5) / span);
    }
    return rows;
  }();
  return table;
}

// ---- Nodes

using Place = Eigen::Matrix<double, 4, 1>;  // standard normal before any reading

std::size_t dimensions_of(FermentTale tale) {
  return tale == FermentTale::sound ? 2 : tale == FermentTale::stops_early ? 3 : 4;
}

struct Node {
  Place place = Place::Zero();
  double log_fit = 0.0;  // of the sightings, the gravities integrated out
  double log_weight = 0.0;
  Gravities mean = Gravities::Zero();
  Eigen::Matrix3d root = Eigen::Matrix3d::Zero();  // of their covariance
};

FermentDraw draw_of(const FermentScene& scene, FermentTale tale, const Place& place) {
  FermentDraw draw;
  draw.tale = tale;
  draw.pace = pace_of(place[0]);
  draw.lag_hours = lag_hours_of(place[1]);
  if (tale == FermentTale::stops_early) draw.stops_at = stops_at_of(place[2]);
  if (tale == FermentTale::goes_on) {
    draw.fall_per_hour = 0.001 / 24.0 * std::exp(0.7 * place[2]);
    draw.onset_hour = 72.0 + normal_share(place[3]) * std::max(scene.now_hour - 48.0, 24.0);
  }
  return draw;
}

// Gravity is linear in the start, the end and the dose: these are their factors.
Gravities factors_at(const FermentScene& scene, const FermentDraw& draw, double hour) {
  const double done = share_done(scene, draw, hour);
  Gravities factors(1.0 - done, done, 0.0);
  if (scene.dosed_hour && hour >= *scene.dosed_hour) {
    factors[2] = scene.dose_rise_sg - scene.dose_fall_sg * share_of_dose_done(scene, draw, hour);
  }
  return factors;
}

struct Prior {
  Eigen::Matrix3d precision;
  double log_determinant = 0.0;  // of the precision
};

// The likeliest gravities at a node by reweighted least squares, begun with all readings alike so that the many outvote the one;
// then the integral over them.
void fit_gravities(const FermentScene& scene, const Prior& prior, std::span<const FallSighting> sightings,
                   const FermentDraw& draw, Node& node) {
  const auto count = static_cast<Eigen::Index>(sightings.size());
  Eigen::Matrix<double, Eigen::Dynamic, 3> factors(count, 3);
  Eigen::VectorXd seen(count), weight(count);
  for (Eigen::Index i = 0; i < count; ++i) {
    const FallSighting& sighting = sightings[static_cast<std::size_t>(i)];
    Gravities row = factors_at(scene, draw, sighting.hour);
    row[0] -= sighting.per_start_sg;
    const double known = sighting.gravity_sg - sighting.per_start_sg * sighting.at_start_sg;
    factors.row(i) = row.transpose() / sighting.deviation_sg;
    seen[i] = (known + gone_on_sg(draw, sighting.hour)) / sighting.deviation_sg;
    weight[i] = 1.0;
  }
  Gravities best = scene.mean;
  Eigen::VectorXd miss(count);
  for (int round = 0; round < 6; ++round) {
    Eigen::Matrix3d matrix = prior.precision;
    Gravities right = prior.precision * scene.mean;
    for (Eigen::Index i = 0; i < count; ++i) {
      matrix += weight[i] * factors.row(i).transpose() * factors.row(i);
      right += weight[i] * seen[i] * factors.row(i).transpose();
    }
    best = matrix.llt().solve(right);
    miss = seen - factors * best;
    for (Eigen::Index i = 0; i < count; ++i) weight[i] = (freedom + 1.0) / (freedom + miss[i] * miss[i]);
  }
  Eigen::Matrix3d curvature = prior.precision;
  double log_fit = 0.0;
  for (Eigen::Index i = 0; i < count; ++i) {
    const double square = miss[i] * miss[i];
    const double bend = (freedom + 1.0) * (freedom - square) / ((freedom + square) * (freedom + square));
    curvature += std::max(bend, 0.0) * factors.row(i).transpose() * factors.row(i);
    log_fit -= 0.5 * (freedom + 1.0) * std::log1p(square / freedom);
  }
  const Gravities off = best - scene.mean;
  const Eigen::Matrix3d covariance = curvature.inverse();
  node.log_fit = log_fit - 0.5 * off.dot(prior.precision * off) +
                 0.5 * (prior.log_determinant - std::log(curvature.determinant()));
  node.mean = best;
  node.root = covariance.llt().matrixL();
}

// Where the nodes are laid: part as before any reading, part about where the last ones fitted.
struct Proposal {
  double moved_share = 0.0;
  Place centre = Place::Zero();
  Eigen::Matrix4d root = Eigen::Matrix4d::Identity();
  Eigen::Matrix4d root_inverse = Eigen::Matrix4d::Identity();
  double log_root = 0.0;

  // Density over the prior's.
  [[nodiscard]] double log_ratio(const Place& place, std::size_t used) const {
    if (moved_share == 0.0) return 0.0;
    const Place here = root_inverse * (place - centre);
    double before = 0.0, moved = 0.0;
    for (std::size_t d = 0; d < used; ++d) {
      before += place[static_cast<Eigen::Index>(d)] * place[static_cast<Eigen::Index>(d)];
      moved += here[static_cast<Eigen::Index>(d)] * here[static_cast<Eigen::Index>(d)];
    }
    const double log_moved = 0.5 * (before - moved) - log_root;
    return std::log(1.0 - moved_share + moved_share * std::exp(std::min(log_moved, 600.0)));
  }
};

double largest(const std::vector<Node>& nodes) {
  double most = -std::numeric_limits<double>::infinity();
  for (const Node& node : nodes) most = std::max(most, node.log_weight);
  return most;
}

double effective(const std::vector<Node>& nodes, double most, double power) {
  double sum = 0.0, squares = 0.0;
  for (const Node& node : nodes) {
    const double weight = std::exp(power * (node.log_weight - most));
    sum += weight;
    squares += weight * weight;
  }
  return sum * sum / squares;
}

// Weights are flattened until at least forty nodes have a say.
Proposal moved_to(const std::vector<Node>& nodes, std::size_t used) {
  const double most = largest(nodes);
  double power = 1.0;
  while (power > 0.01 && effective(nodes, most, power) < 40.0) power *= 0.7;
  Proposal proposal;
  proposal.moved_share = 0.85;
  double sum = 0.0;
  Place centre = Place::Zero();
  Eigen::Matrix4d spread = Eigen::Matrix4d::Zero();
  for (const Node& node : nodes) {
    const double weight = std::exp(power * (node.log_weight - most));
    sum += weight;
    centre += weight * node.place;
    spread += weight * node.place * node.place.transpose();
  }
  centre /= sum;
  spread = spread / sum - centre * centre.transpose();
  spread = 1.5 * spread + 1e-4 * Eigen::Matrix4d::Identity();
  for (Eigen::Index d = static_cast<Eigen::Index>(used); d < 4; ++d) {
    centre[d] = 0.0;
    spread.row(d).setZero();
    spread.col(d).setZero();
    spread(d, d) = 1.0;
  }
  proposal.centre = centre;
  proposal.root = spread.llt().matrixL();
  proposal.root_inverse = proposal.root.inverse();
  proposal.log_root = proposal.root.diagonal().array().log().sum();
  return proposal;
}

std::vector<Node> lay_nodes(const FermentScene& scene, const Prior& prior, std::span<const FallSighting> sightings,
                            FermentTale tale, const Proposal& proposal, std::size_t count) {
  const std::size_t used = dimensions_of(tale);
  std::vector<Node> nodes(std::min(count, table_size));
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    Node& node = nodes[i];
    for (std::size_t d = 0; d < used; ++d) node.place[static_cast<Eigen::Index>(d)] = normals()[i][d];
    // Every 20th, three times: the share that is not moved.
    if (proposal.moved_share > 0.0 && i % 20 >= 3) node.place = proposal.centre + proposal.root * node.place;
    fit_gravities(scene, prior, sightings, draw_of(scene, tale, node.place), node);
    node.log_weight = node.log_fit - proposal.log_ratio(node.place, used);
  }
  return nodes;
}

struct TaleFit {
  FermentTale tale = FermentTale::sound;
  std::vector<Node> nodes;
  double log_evidence = 0.0;  // with the prior chance of the tale
};

TaleFit fit_tale(const FermentScene& scene, const Prior& prior, std::span<const FallSighting> sightings,
                 FermentTale tale, double prior_chance, std::size_t count) {
  TaleFit fit;
  fit.tale = tale;
  Proposal proposal;
  fit.nodes = lay_nodes(scene, prior, sightings, tale, proposal, count);
  if (!sightings.empty()) {
    for (int round = 0; round < 2; ++round) {
      proposal = moved_to(fit.nodes, dimensions_of(tale));
      fit.nodes = lay_nodes(scene, prior, sightings, tale, proposal, count);
    }
  }
  const double most = largest(fit.nodes);
  double sum = 0.0;
  for (const Node& node : fit.nodes) sum += std::exp(node.log_weight - most);
  fit.log_evidence = most + std::log(sum / static_cast<double>(fit.nodes.size())) + std::log(prior_chance);
  return fit;
}

}  // namespace

// ---- The shape

FallShape::FallShape(std::span<const double> gravities_sg, double start_sg, double end_sg) {
  const double fall = start_sg - end_sg;
  if (!(fall > 0.0)) return;
  for (double gravity : gravities_sg) {
    const double done = std::clamp((start_sg - gravity) / fall, 0.0, 0.9999);
    done_.push_back(done_.empty() ? done : std::max(done, done_.back()));
  }
  if (done_.size() < 2) return;
  const double before = 1.0 - done_[done_.size() - 2], last = 1.0 - done_.back();
  tail_per_hour_ = std::clamp(std::log(before / last) / process::course_step_hours, 0.0, 0.1);
}

double FallShape::done_at(double hours) const {
  if (done_.empty() || !(hours > 0.0)) return done_.empty() ? 0.0 : done_.front();
  const double at = hours / process::course_step_hours;
  const auto before = static_cast<std::size_t>(at);
  if (before + 1 < done_.size()) {
    const double part = at - static_cast<double>(before);
    return done_[before] + part * (done_[before + 1] - done_[before]);
  }
  const double past = hours - static_cast<double>(done_.size() - 1) * process::course_step_hours;
  return 1.0 - (1.0 - done_.back()) * std::exp(-tail_per_hour_ * past);
}

double FallShape::hours_to(double done) const {
  if (done_.empty() || !(done < 1.0)) return std::numeric_limits<double>::infinity();
  const auto found = std::lower_bound(done_.begin(), done_.end(), done);
  if (found == done_.begin()) return 0.0;
  if (found == done_.end()) {
    if (!(tail_per_hour_ > 0.0)) return std::numeric_limits<double>::infinity();
    return static_cast<double>(done_.size() - 1) * process::course_step_hours +
           std::log((1.0 - done_.back()) / (1.0 - done)) / tail_per_hour_;
  }
  const double step = *found - *(found - 1);
  const double part = step > 0.0 ? (done - *(found - 1)) / step : 0.0;
  return (static_cast<double>(found - done_.begin() - 1) + part) * process::course_step_hours;
}

// ---- The clock

WarmClock::WarmClock(double plan_c, std::span<const Point> read) {
  const double q10 = science::FermentationInput{}.above_range_q10;
  const auto temperature_at = [&](double hour) {
    if (read.empty()) return plan_c;
    if (hour <= read.front().hour) return read.front().temperature_c;
    for (std::size_t i = 1; i < read.size(); ++i) {
      if (hour > read[i].hour) continue;
      const double length = read[i].hour - read[i - 1].hour;
      const double part = length > 0.0 ? (hour - read[i - 1].hour) / length : 1.0;
      return read[i - 1].temperature_c + part * (read[i].temperature_c - read[i - 1].temperature_c);
    }
    return read.back().temperature_c;
  };
  const auto hours = static_cast<std::size_t>(last_hour) + 1;
  warmed_.reserve(hours + 1);
  warmed_.push_back(0.0);
  for (std::size_t i = 0; i < hours; ++i) {
    const double here = temperature_at(static_cast<double>(i) + 0.5);
    warmed_.push_back(warmed_.back() + std::pow(q10, std::clamp((here - plan_c) / 10.0, -3.0, 2.0)));
  }
}

double WarmClock::warmed(double hour) const {
  if (!(hour > 0.0)) return 0.0;
  const auto before = std::min(static_cast<std::size_t>(hour), warmed_.size() - 2);
  return warmed_[before] + (hour - static_cast<double>(before)) * (warmed_[before + 1] - warmed_[before]);
}

double WarmClock::hour_of(double warmed) const {
  if (!(warmed > 0.0)) return 0.0;
  const auto found = std::lower_bound(warmed_.begin(), warmed_.end(), warmed);
  const std::size_t after = std::min(static_cast<std::size_t>(found - warmed_.begin()), warmed_.size() - 1);
  return static_cast<double>(after - 1) + (warmed - warmed_[after - 1]) / (warmed_[after] - warmed_[after - 1]);
}

// ---- One draw

double pace_of(double z) { return std::exp(0.36 * z * (1.0 + 0.06 * z * z)); }
double lag_hours_of(double z) { return std::min(6.0 * std::exp(0.7 * z), 240.0); }
double stops_at_of(double z) { return 0.25 + 0.68 * normal_share(z); }

double share_done(const FermentScene& scene, const FermentDraw& draw, double hour) {
  const double hours = scene.clock.warmed(hour) - scene.clock.warmed(draw.lag_hours);
  return std::min(scene.first.done_at(draw.pace * hours), draw.stops_at);
}

double share_of_dose_done(const FermentScene& scene, const FermentDraw& draw, double hour) {
  const double hours = scene.clock.warmed(hour) - scene.clock.warmed(scene.dosed_hour.value_or(hour));
  return scene.second.done_at(draw.pace * hours);
}

double gone_on_sg(const FermentDraw& draw, double hour) {
  if (draw.tale != FermentTale::goes_on) return 0.0;
  return std::min(draw.fall_per_hour * std::max(hour - draw.onset_hour, 0.0), most_going_on_sg);
}

double gravity_at(const FermentScene& scene, const FermentDraw& draw, double hour) {
  return factors_at(scene, draw, hour).dot(draw.gravities) - gone_on_sg(draw, hour);
}

double limit_sg(const FermentScene& scene, const FermentDraw& draw) {
  const double dose = scene.dosed_hour ? (scene.dose_rise_sg - scene.dose_fall_sg) * draw.gravities[2] : 0.0;
  return draw.gravities[1] + dose - (draw.tale == FermentTale::goes_on ? most_going_on_sg : 0.0);
}

std::optional<double> finished_hour(const FermentScene& scene, const FermentDraw& draw) {
  if (draw.tale != FermentTale::sound) return std::nullopt;
  const double fall = draw.gravities[0] - draw.gravities[1];
  double hour = draw.lag_hours;
  if (fall > process::near_end_sg) {
    const double hours = scene.first.hours_to(1.0 - process::near_end_sg / fall) / draw.pace;
    if (!std::isfinite(hours)) return std::nullopt;
    hour = scene.clock.hour_of(scene.clock.warmed(draw.lag_hours) + hours);
  }
  const double dose_fall = scene.dosed_hour ? std::abs(scene.dose_fall_sg * draw.gravities[2]) : 0.0;
  if (dose_fall > process::near_end_sg) {
    const double hours = scene.second.hours_to(1.0 - process::near_end_sg / dose_fall) / draw.pace;
    if (!std::isfinite(hours)) return std::nullopt;
    hour = std::max(hour, scene.clock.hour_of(scene.clock.warmed(*scene.dosed_hour) + hours));
  }
  if (!(hour < last_hour)) return std::nullopt;
  return hour;
}

// ---- All of them

std::vector<FermentDraw> draw_fermentations(const FermentScene& scene, std::span<const FallSighting> sightings,
                                            std::size_t count, std::size_t nodes) {
  Prior prior;
  prior.precision = scene.covariance.inverse();
  prior.log_determinant = std::log(prior.precision.determinant());
  std::array<TaleFit, 3> fits = {
      fit_tale(scene, prior, sightings, FermentTale::sound, 1.0 - prior_stops_early - prior_goes_on, nodes),
      fit_tale(scene, prior, sightings, FermentTale::stops_early, prior_stops_early, nodes),
      fit_tale(scene, prior, sightings, FermentTale::goes_on, prior_goes_on, nodes)};
  double most = -std::numeric_limits<double>::infinity();
  for (const TaleFit& fit : fits) most = std::max(most, fit.log_evidence);
  // One long line of weights, walked in equal strides.
  double total = 0.0;
  for (TaleFit& fit : fits) {
    const double peak = largest(fit.nodes);
    double sum = 0.0;
    for (const Node& node : fit.nodes) sum += std::exp(node.log_weight - peak);
    for (Node& node : fit.nodes) {
      node.log_weight =
          std::exp(fit.log_evidence - most) * std::exp(node.log_weight - peak) / sum;  // now a plain weight
      total += node.log_weight;
    }
  }
  std::vector<FermentDraw> draws;
  draws.reserve(count);
  const double stride = total / static_cast<double>(count);
  double passed = 0.0;
  for (const TaleFit& fit : fits) {
    for (const Node& node : fit.nodes) {
      passed += node.log_weight;
      while (draws.size() < count && (static_cast<double>(draws.size()) + 0.5) * stride <= passed) {
        FermentDraw draw = draw_of(scene, fit.tale, node.place);
        const Normals& z = normals()[draws.size() % table_size];
        draw.gravities = node.mean + node.root * Gravities(z[4], z[5], z[6]);
        draw.gravities[1] = std::min(draw.gravities[1], draw.gravities[0] - 0.002);
        draws.push_back(draw);
      }
    }
  }
  while (!draws.empty() && draws.size() < count) draws.push_back(draws.back());
  return draws;
}

}  // namespace oddgrist::gyle

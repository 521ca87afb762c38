// The forecast conditioned on readings: what the uncertain inputs must be like for the day to have gone as it was read.
//
// In standard normal inputs z the prior is a sphere; each reading is a normal observation of one figure of the forecast. The
// posterior is taken as a normal distribution about its mode (Gauss-Newton on the true forecast, Laplace's approximation).
// A reading more than four deviations away from what the forecast and the believed readings expect is questioned: it stays in the
// log, is shown, and pulls with the weight of Student's t distribution with four degrees of freedom instead of its own. Two
// questioned readings that bear each other out are believed.
#pragma once

#include <array>
#include <string>
#include <vector>

#include <Eigen/Core>

#include "gyle/sight.hpp"

namespace oddgrist::gyle {

inline constexpr double question_beyond = 4.0;  // deviations
// Triangles and rectangles end where a normal distribution goes on: spreads come out at most by this share too wide (checked by
// importance sampling).
inline constexpr double laplace_too_wide = 0.2;

struct Judged {
  Taken taken;
  std::optional<Seen> seen;  // none: the forecast has no figure for it, `why` says why
  std::string why;
  double expected = 0.0;   // by the forecast and the believed readings, this one left out
  double deviation = 0.0;  // of what such a reading would show then
  double surprise = 0.0;   // how many of those deviations it is off
  double weight = 1.0;     // 1: taken as it is
  bool questioned = false;
  std::vector<std::string> slips;
};

struct Belief {
  Eigen::VectorXd z;           // the mode
  Eigen::MatrixXd covariance;  // of z
  std::vector<Judged> readings;
  Known known;
  bool settled = true;  // the search for the mode came to rest
};

[[nodiscard]] Belief prior_belief(const Brewing& brewing);
[[nodiscard]] Belief belief_of(const Brewing& brewing, std::span<const Taken> readings);

// Points spread over the belief, the same ones every time (Sobol's sequence).
[[nodiscard]] std::vector<Eigen::VectorXd> points_of(const Belief& belief, int count);

// Median and middle 80 % of every figure of the forecast.
using Outlook = std::array<compose::Estimate, told_count>;
inline constexpr int outlook_points = 128;
[[nodiscard]] Outlook outlook_of(const Brewing& brewing, const Belief& belief, int points = outlook_points);

// Where the gyle is: what the recipe foretold, and what things are like and will be like as it went and was read.
struct Standing {
  State state;
  Outlook before, now;
  Belief belief;
};
[[nodiscard]] Standing standing_of(const compose::Brief& brief, const State& state);

// What the readings say about the kit, in the inputs' own units.
struct KitBelief {
  std::vector<compose::Topic> topics;
  std::vector<std::string> names;
  Eigen::VectorXd usual, prior_deviation;
  Eigen::VectorXd mean;
  Eigen::MatrixXd covariance;
};
[[nodiscard]] KitBelief kit_belief_of(const Brewing& brewing, const Belief& belief);

// The log density of the posterior at z, but for a constant: for checking the approximation against.
[[nodiscard]] double log_posterior(const Brewing& brewing, const Belief& belief, const Eigen::VectorXd& z);

}  // namespace oddgrist::gyle

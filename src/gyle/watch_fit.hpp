// What the watch believes before and after it sees readings: a cloud of possible fermentations.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include <Eigen/Core>

#include "process/fermentation_course.hpp"

namespace oddgrist::gyle {

// Share of the fall of gravity that is done, over hours at the plan's temperature and the usual pace.
class FallShape {
 public:
  FallShape() = default;
  // Gravities every `process::course_step_hours`, from `start_sg` towards `end_sg`.
  FallShape(std::span<const double> gravities_sg, double start_sg, double end_sg);
  [[nodiscard]] double done_at(double hours) const;
  [[nodiscard]] double hours_to(double done) const;  // infinite if it never comes so far

 private:
  std::vector<double> done_;     // every course step
  double tail_per_hour_ = 0.01;  // how fast the rest shrinks after the last of them
};

// Hours of the clock into hours at the plan's temperature.
class WarmClock {
 public:
  struct Point {
    double hour = 0.0;
    double temperature_c = 0.0;
  };
  // Temperatures read in order of time, the first held before and the last after; none: always as planned.
  WarmClock(double plan_c, std::span<const Point> read);
  [[nodiscard]] double warmed(double hour) const;
  [[nodiscard]] double hour_of(double warmed) const;

 private:
  std::vector<double> warmed_;  // every hour
};

// Start and end gravity, and the late dose as a multiple of the plan's.
using Gravities = Eigen::Vector3d;

// All the fit needs to know of the brew.
struct FermentScene {
  FallShape first, second;
  WarmClock clock{19.0, {}};
  std::optional<double> dosed_hour;
  double dose_rise_sg = 0.0;  // at once, of the dose as planned
  double dose_fall_sg = 0.0;  // and then, as it ferments
  Gravities mean = Gravities::Zero();
  Eigen::Matrix3d covariance = Eigen::Matrix3d::Identity();
  double now_hour = 0.0;
};

struct FallSighting {
  double hour = 0.0;
  double gravity_sg = 0.0;
  double deviation_sg = 0.001;
  // A refractometer's gravity hangs on the start gravity: by how much a thousandth there moves this one.
  double per_start_sg = 0.0;
  double at_start_sg = 0.0;  // the start gravity it was reckoned with
};

enum class FermentTale { sound, stops_early, goes_on };

// Prior chances of the three tales: own estimates. Stops early: with up to 7..75 % of the fall still to come. Goes on: something in
// the beer ferments what this yeast cannot (wild or diastatic yeast).
inline constexpr double prior_stops_early = 0.06;
inline constexpr double prior_goes_on = 0.02;

// One possible fermentation.
struct FermentDraw {
  FermentTale tale = FermentTale::sound;
  double pace = 1.0;
  double lag_hours = 6.0;
  double stops_at = 1.0;       // share of the fall
  double onset_hour = 0.0;     // goes on: from then,
  double fall_per_hour = 0.0;  // by so much
  Gravities gravities = Gravities::Zero();
};

// Most that wild yeast takes off in the time that is watched, SG.
inline constexpr double most_going_on_sg = 0.012;

[[nodiscard]] double share_done(const FermentScene& scene, const FermentDraw& draw, double hour);
[[nodiscard]] double share_of_dose_done(const FermentScene& scene, const FermentDraw& draw, double hour);
[[nodiscard]] double gone_on_sg(const FermentDraw& draw, double hour);
[[nodiscard]] double gravity_at(const FermentScene& scene, const FermentDraw& draw, double hour);
// Where it would stand if all the yeast can take were gone, by this draw's own attenuation.
[[nodiscard]] double limit_sg(const FermentScene& scene, const FermentDraw& draw);
// When it is within a thousandth of where it stays; nothing if not within `process::course_days`, or it stops early or goes on.
[[nodiscard]] std::optional<double> finished_hour(const FermentScene& scene, const FermentDraw& draw);

// Draws that are all equally likely, given the sightings. Pace: median 1, 80 % within 0.6..1.6 as science/fermentation_kinetics.hpp has it,
// with tails heavier than normal. Lag before the course begins: median 6 h, 80 % within 2.5..15 (own estimate, from what brewers report).
// For each tale: quasi-random nodes over pace, lag and what the tale adds, moved twice to where they fit; at each node the gravities, which
// enter linearly, by Laplace's approximation with Student errors of four degrees of freedom.
[[nodiscard]] std::vector<FermentDraw> draw_fermentations(const FermentScene& scene,
                                                          std::span<const FallSighting> sightings, std::size_t count,
                                                          std::size_t nodes);

// The prior of pace and lag, for whoever wants to make fermentations of its own (tests): z is standard normal.
[[nodiscard]] double pace_of(double z);
[[nodiscard]] double lag_hours_of(double z);
[[nodiscard]] double stops_at_of(double z);

}  // namespace oddgrist::gyle

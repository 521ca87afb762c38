// Fermentations whose truth the test knows and the watch does not: run by the kinetics themselves, read with error.
#pragma once

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "../compose/sample_briefs.hpp"
#include "gyle/watch.hpp"
#include "gyle/watch_fit.hpp"
#include "science/fermentation_kinetics.hpp"

namespace oddgrist::gyle::hidden_ferment {

using process::Component;

struct Brew {
  compose::Brief brief;
  compose::Proposal proposal;
  process::FermentationCourse course;
};

inline const Brew& harvest() {
  static const Brew brew = [] {
    Brew made;
    made.brief = compose::sample::harvest();
    made.proposal = compose::compose(made.brief).proposals.at(0);
    made.course = process::fermentation_course(made.proposal.plan, made.proposal.yeast);
    return made;
  }();
  return brew;
}

inline const Instant pitched{std::chrono::sys_days{std::chrono::year{2026} / 11 / 2}};

inline Instant at(double hour) { return pitched + std::chrono::minutes(std::lround(hour * 60.0)); }

struct Truth {
  double start_sg = 1.055, end_sg = 1.012;
  double pace = 1.0, lag_hours = 6.0;
  double stops_at = 1.0;  // share of the fall
  double temperature_c = 19.0;
};

// The gravity every three hours, by science::ferment with the sugars of the brew: not the curve the watch carries.
class Course {
 public:
  Course(const Brew& brew, const Truth& truth) : truth_(truth) {
    const auto& first = brew.course.points.front().beer;
    const auto& last = brew.course.points.back().beer;
    const auto eaten = [&](Component component) {
      return std::max(first[component] - last[component], 0.0) * 1000.0 / brew.course.volume_l;
    };
    science::FermentationInput input;
    input.start.glucose_g_l =
        eaten(Component::glucose) + eaten(Component::fructose) + 1.0526 * eaten(Component::sucrose);
    input.start.maltose_g_l = eaten(Component::maltose);
    input.start.maltotriose_g_l = eaten(Component::maltotriose);
    input.course = {{0.0, truth.temperature_c}};
    input.hours = 70.0 * 24.0;
    input.sample_hours = 3.0;
    input.rate_multiplier = truth.pace;
    const science::FermentationRun run = science::ferment(input);
    const double all = input.start.hexose_g_l();
    for (const auto& sample : run.samples) done_.push_back(1.0 - sample.sugars.hexose_g_l() / all);
  }
  [[nodiscard]] double done(double hour) const {
    const double place = std::max(hour - truth_.lag_hours, 0.0) / 3.0;
    const auto before = std::min(static_cast<std::size_t>(place), done_.size() - 2);
    const double part = std::min(place - static_cast<double>(before), 1.0);
    return std::min(done_[before] + part * (done_[before + 1] - done_[before]), truth_.stops_at);
  }
  [[nodiscard]] double gravity(double hour) const {
    return truth_.start_sg - (truth_.start_sg - truth_.end_sg) * done(hour);
  }
  [[nodiscard]] double finished_hour() const {
    double hour = 0.0;
    while (hour < 45.0 * 24.0 && gravity(hour) - truth_.end_sg > finished_within_sg) hour += 1.0;
    return hour;
  }

 private:
  Truth truth_;
  std::vector<double> done_;
};

inline TimedReading reading(double hour, Sight sight, double value) {
  TimedReading timed;
  timed.at = at(hour);
  timed.reading.sight = sight;
  timed.reading.stage = Stage::fermenter;
  timed.reading.value = value;
  timed.reading.at_celsius = 20.0;
  return timed;
}

// As a hydrometer shows it: Student errors about a thousandth, to half a mark.
inline TimedReading read(const Course& course, double hour, std::mt19937_64& random) {
  std::student_t_distribution<double> error(4.0);
  const double shown = course.gravity(hour) + 0.001 * error(random);
  return reading(hour, Sight::gravity, std::round(shown * 2000.0) / 2000.0);
}

inline TimedReading exact(const Course& course, double hour) {
  return reading(hour, Sight::gravity, std::round(course.gravity(hour) * 1000.0) / 1000.0);
}

// A truth as the watch believes before it reads anything.
inline Truth any_truth(const Brew& brew, std::mt19937_64& random) {
  std::normal_distribution<double> normal;
  constexpr double of_80_percent = 2.0 * 1.2816;
  Truth truth;
  const auto& start = brew.proposal.original_gravity_sg;
  truth.start_sg =
      brew.course.original_gravity_sg + std::max((start.high - start.low) / of_80_percent, 0.002) * normal(random);
  const double attenuation_error =
      std::max((brew.course.first_end_sg.high - brew.course.first_end_sg.low) / of_80_percent, 0.0015) * normal(random);
  const double kept = (brew.course.first_end_sg.usual - 1.0) / (brew.course.original_gravity_sg - 1.0);
  truth.end_sg = 1.0 + kept * (truth.start_sg - 1.0) + attenuation_error;
  truth.pace = pace_of(normal(random));
  truth.lag_hours = lag_hours_of(normal(random));
  truth.temperature_c = brew.course.temperature_c;
  return truth;
}

}  // namespace oddgrist::gyle::hidden_ferment

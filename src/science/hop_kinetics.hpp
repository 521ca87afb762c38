// Alpha acids becoming iso-alpha acids, and those breaking down, in hot wort: conversion in solution, not utilisation.
// What trub, yeast and foam carry off is a separate factor that belongs to the process.
#pragma once

#include <cmath>
#include <cstddef>

namespace oddgrist::science {

// The measurements behind the rate constants: model wort at pH 5.2, 90 to 130 C.
inline constexpr double hop_kinetics_measured_low_c = 90.0;
inline constexpr double hop_kinetics_measured_high_c = 130.0;

// False: the rate constants are extrapolated at this temperature. Below 90 C they are a lower bound of measured
// bitterness, since oxidised acids, which these equations do not know, count in the bitterness unit too.
constexpr bool hop_kinetics_measured(double temperature_c) {
  return temperature_c >= hop_kinetics_measured_low_c && temperature_c <= hop_kinetics_measured_high_c;
}

// Rate constants, per minute: alpha to iso-alpha (first) and iso-alpha to its breakdown products (second), both first
// order. Malowicki & Shellhammer, Isomerization and degradation kinetics of hop acids in a model wort-boiling system,
// J. Agric. Food Chem. 53 (2005) 4434-4439: 7.9e11 exp(-11858/T) and 4.1e12 exp(-12994/T), T in kelvin. Measured 90-130
// C; the printed constants have two figures, so a rate is not known closer than about 1 %. Outside the range: the same
// curve, see above.
template <class Scalar>
Scalar hop_isomerisation_rate_per_minute_malowicki(const Scalar& temperature_c) {
  using std::exp;
  const Scalar kelvin = temperature_c + 273.15;
  return 7.9e11 * exp(-11858.0 / kelvin);
}

template <class Scalar>
Scalar hop_degradation_rate_per_minute_malowicki(const Scalar& temperature_c) {
  using std::exp;
  const Scalar kelvin = temperature_c + 273.15;
  return 4.1e12 * exp(-12994.0 / kelvin);
}

// Masses (or concentrations: any one unit) of the three forms. Isomerisation keeps the mass; `degraded` holds what has
// broken down, so the sum of the three never changes.
template <class Scalar>
struct HopAcids {
  Scalar alpha{0.0};
  Scalar iso_alpha{0.0};
  Scalar degraded{0.0};
};

// The forms after both reactions have run a given distance (rate times time, each at least 0) side by side: the exact
// solution of the two first-order equations.
template <class Scalar>
HopAcids<Scalar> hop_acids_after_distance(const HopAcids<Scalar>& start, const Scalar& first, const Scalar& second) {
  using std::exp;
  if (!(first > 0.0)) return start;
  const Scalar alpha_left = exp(-first);
  const Scalar iso_left = exp(-second);
  // The two rates are equal only near 690 K, so the quotient is safe at any temperature wort can have.
  const Scalar made = first / (second - first) * (alpha_left - iso_left);
  HopAcids<Scalar> end;
  end.alpha = start.alpha * alpha_left;
  const Scalar old_iso = start.iso_alpha * iso_left;
  const Scalar new_iso = start.alpha * made;
  end.iso_alpha = old_iso + new_iso;
  const Scalar alpha_gone = start.alpha - end.alpha;
  const Scalar iso_gained = end.iso_alpha - start.iso_alpha;
  const Scalar broken_down = alpha_gone - iso_gained;
  end.degraded = start.degraded + broken_down;
  return end;
}

// The forms after some minutes at one temperature. Negative minutes count as none.
template <class Scalar>
HopAcids<Scalar> hop_acids_after(const HopAcids<Scalar>& start, const Scalar& minutes, const Scalar& temperature_c) {
  if (minutes <= 0.0) return start;
  const Scalar first = hop_isomerisation_rate_per_minute_malowicki(temperature_c);
  const Scalar second = hop_degradation_rate_per_minute_malowicki(temperature_c);
  return hop_acids_after_distance(start, Scalar(first * minutes), Scalar(second * minutes));
}

// Iso-alpha acid per alpha acid added, 0..1, after some minutes at one temperature.
template <class Scalar>
Scalar hop_iso_yield(const Scalar& minutes, const Scalar& temperature_c) {
  HopAcids<Scalar> start;
  start.alpha = Scalar(1.0);
  return hop_acids_after(start, minutes, temperature_c).iso_alpha;
}

// Longest slice, in minutes, of a changing temperature. In each the rates are averaged over two points (Gauss and
// Legendre) and the step is then exact; 5e-5 of the yield is the error in a chill of 0.15 /min, less in slower ones.
inline constexpr double hop_course_slice_minutes = 0.25;

// Calls `step(minutes, early_c, late_c)` for each slice of a course, with the temperatures at its two points.
template <class Scalar, class Course, class Step>
void over_hop_course(double minutes, double slice_minutes, const Course& temperature_at, const Step& step) {
  if (!(minutes > 0.0) || !(slice_minutes > 0.0)) return;
  constexpr double gauss_point = 0.21132486540518712;  // (1 - 1/sqrt 3) / 2
  const int slices = static_cast<int>(std::ceil(minutes / slice_minutes));
  const double length = minutes / slices;
  for (int i = 0; i < slices; ++i) {
    const Scalar early_c(temperature_at((i + gauss_point) * length));
    const Scalar late_c(temperature_at((i + 1.0 - gauss_point) * length));
    step(length, early_c, late_c);
  }
}

// The forms along a temperature course: `temperature_at(minute)` gives degrees C for minute 0..minutes and returns
// Scalar. Nothing happens in minutes that are not above 0.
template <class Scalar, class Course>
HopAcids<Scalar> hop_acids_along(const HopAcids<Scalar>& start, double minutes, const Course& temperature_at,
                                 double slice_minutes = hop_course_slice_minutes) {
  HopAcids<Scalar> acids = start;
  const auto step = [&acids](double length, const Scalar& early_c, const Scalar& late_c) {
    const Scalar first_early = hop_isomerisation_rate_per_minute_malowicki(early_c);
    const Scalar first_late = hop_isomerisation_rate_per_minute_malowicki(late_c);
    const Scalar second_early = hop_degradation_rate_per_minute_malowicki(early_c);
    const Scalar second_late = hop_degradation_rate_per_minute_malowicki(late_c);
    const Scalar first_sum = first_early + first_late;
    const Scalar second_sum = second_early + second_late;
    acids = hop_acids_after_distance(acids, Scalar(first_sum * (0.5 * length)), Scalar(second_sum * (0.5 * length)));
  };
  over_hop_course<Scalar>(minutes, slice_minutes, temperature_at, step);
  return acids;
}

// Minutes at 100 C in which the same share of alpha acid would isomerise as along the course.
template <class Scalar, class Course>
Scalar hop_equivalent_boil_minutes(double minutes, const Course& temperature_at,
                                   double slice_minutes = hop_course_slice_minutes) {
  const double at_boil = hop_isomerisation_rate_per_minute_malowicki(100.0);
  Scalar sum(0.0);
  const auto step = [&sum, at_boil](double length, const Scalar& early_c, const Scalar& late_c) {
    const Scalar early = hop_isomerisation_rate_per_minute_malowicki(early_c);
    const Scalar late = hop_isomerisation_rate_per_minute_malowicki(late_c);
    const Scalar both = early + late;
    sum += Scalar(both * (0.5 * length / at_boil));
  };
  over_hop_course<Scalar>(minutes, slice_minutes, temperature_at, step);
  return sum;
}

// A temperature course of straight lines between (minute, temperature) points given in order of time; before the first
// and after the last point it holds. Points at the same minute make a step.
template <class Scalar>
struct TemperaturePoint {
  double minute = 0.0;
  Scalar temperature_c{20.0};
};

template <class Scalar, class Points>
Scalar temperature_on_course_c(const Points& points, double minute) {
  if (points.empty()) return Scalar(20.0);
  if (minute <= points.front().minute) return points.front().temperature_c;
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (minute > points[i].minute) continue;
    const double length = points[i].minute - points[i - 1].minute;
    if (!(length > 0.0)) return points[i].temperature_c;
    const double share = (minute - points[i - 1].minute) / length;
    const Scalar before = points[i - 1].temperature_c * (1.0 - share);
    const Scalar after = points[i].temperature_c * share;
    return before + after;
  }
  return points.back().temperature_c;
}

// Newton's law of cooling: the temperature some minutes after `start_c` with a constant coefficient (per minute).
template <class Scalar>
Scalar newton_cooling_c(const Scalar& start_c, const Scalar& surroundings_c, const Scalar& coefficient_per_minute,
                        const Scalar& minutes) {
  using std::exp;
  const Scalar passed = coefficient_per_minute * minutes;
  const Scalar left = exp(-passed);
  const Scalar gap_c = start_c - surroundings_c;
  const Scalar gap_left_c = gap_c * left;
  return surroundings_c + gap_left_c;
}

}  // namespace oddgrist::science

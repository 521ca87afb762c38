// How hot the hops are from the moment they go in until the wort is cold: boil, an optional hot stand, then cooling.
#pragma once

#include <algorithm>
#include <cmath>

#include "process/kit.hpp"
#include "science/hop_kinetics.hpp"

namespace oddgrist::process {

struct HopCourse {
  double boiling_c = 100.0;
  double stand_minutes = 0.0;
  double stand_c = 80.0;
  double cooling_minutes = 20.0;
  double cold_c = 19.0;

  [[nodiscard]] double minutes_after_boil() const { return stand_minutes + cooling_minutes; }

  // Temperature `minute` after flame-out. Cooling is Newton's, with cooling water at 15 C (common practice, no source), from the
  // stand (or from the boil) to cold; the drop to the stand temperature is taken as quick.
  [[nodiscard]] double temperature_c(double minute) const {
    if (minute < stand_minutes) return std::min(stand_c, boiling_c);
    constexpr double cooling_water_c = 15.0;
    const double start_c = stand_minutes > 0.0 ? std::min(stand_c, boiling_c) : boiling_c;
    const double end_k = std::max(1.0, cold_c - cooling_water_c);
    const double start_k = std::max(end_k, start_c - cooling_water_c);
    const double coefficient = std::log(start_k / end_k) / std::max(1e-6, cooling_minutes);
    return science::newton_cooling_c(start_c, cooling_water_c, coefficient, minute - stand_minutes);
  }

  // Minutes at 100 C worth as much isomerisation as the way from flame-out to cold.
  [[nodiscard]] double equivalent_minutes_after_boil() const {
    return science::hop_equivalent_boil_minutes<double>(minutes_after_boil(), [this](double at) { return temperature_c(at); });
  }

  // A minute of this boil in minutes at 100 C: less than one where water boils below 100 C.
  [[nodiscard]] double equivalent_minutes_a_boil_minute() const {
    return science::hop_isomerisation_rate_per_minute_malowicki(boiling_c) /
           science::hop_isomerisation_rate_per_minute_malowicki(100.0);
  }

  // Iso-alpha acid in solution per alpha acid added this long before flame-out, once the wort is cold (Malowicki & Shellhammer).
  [[nodiscard]] double iso_yield(double boil_minutes) const {
    science::HopAcids<double> acids;
    acids.alpha = 1.0;
    acids = science::hop_acids_after(acids, boil_minutes, boiling_c);
    return science::hop_acids_along(acids, minutes_after_boil(), [this](double at) { return temperature_c(at); }).iso_alpha;
  }
};

// Share of the iso-alpha acid made in the kettle that reaches the glass; trub, yeast and foam keep the rest. 0.4 to 0.6 (from memory).
inline constexpr double iso_survival = 0.5;

}  // namespace oddgrist::process

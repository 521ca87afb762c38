// How hot the hops are from the moment they go in until the wort is cold: boil, an optional hot stand, then cooling.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>

#include "process/kit.hpp"
#include "science/hop_kinetics.hpp"

namespace oddgrist::process {

class HopCourse {
 public:
  HopCourse() : HopCourse(100.0, 0.0, 80.0, 20.0, 19.0) {}
  HopCourse(double boiling_at_c, double stand_for_minutes, double stand_at_c, double cooling_for_minutes,
            double cold_at_c)
      : boiling_c_(boiling_at_c),
        stand_minutes_(stand_for_minutes),
        stand_c_(stand_at_c),
        cooling_minutes_(cooling_for_minutes),
        cold_c_(cold_at_c) {
    integrate();
  }

  [[nodiscard]] double boiling_c() const { return boiling_c_; }
  [[nodiscard]] double minutes_after_boil() const { return stand_minutes_ + cooling_minutes_; }

  // Temperature `minute` after flame-out. Cooling is Newton's, with cooling water at 15 C (common practice, no source), from the
  // stand (or from the boil) to cold; the drop to the stand temperature is taken as quick.
  [[nodiscard]] double temperature_c(double minute) const {
    if (minute < stand_minutes_) return std::min(stand_c_, boiling_c_);
    const double coefficient = std::log(start_k() / end_k()) / std::max(1e-6, cooling_minutes_);
    return science::newton_cooling_c(start_c(), cooling_water_c, coefficient, minute - stand_minutes_);
  }

  // The other way round: how long cooling takes in all if it is this warm `minute` after flame-out. None where that cannot be told: in
  // the stand, hotter than at its start, or hardly warmer than the cooling water.
  [[nodiscard]] std::optional<double> cooling_minutes_if(double temperature_c, double minute) const {
    const double passed = minute - stand_minutes_, gap_k = temperature_c - cooling_water_c;
    if (!(passed > 0.0) || !(gap_k > 1.0) || !(gap_k < start_k())) return std::nullopt;
    return passed * std::log(start_k() / end_k()) / std::log(start_k() / gap_k);
  }

  // Minutes at 100 C worth as much isomerisation as the way from flame-out to cold.
  [[nodiscard]] double equivalent_minutes_after_boil() const { return equivalent_after_; }

  // A minute of this boil in minutes at 100 C: less than one where water boils below 100 C.
  [[nodiscard]] double equivalent_minutes_a_boil_minute() const { return pace_; }

  // Iso-alpha acid in solution per alpha acid added this long before flame-out, once the wort is cold (Malowicki & Shellhammer).
  [[nodiscard]] double iso_yield(double boil_minutes) const {
    science::HopAcids<double> acids;
    acids.alpha = 1.0;
    acids = science::hop_acids_after(acids, boil_minutes, boiling_c_);
    return acids.alpha * iso_from_alpha_after_ + acids.iso_alpha * iso_from_iso_after_;
  }

 private:
  static constexpr double cooling_water_c = 15.0;
  [[nodiscard]] double start_c() const { return stand_minutes_ > 0.0 ? std::min(stand_c_, boiling_c_) : boiling_c_; }
  [[nodiscard]] double end_k() const { return std::max(1.0, cold_c_ - cooling_water_c); }
  [[nodiscard]] double start_k() const { return std::max(end_k(), start_c() - cooling_water_c); }

  // The way from flame-out to cold is the same for all hops, and linear in what it starts from: integrated once.
  void integrate() {
    const auto course = [this](double at) { return temperature_c(at); };
    equivalent_after_ = science::hop_equivalent_boil_minutes<double>(minutes_after_boil(), course);
    pace_ = science::hop_isomerisation_rate_per_minute_malowicki(boiling_c_) /
            science::hop_isomerisation_rate_per_minute_malowicki(100.0);
    science::HopAcids<double> alpha, iso;
    alpha.alpha = 1.0;
    iso.iso_alpha = 1.0;
    iso_from_alpha_after_ = science::hop_acids_along(alpha, minutes_after_boil(), course).iso_alpha;
    iso_from_iso_after_ = science::hop_acids_along(iso, minutes_after_boil(), course).iso_alpha;
  }

  double boiling_c_, stand_minutes_, stand_c_, cooling_minutes_, cold_c_;
  double equivalent_after_ = 0.0, pace_ = 1.0, iso_from_alpha_after_ = 0.0, iso_from_iso_after_ = 1.0;
};

// Share of the iso-alpha acid made in the kettle that reaches the glass; trub, yeast and foam keep the rest. 0.4 to 0.6 (from memory).
inline constexpr double iso_survival = 0.5;

}  // namespace oddgrist::process

// A plan's fermentation in time. The masses, and so every gravity and strength, are those of the forward model; the
// published kinetics only say how fast the beer goes from its beginning to its end.
#pragma once

#include <optional>
#include <vector>

#include "larder/ingredient.hpp"
#include "process/mixture.hpp"
#include "process/plan.hpp"

namespace oddgrist::process {

// A figure with the range it lies in.
struct Interval {
  double usual = 0.0, low = 0.0, high = 0.0;
};

// An hour since the pitch, for the usual pace, the quickest and the slowest. Nothing: not within `course_days`.
struct Moments {
  std::optional<double> usual, soonest, latest;
};

inline constexpr double course_days = 45.0;
inline constexpr double course_step_hours = 3.0;
// "Nearly at the end": what a hydrometer can just tell.
inline constexpr double near_end_sg = 0.001;

struct CoursePoint {
  double hour = 0.0;
  Mixture<double> beer;  // usual pace; with the gas it still holds
  Interval gravity_sg;
  double abv_percent = 0.0;
  double sugars_g_per_l = 0.0;       // all, also what the yeast cannot take
  double fermentable_g_per_l = 0.0;  // what it will still take
  double gas_kg = 0.0;               // carbon dioxide given off so far
  double gas_high_kg = 0.0;          // by the pace and the uptake that give most
};

enum class PitchVerdict { too_little, on_the_low_side, enough, plenty };

// Living cells pitched against cells wanted (science/pitching.hpp).
struct PitchCheck {
  PitchVerdict verdict = PitchVerdict::enough;
  double yeast_g = 0.0;
  Interval cells;           // in that yeast
  Interval cells_wanted;    // usual, least and most of the practice for ale or lager
  Interval yeast_wanted_g;  // what holds those cells at the usual count
};

enum class ToleranceVerdict { within, near_limit, beyond };

struct ToleranceCheck {
  ToleranceVerdict verdict = ToleranceVerdict::within;
  double abv_percent = 0.0;  // if everything the yeast can take were gone
  double tolerance_abv_percent = 0.0;
};

enum class TemperatureVerdict { within, too_cold, too_warm };

enum class CourseStatus {
  done,
  under_way,           // not at its end within `course_days` at the usual pace
  stopped_by_alcohol,  // sugar is left when the yeast gives up: not to be bottled
  stopped_by_cold_or_heat,
  nothing_to_ferment,  // no pitch, no ferment, or no sugar
  failed,              // figures outside what the kinetics can take
};

struct LateDose {
  Moments hour;          // poured in when the gravity is `near_end_sg` from the first end
  Moments refermented;   // 95 % of what was then fermentable, dose included, is gone
  double sugar_g = 0.0;  // fermentable, of the whole dose
  double rise_sg = 0.0;  // what the dose adds to the gravity before it ferments
};

struct FermentationCourse {
  CourseStatus status = CourseStatus::nothing_to_ferment;
  std::vector<CoursePoint> points;  // every `course_step_hours`, to two days past the slowest end
  double volume_l = 0.0;            // at pitching, 20 C
  double temperature_c = 0.0;
  TemperatureVerdict temperature = TemperatureVerdict::within;
  bool extrapolated = false;  // outside the 8..18 C of the published runs
  double original_gravity_sg = 1.0;
  Interval first_end_sg;  // before the late dose, by mass balance; the whole end if there is none
  Interval end_sg;
  Moments near_end;                   // within `near_end_sg` of the first end
  double peak_gas_kg_per_hour = 0.0;  // at the quickest pace
  std::optional<LateDose> dose;
  PitchCheck pitch;
  ToleranceCheck tolerance;
};

// Kinetics of science/fermentation_kinetics.hpp at the plan's temperature, started with the cells pitched over the cells
// usual for the style (own estimate: the published yeast is taken for that usual pitch, and the ratio is held within
// 0.25..3). The share of each sugar gone by then is applied to what the plan's ferment steps eat, so that the course
// ends where the forecast does. Dextrin of a diastatic yeast goes with the maltotriose here; in truth it takes weeks
// longer. Interval: rate multipliers 0.6 and 1.6, each with the lowest and the highest uptakes among the yeast's
// spreads. Above the yeast's alcohol tolerance the rates end there. Never throws; figures are always finite.
[[nodiscard]] FermentationCourse fermentation_course(const Plan<double>& plan, const larder::Ingredient& yeast);

// ---- The gas in a room

// Share of the air by volume. 0.5 %: eight-hour limit, Directive 2006/15/EC. 3 % for 15 minutes and 4 % dangerous to
// life at once: NIOSH Pocket Guide to Chemical Hazards (from memory).
inline constexpr double gas_limit_shift_percent = 0.5;
inline constexpr double gas_limit_short_percent = 3.0;
inline constexpr double gas_limit_life_percent = 4.0;
// Air that a room with door and window shut still changes, times an hour. 0.1..0.5 (from memory).
inline constexpr double closed_room_changes_per_hour = 0.2;

enum class RoomVerdict { low, air_it, danger };

struct RoomCheck {
  RoomVerdict verdict = RoomVerdict::low;
  double room_m3 = 0.0;
  double gas_l = 0.0;  // all of it, at the temperature of the ferment and one atmosphere
  double peak_l_per_hour = 0.0;
  double sealed_percent = 0.0;  // if all of it stayed and mixed
  double closed_percent = 0.0;  // the most it can come to with `closed_room_changes_per_hour`; never above the sealed
};

// Well mixed; the gas is heavier than air and gathers low, so near the floor it may be much more. Ideal gas.
// `room_m3` must be above 0.
[[nodiscard]] RoomCheck room_check(const FermentationCourse& course, double room_m3);

}  // namespace oddgrist::process

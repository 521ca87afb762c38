// The temperature course of a mash in the kit, from strike to the last rest: heat balance, cooling, what it takes to reach each next
// rest; and what that course makes of starch, enzymes and pH. Energy is reckoned from room temperature, losses to the room
// by Newton's law with one heat-loss figure for the vessel.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "larder/ingredient.hpp"
#include "process/kit.hpp"
#include "process/mixture.hpp"
#include "process/plan.hpp"
#include "science/enzyme.hpp"
#include "science/heat.hpp"
#include "science/mash_acidity.hpp"
#include "science/mash_kinetics.hpp"

namespace oddgrist::process {

// How the mash gets from one rest to the next, hotter one.
enum class RestStep { infusion, decoction, direct };

struct MashRest {
  double temperature_c = 66.0;
  double minutes = 60.0;
};

struct MashSetting {
  double grist_kg = 0.0;
  double liquor_kg = 0.0;  // all of it: with infusions, less goes in at the start, so that the sum stays the recipe's
  double kettle_heat_kj_per_k = 0.0;
  bool heated_in_kettle = false;  // the strike liquor; else it is poured into a kettle at room temperature
  double room_c = 20.0, grain_c = 20.0, boiling_c = 100.0;
  double time_constant_minutes = 600.0;  // of the whole mash in this vessel, standing
  bool held = false;                     // the heater makes up for the loss during rests
  RestStep step = RestStep::infusion;
  double power_kw = 0.0;            // of the heater; 0: not stated
  double heater_efficiency = 0.85;  // share of it that reaches the mash
  double infusion_c = 98.0;         // of the water as it reaches the mash
  double decoction_c = 100.0;       // of the decoction as it comes back
  std::vector<MashRest> rests;
  science::MashHeat heat;
};

// Time constant of a domestic kettle with this much in it. Common practice, no source: 10 h at 20 L (4 to 5 K in the first hour),
// with the cube root of the volume, as surface goes with volume. A vessel's own two readings are far better.
inline double usual_time_constant_minutes(double mash_l) {
  constexpr double reference_minutes = 600.0, reference_l = 20.0;
  return reference_minutes * std::cbrt(std::max(mash_l, 0.1) / reference_l);
}

enum class LegKind { mash_in, rest, infusion, decoction, direct };

// A stretch of the course. mash_in, infusion and decoction are moments (0 min). Within a stretch the temperature goes to `pole_c`
// as exp(-t / time_constant_minutes); a held rest stays where it is.
struct CourseLeg {
  LegKind kind = LegKind::rest;
  double start_minute = 0.0, minutes = 0.0;
  double start_c = 0.0, end_c = 0.0;
  double pole_c = 0.0, time_constant_minutes = 0.0;
  double heat_capacity_kj_per_k = 0.0;  // of mash and kettle, once what this leg adds is in
  double liquor_kg = 0.0, liquor_c = 0.0;
  double share = 0.0;       // decoction: of the mash, kettle left out
  double brought_kj = 0.0;  // above room temperature, by what is poured in; heat of wetting included
  double heated_kj = 0.0;   // by the heater, what reached the mash
  double lost_kj = 0.0;     // to the room
};

// Outside the leg the nearer end.
double temperature_in_leg_c(const CourseLeg& leg, double minute);

// Sum of brought and heated = stored + lost, for every course.
struct MashCourse {
  double strike_c = 0.0;
  double strike_liquor_kg = 0.0;
  double room_c = 20.0;
  double loss_kj_per_minute_k = 0.0;
  std::vector<CourseLeg> legs;
  double stored_kj = 0.0;  // at the end, above room temperature
  [[nodiscard]] double brought_kj() const;
  [[nodiscard]] double heated_kj() const;
  [[nodiscard]] double lost_kj() const;
  [[nodiscard]] double minutes() const { return legs.empty() ? 0.0 : legs.back().start_minute + legs.back().minutes; }
};

struct MashCourseVerdict {
  std::optional<MashCourse> course;
  std::string refusal, remedy;  // empty with a course
};

// Refuses what is no mash (no grist, no liquor, a rest outside 30..85 C or 0..600 min, numbers that are not numbers) and what the kit
// cannot do: liquor hotter than the boiling point, rests that do not rise, an infusion for which there is not enough liquor, a
// heater too weak. Heat lost while the mash is stirred in or a decoction is away is not reckoned.
MashCourseVerdict mash_course(const MashSetting& setting);

// Masses and heat of the plan's own mash in this kit; rests and ways to them are left for the caller. No grist: no mash.
MashSetting mash_setting(const Kit& kit, const Plan<double>& plan);

// ---- What the course makes of the mash

struct CourseConversion {
  science::MashConversion usual;
  // The same with the enzymes of every decoction taken away from the beginning: the truth lies between. Empty without one.
  std::optional<science::MashConversion> least;
};

// Kinetics along the course, for a grist of this diastatic power (0..840 WK; above that as at 840).
CourseConversion mash_conversion(const MashCourse& course, double diastatic_power_wk,
                                 double report_every_minutes = 5.0);

// Malt or grain in the mash.
struct MashGrain {
  larder::Ingredient ingredient;
  double mass_kg = 0.0;
};

// How a malt's acidity enters, and who says so.
struct GrainAcidity {
  std::string name;
  double mass_kg = 0.0;
  double ph = 0.0, buffering_meq_per_kg_ph = 0.0;
  science::MaltSpread spread{};
  std::string source{};
};

struct MashAcidityReading {
  std::vector<GrainAcidity> grains;
  double ph = 0.0;                              // at 20 C; the forecast's own, grain by grain
  std::optional<science::PhInterval> interval;  // every malt at the worst corner of its spread, all the same way
};

// `mash` is the mixture in the mash tun. Nothing when no grain in it gives it a pH.
std::optional<MashAcidityReading> mash_acidity(const Mixture<double>& mash, const std::vector<MashGrain>& grains);

// Diastatic power of all that is in the mash, WK; what is no malt counts 0. Nothing for an empty mash.
std::optional<double> mash_diastatic_power_wk(const std::vector<MashGrain>& grains);

// Limits of apparent attenuation are stated of the whole extract; this share of them is real. As in science/attenuation.hpp.
inline constexpr double real_per_apparent_attenuation = 0.81;
// The limit a wort has by its sugars (glucose, fructose, sucrose, maltose, maltotriose over all extract). 0 without extract.
double attenuation_limit_of_wort(const Mixture<double>& wort);

}  // namespace oddgrist::process

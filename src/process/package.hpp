// The beer in its bottle or keg: what it feeds, what primes it, what presses on the glass, and how gas is forced in.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "larder/ingredient.hpp"
#include "process/mixture.hpp"
#include "science/bottle_pressure.hpp"
#include "science/carbonation.hpp"
#include "science/nutrition.hpp"

namespace oddgrist::process {

// ---- What is in it

struct PackagedFacts {
  science::BeerFacts<double> per_100_ml;  // energy by the EU factors
  double kcal_asbc_per_100_ml = 0.0;      // the same by the ASBC form, from alcohol and real extract
  double abv_percent = 0.0;
  double alcohol_mass_percent = 0.0;
  double real_extract_mass_percent = 0.0;
  double density_kg_per_m3 = 0.0;
};

// Of the clear liquid, without gas and yeast. Organic acid and polyols count as carbohydrate here. Nothing for a
// mixture without liquid.
[[nodiscard]] std::optional<PackagedFacts> packaged_facts(const Mixture<double>& beer);

// A beer known by its alcohol (% vol) and its gravity only; all its extract is put down as dextrin, and its sugars are
// not known. Nothing if no beer can be so: alcohol outside 0..20 %, or so little gravity that the extract falls below 0.
[[nodiscard]] std::optional<Mixture<double>> beer_from_readings(double litres, double abv_percent, double gravity_sg);

// ---- Priming

struct PrimingDose {
  std::string name;
  double g_per_l = 0.0;
  double low_g_per_l = 0.0, high_g_per_l = 0.0;  // over the range of yields
  double gas_g_per_g = 0.0;
};

// What lifts a litre from `residual_volumes` to `wanted_volumes`, for each sugar of the catalogue that is used for it;
// table sugar first, by the same balance as the forecast's fill step. Yield 0.90..1.00 (science/carbonation.hpp).
[[nodiscard]] std::vector<PrimingDose> priming_doses(double wanted_volumes, double residual_volumes,
                                                     const larder::YeastTraits& yeast);

// Volumes of gas that come of one thousandth of specific gravity still to ferment, by the forward model's gravity;
// whole yield.
[[nodiscard]] double volumes_per_gravity_point(const Mixture<double>& beer);

// ---- A closed bottle

inline constexpr std::array<double, 4> bottle_temperatures_c = {4.0, 20.0, 30.0, 40.0};
inline constexpr double hot_transit_c =
    50.0;  // a parcel van or a car in the sun: 50..70 C (common practice, no source)

struct BottleFill {
  double beer_l = 0.5;  // at `closed_at_c`
  double headspace_l = 0.02;
  double volumes = 2.4;           // all the gas, from priming and residual
  double leftover_volumes = 0.0;  // and from sugar that had not fermented when it was closed
  double closed_at_c = 20.0;
  double warmest_c = 30.0;  // that the bottle will see
  double alcohol_mass_fraction = 0.042;
  double extract_mass_fraction = 0.05;
  double ambient_bar = science::standard_atmosphere_bar;
};

struct BottleReading {
  double temperature_c = 0.0;
  double gauge_bar = 0.0;
  bool full = false;  // beer fills the neck: the figure is too low and the glass breaks
};

struct BottleForecast {
  std::vector<BottleReading> readings;  // at `bottle_temperatures_c`
  BottleReading warmest;
  // In hot transit. The science ends at 40 C; the step from 30 to 40 C is taken once more (own estimate).
  double hot_transit_bar = 0.0;
  bool hot_transit_full = false;
};

// Nothing if a figure is not above 0, the headspace is not smaller than the beer, or `warmest_c` is outside 0..40.
[[nodiscard]] std::optional<BottleForecast> bottle_forecast(const BottleFill& fill);

struct RatingVerdict {
  double rating_bar = 0.0;
  science::BottleVerdict verdict = science::BottleVerdict::refuse;
  std::optional<double> breaks_at_c;  // the lowest temperature of 0..40 C above the rating; nothing: none
  bool breaks_in_hot_transit = false;
};

// At the warmest the bottle will see.
[[nodiscard]] RatingVerdict judge_bottle(const BottleFill& fill, double rating_gauge_bar);

// ---- Gas forced in

struct Forcing {
  double wanted_volumes = 2.5;
  double start_volumes = 0.84;
  double temperature_c = 4.0;
  double high_gauge_bar = 2.76;
  double high_hours = 24.0;
  science::GasUptake uptake = science::gas_uptake_at_rest;
  double ambient_bar = science::standard_atmosphere_bar;
  double alcohol_mass_percent = 4.22;  // the beer the solubility table is for
  double extract_mass_percent = 5.78;
};

struct ForcedReading {
  double hour = 0.0;
  double usual = 0.0, low = 0.0, high = 0.0;  // volumes
};

struct ServingPressure {
  double temperature_c = 0.0;
  double gauge_bar = 0.0;  // below 0: the beer holds that much by itself
};

struct ForcedCourse {
  double serving_gauge_bar = 0.0;
  double high_limit_volumes = 0.0;  // if nobody ever turns it down
  bool reachable = false;           // the wanted content, at the high pressure
  double turn_down_hours = 0.0;     // when the wanted content is reached, usual uptake
  double soonest_hours = 0.0, latest_hours = 0.0;
  ForcedReading turned_down;             // at `high_hours`
  ForcedReading forgotten;               // a day later, still at the high pressure
  ForcedReading week;                    // a week in all
  std::vector<ForcedReading> readings;   // the schedule: high pressure for `high_hours`, then serving pressure
  std::vector<ServingPressure> serving;  // for the wanted content, 0..24 C
};

// By science/carbonation.hpp; the composition of the beer moves the solubility by our own estimate there. Nothing if a
// figure cannot be: temperature outside 0..40 C, a content, pressure or time below 0, an ambient pressure not above 0.
[[nodiscard]] std::optional<ForcedCourse> forced_course(const Forcing& forcing);

}  // namespace oddgrist::process

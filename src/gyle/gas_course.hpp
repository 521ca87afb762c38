// Gas forced into a keg at a high pressure: when to turn it down, how sure that is, and what readings of the gauge teach.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "gyle/event.hpp"
#include "process/package.hpp"

namespace oddgrist::gyle {

struct GasPlan {
  process::Forcing forcing;     // `high_hours` is not read: it is what is asked for
  Instant begun{};              // the high pressure
  double keg_rating_bar = 4.0;  // gauge
};

// The gas shut off, the keg shaken or rested until the gauge stands: then beer and gas are at one.
struct GaugeReading {
  Instant at{};
  double gauge_bar = 0.0;
  double temperature_c = 4.0;
};

// What a gauge and a thermometer in a cellar are good for, together, in volumes (own estimate: 0.05 bar and 1 K).
inline constexpr double gauge_deviation_volumes = 0.12;
// Of the gauge against what was foreseen, in its own deviations with those of the uptake: past it the reading is questioned.
inline constexpr double gauge_questioned_deviations = 3.0;

struct GasPoint {
  double hour = 0.0;
  double low = 0.0, usual = 0.0, high = 0.0;  // volumes
};

enum class GasState { refused, not_reachable, under_way, check_now, turn_down_now };

struct GasCourse {
  GasState state = GasState::refused;
  std::vector<std::string> refusals;  // why it must not be done so
  science::GasUptake uptake;          // learned from the readings; 80 % range
  Instant turn_down{}, soonest{}, latest{};
  double high_hours = 0.0;  // usual
  double serving_gauge_bar = 0.0;
  GasPoint now;
  double forgotten_volumes = 0.0;  // a day too long, usual uptake
  double never_volumes = 0.0;      // if nobody ever turns it down
  Instant next_check{};
  std::vector<double> read_volumes;     // one for each reading
  std::vector<std::size_t> questioned;  // readings that do not fit, by index
  std::vector<GasPoint> curve;          // turned down at the usual time, then at serving pressure
  std::vector<std::string> dangers;     // always some
};

// By process::forced_course, whose uptake is first what practice says and then what the readings say: a log-normal prior over it, with the
// range of science::GasUptake as its middle 80 %, and Student errors of the gauge. Readings must stand in order of time; those later than
// `now` are not read, those before the gas are questioned. Never throws.
[[nodiscard]] GasCourse gas_course(const GasPlan& plan, std::span<const GaugeReading> readings, Instant now);

}  // namespace oddgrist::gyle

#include "gyle/learn_cooling.hpp"

#include <algorithm>
#include <cmath>

#include "gyle/learn.hpp"

namespace oddgrist::gyle {
namespace {

// Common practice, no source: of kits of one kind the middle 80 % cool within 1.8 times as long or as short; with the tap's water and the
// stirring of the day a kit is within a fifth of itself.
const double log_of_kits = std::log(1.8) / z_of_90_percent, log_of_days = std::log(1.2) / z_of_90_percent;
constexpr double minutes_deviation = 1.0;  // of when it was read
constexpr double least_minutes = 2.0;      // sooner says nothing
constexpr double still_cooling_k = 5.0;    // warmer than cold: what has cooled may have stood for hours

CoolingDay day_of(double mean, double variance) {
  const double reach = z_of_90_percent * std::sqrt(variance + log_of_days * log_of_days);
  return {std::exp(mean - reach), std::exp(mean), std::exp(mean + reach)};
}

void start_anew(Cooling& cooling) {
  cooling.mean = std::log(cooling.stated_minutes);
  cooling.variance = log_of_kits * log_of_kits;
}

}  // namespace

std::optional<CoolingSeen> cooling_seen(const process::HopCourse& course, const State& state) {
  std::optional<CoolingSeen> best;
  for (const Taken& taken : state.readings) {
    const Reading& reading = taken.reading;
    if (reading.sight != Sight::temperature || reading.stage != Stage::after_boil || !taken.hours_into_stage) continue;
    const double minute = 60.0 * *taken.hours_into_stage;
    const double off_c = reading.deviation.value_or(usual_deviation(Sight::temperature, reading.value));
    const auto as_read = course.cooling_minutes_if(reading.value, minute);
    const auto warmer = course.cooling_minutes_if(reading.value + off_c, minute);
    const auto later = course.cooling_minutes_if(reading.value, minute + minutes_deviation);
    const double cold_c = course.temperature_c(course.minutes_after_boil());
    if (minute < least_minutes || reading.value < cold_c + still_cooling_k || !as_read || !warmer || !later) continue;
    const double by_heat = std::log(*warmer / *as_read), by_time = std::log(*later / *as_read);
    const CoolingSeen seen{std::log(*as_read), by_heat * by_heat + by_time * by_time};
    if (!best || seen.variance < best->variance) best = seen;
  }
  return best;
}

void restate(Cooling& cooling, double stated_minutes, bool other_kettle) {
  if (!(stated_minutes > 0.0)) return;
  const bool first = cooling.stated_minutes == 0.0;
  const bool same = std::abs(stated_minutes - cooling.stated_minutes) < 1e-9 * stated_minutes;
  if (same && !other_kettle) return;
  cooling.stated_minutes = stated_minutes;
  const double deviation = std::sqrt(cooling.variance + log_of_days * log_of_days);
  if (!first && !other_kettle && cooling.gyles > 0 && std::abs(std::log(stated_minutes) - cooling.mean) <= deviation)
    return;
  start_anew(cooling);
  if (cooling.gyles > 0) cooling.let_go += 1;
  cooling.gyles = 0;
}

void forget(Cooling& cooling, double kept) {
  if (!(cooling.variance > 0.0)) return;
  const double known = kept / cooling.variance, first = (1.0 - kept) / (log_of_kits * log_of_kits);
  cooling.mean = (known * cooling.mean + first * std::log(cooling.stated_minutes)) / (known + first);
  cooling.variance = 1.0 / (known + first);
}

// A day that does not fit pulls with the weight of Student's t, as in learn.hpp.
void learn(Cooling& cooling, const CoolingSeen& seen) {
  if (!(cooling.variance > 0.0)) return;
  const double noise = seen.variance + log_of_days * log_of_days;
  const double off = seen.log_minutes - cooling.mean;
  const double squared = off * off / (noise + cooling.variance);
  const double information = std::min(1.0, (learn_freedom + 1.0) / (learn_freedom + squared)) / noise;
  const double before = 1.0 / cooling.variance;
  cooling.mean += information / (before + information) * off;
  cooling.variance = 1.0 / (before + information);
  if (information / (before + information) >= tells_from) cooling.gyles += 1;
}

CoolingDay coming_day(const Cooling& cooling) { return day_of(cooling.mean, cooling.variance); }
CoolingDay stated_day(const Cooling& cooling) {
  return day_of(std::log(cooling.stated_minutes), log_of_kits * log_of_kits);
}

}  // namespace oddgrist::gyle

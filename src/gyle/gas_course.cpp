#include "gyle/gas_course.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace oddgrist::gyle {
namespace {

constexpr double half_of_80_percent = 1.2816;
constexpr double freedom = 4.0;

double hours_between(Instant from, Instant to) {
  return std::chrono::duration<double, std::ratio<3600>>(to - from).count();
}

Instant after(Instant begun, double hours) {
  return begun + std::chrono::minutes(std::lround(std::clamp(hours, 0.0, 1e5) * 60.0));
}

// Volumes of a gauge at rest, by the same solubility as the forcing.
double volumes_of(const process::Forcing& forcing, const GaugeReading& reading) {
  const double factor =
      science::carbonation_composition_factor_estimate(forcing.alcohol_mass_percent, forcing.extract_mass_percent);
  return science::carbonation_equilibrium_volumes_delange(reading.temperature_c,
                                                          (reading.gauge_bar + forcing.ambient_bar) * factor);
}

// Volumes so many hours into the high pressure, for the three uptakes.
process::ForcedReading forced_at(process::Forcing forcing, double hours) {
  forcing.high_hours = std::max(hours, 0.0);
  const auto course = process::forced_course(forcing);
  return course ? course->turned_down : process::ForcedReading{};
}

bool sound(const GasPlan& plan, const GaugeReading& reading) {
  return reading.at >= plan.begun && std::isfinite(reading.gauge_bar) &&
         reading.gauge_bar > -plan.forcing.ambient_bar &&
         science::carbonation_delange_range_c.holds(reading.temperature_c);
}

struct Learned {
  science::GasUptake uptake;
  std::vector<double> volumes;
  std::vector<std::size_t> questioned;
};

double log_spread(const science::GasUptake& uptake) {
  return std::log(uptake.high_per_hour / uptake.low_per_hour) / (2.0 * half_of_80_percent);
}

void question(const GasPlan& plan, std::span<const GaugeReading> readings, Learned& learned) {
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (!sound(plan, readings[i])) {
      learned.questioned.push_back(i);
      continue;
    }
    const process::ForcedReading foreseen = forced_at(plan.forcing, hours_between(plan.begun, readings[i].at));
    const double spread = (foreseen.high - foreseen.low) / (2.0 * half_of_80_percent);
    const double deviation = std::hypot(spread, gauge_deviation_volumes);
    if (std::abs(learned.volumes[i] - foreseen.usual) > gauge_questioned_deviations * deviation) {
      learned.questioned.push_back(i);
    }
  }
}

// A grid over the logarithm of the uptake.
Learned learn(const GasPlan& plan, std::span<const GaugeReading> readings) {
  Learned learned;
  learned.uptake = plan.forcing.uptake;
  for (const GaugeReading& reading : readings) {
    learned.volumes.push_back(sound(plan, reading) ? volumes_of(plan.forcing, reading) : 0.0);
  }
  question(plan, readings, learned);
  if (readings.empty()) return learned;
  constexpr int cells = 161;
  constexpr double reach = 4.0;
  std::vector<double> log_weight, uptakes;
  for (int cell = 0; cell < cells; ++cell) {
    const double z = reach * (2.0 * cell / (cells - 1.0) - 1.0);
    const double uptake = plan.forcing.uptake.usual_per_hour * std::exp(z * log_spread(plan.forcing.uptake));
    process::Forcing forcing = plan.forcing;
    forcing.uptake = {uptake, uptake, uptake};
    double sum = -0.5 * z * z;
    for (std::size_t i = 0; i < readings.size(); ++i) {
      if (!sound(plan, readings[i])) continue;
      const double foreseen = forced_at(forcing, hours_between(plan.begun, readings[i].at)).usual;
      const double miss = (learned.volumes[i] - foreseen) / gauge_deviation_volumes;
      sum -= 0.5 * (freedom + 1.0) * std::log1p(miss * miss / freedom);
    }
    log_weight.push_back(sum);
    uptakes.push_back(uptake);
  }
  const double most = *std::max_element(log_weight.begin(), log_weight.end());
  double all = 0.0;
  for (double& weight : log_weight) all += weight = std::exp(weight - most);
  // Each cell's weight lies evenly about its middle.
  const double half_step = std::log(uptakes[1] / uptakes[0]) / 2.0;
  const auto at = [&](double share) {
    double passed = 0.0;
    std::size_t cell = 0;
    while (cell + 1 < uptakes.size() && passed + log_weight[cell] < share * all) passed += log_weight[cell++];
    const double part = std::clamp((share * all - passed) / log_weight[cell], 0.0, 1.0);
    return uptakes[cell] * std::exp((2.0 * part - 1.0) * half_step);
  };
  learned.uptake = {at(0.5), at(0.1), at(0.9)};
  return learned;
}

std::vector<std::string> refusals_of(const GasPlan& plan) {
  std::vector<std::string> refusals;
  if (!(plan.forcing.high_gauge_bar <= plan.keg_rating_bar)) {
    refusals.push_back(fmt::format("{:.2f} bar is more than the keg bears ({:.2f} bar). Turn the regulator below that.",
                                   plan.forcing.high_gauge_bar, plan.keg_rating_bar));
  }
  return refusals;
}

std::vector<std::string> dangers_of(const GasPlan& plan) {
  std::vector<std::string> dangers = {
      "Try the relief valve by hand before the gas goes on; never put gas on a vessel without one, never on a bottle "
      "or a "
      "plastic fermenter.",
      "Carbon dioxide chokes without a warning smell, low down first. Keep the door open, and leave at once if breath "
      "comes "
      "short; a whole cylinder let go in a closed cellar kills.",
      fmt::format("Set an alarm for the earliest time. The keg bears {:.1f} bar; past that it may burst.",
                  plan.keg_rating_bar)};
  // Common practice, no source.
  if (plan.forcing.high_gauge_bar > 0.8 * plan.keg_rating_bar) {
    dangers.push_back(
        fmt::format("{:.2f} bar is near what the keg bears; read its stamp.", plan.forcing.high_gauge_bar));
  }
  return dangers;
}

void fill_curve(const process::Forcing& forcing, double to_hour, GasCourse& course) {
  // The schedule's own points, turned down at the usual time.
  process::Forcing turned = forcing;
  turned.high_hours = course.high_hours;
  const auto schedule = process::forced_course(turned);
  if (!schedule) return;
  for (const process::ForcedReading& reading : schedule->readings) {
    if (reading.hour > to_hour) break;
    course.curve.push_back({reading.hour, reading.low, reading.usual, reading.high});
  }
}

}  // namespace

GasCourse gas_course(const GasPlan& plan, std::span<const GaugeReading> readings, Instant now) {
  GasCourse course;
  course.dangers = dangers_of(plan);
  course.refusals = refusals_of(plan);
  std::vector<GaugeReading> past;
  for (const GaugeReading& reading : readings) {
    if (reading.at <= now) past.push_back(reading);
  }
  const auto usable = process::forced_course(plan.forcing);
  if (!usable) course.refusals.emplace_back("With these figures nothing can be reckoned.");
  if (!course.refusals.empty()) return course;
  Learned learned = learn(plan, past);
  course.uptake = learned.uptake;
  course.read_volumes = std::move(learned.volumes);
  course.questioned = std::move(learned.questioned);
  process::Forcing forcing = plan.forcing;
  forcing.uptake = course.uptake;
  const auto forced = process::forced_course(forcing);
  const double hour = std::max(hours_between(plan.begun, now), 0.0);
  const process::ForcedReading here = forced_at(forcing, hour);
  course.now = {hour, here.low, here.usual, here.high};
  course.serving_gauge_bar = forced->serving_gauge_bar;
  course.never_volumes = forced->high_limit_volumes;
  if (!forced->reachable) {
    course.state = GasState::not_reachable;
    return course;
  }
  course.high_hours = forced->turn_down_hours;
  course.turn_down = after(plan.begun, forced->turn_down_hours);
  course.soonest = after(plan.begun, forced->soonest_hours);
  course.latest = after(plan.begun, forced->latest_hours);
  course.forgotten_volumes = forced_at(forcing, forced->turn_down_hours + 24.0).usual;
  course.state = now < course.soonest     ? GasState::under_way
                 : now < course.turn_down ? GasState::check_now
                                          : GasState::turn_down_now;
  // The gauge tells most while the uptakes have parted and nothing is spoilt yet: at the soonest, or now if that is past.
  course.next_check = std::max(course.soonest, now);
  fill_curve(forcing, course.high_hours + 168.0, course);
  return course;
}

}  // namespace oddgrist::gyle

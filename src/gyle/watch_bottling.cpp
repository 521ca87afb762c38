#include "gyle/watch_bottling.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "gyle/watch_readings.hpp"
#include "process/package.hpp"

namespace oddgrist::gyle {
namespace {

constexpr double danger_chance = 0.2, finished_enough = 0.9;
// Ratings are working pressures. Past one by more than a fifth is called far over: hardly ever allowed; a little over, at the warmest the
// bottle will see: seldom.
constexpr double far_over_factor = 1.2, most_far_over = 0.01, most_over = 0.1;
constexpr double alike_sg = 0.0011;  // a thousandth, and what rounding does to two readings of it
constexpr double early_hours = 6.0;  // the second reading may be so much too early

// How long the latest readings have been alike, counted back from the last; nothing alike, or one only: 0.
double steady_hours(const std::vector<WatchedReading>& watched) {
  const WatchedReading* last = nullptr;
  double hours = 0.0;
  for (auto reading = watched.rbegin(); reading != watched.rend(); ++reading) {
    if (reading->questioned) continue;
    if (last == nullptr) {
      last = &*reading;
      continue;
    }
    if (std::abs(reading->gravity_sg - last->gravity_sg) > alike_sg) break;
    hours = last->hour - reading->hour;
  }
  return hours;
}

// Pressure is a straight line over the gas in the bottle (science/bottle_pressure.hpp): two points make it.
struct PressureLine {
  double at_wish_bar = 0.0;
  double per_volume_bar = 0.0;
  bool full = false;
};

PressureLine pressure_line(const process::FermentationCourse& course, double volumes, double warmest_c) {
  process::BottleFill fill;
  fill.volumes = volumes;
  fill.closed_at_c = std::clamp(course.temperature_c, 0.0, 40.0);
  fill.warmest_c = std::clamp(warmest_c, 0.0, 40.0);
  if (!course.points.empty()) {
    if (const auto facts = process::packaged_facts(course.points.back().beer)) {
      fill.alcohol_mass_fraction = facts->alcohol_mass_percent / 100.0;
      fill.extract_mass_fraction = facts->real_extract_mass_percent / 100.0;
    }
  }
  PressureLine line;
  const auto at_wish = process::bottle_forecast(fill);
  fill.leftover_volumes = 1.0;
  const auto above = process::bottle_forecast(fill);
  if (!at_wish || !above) return {0.0, 0.0, true};
  line.at_wish_bar = at_wish->warmest.gauge_bar;
  line.per_volume_bar = above->warmest.gauge_bar - line.at_wish_bar;
  line.full = at_wish->warmest.full;
  return line;
}

ContainerChance container_chance(const PressureLine& line, std::span<const double> to_come, science::Container which) {
  ContainerChance chance;
  chance.container = which;
  chance.rating_bar = science::container_rating(which).working_gauge_bar;
  std::vector<double> pressures;
  const auto share = to_come.empty() ? 0.0 : 1.0 / static_cast<double>(to_come.size());
  for (double volumes : to_come) {
    pressures.push_back(line.at_wish_bar + line.per_volume_bar * volumes);
    if (line.full || pressures.back() > chance.rating_bar) chance.over_rating += share;
    if (line.full || pressures.back() > far_over_factor * chance.rating_bar) chance.far_over += share;
  }
  chance.wish_alone_bar = line.at_wish_bar;
  chance.pressure_bar = band_of(std::move(pressures));
  return chance;
}

std::string percent(double share) {
  if (share < 0.01) return "less than 1 %";
  if (share > 0.99) return "more than 99 %";
  return fmt::format("{:.0f} %", 100.0 * share);
}

std::string days(double hours) { return fmt::format("{:.1f} days", hours / 24.0); }

bool is_keg(science::Container container) {
  return container == science::Container::ball_lock_keg || container == science::Container::draught_keg;
}

void judge_pressure(const WatchFacts& facts, const ContainerChance& vessel, Bottling& bottling) {
  std::vector<std::string>& why = bottling.reasons;
  const std::string_view name = science::container_rating(facts.container).name;
  const std::string_view valve = is_keg(facts.container) ? " Its relief valve must be free." : "";
  if (vessel.far_over > danger_chance) {
    bottling.verdict = CloseUp::danger;
    why.push_back(
        fmt::format("Danger: closed now, a {} {} Chance that what has not fermented drives it far past what it bears "
                    "at {:.0f} °C: {}.",
                    name, is_keg(facts.container) ? "may blow off." : "may burst and throw glass or its cap.",
                    facts.warmest_c, percent(vessel.far_over)));
  } else if (vessel.wish_alone_bar > vessel.rating_bar) {
    why.push_back(
        fmt::format("The gas that is wished for alone takes a {} past what it bears at {:.0f} °C: {:.1f} bar.{}", name,
                    facts.warmest_c, vessel.wish_alone_bar, valve));
  } else if (vessel.far_over > most_far_over || vessel.over_rating > most_over) {
    why.push_back(fmt::format("Closed now, a {} would pass its {:.1f} bar at {:.0f} °C with a chance of {}.{}", name,
                              vessel.rating_bar, facts.warmest_c, percent(vessel.over_rating), valve));
  }
}

void judge(const Watch& watch, const WatchFacts& facts, const ClosingUp& closing, Bottling& bottling) {
  std::vector<std::string>& why = bottling.reasons;
  judge_pressure(facts, bottling.containers.front(), bottling);
  const auto readings = std::count_if(watch.watched.begin(), watch.watched.end(),
                                      [](const WatchedReading& reading) { return !reading.questioned; });
  if (closing.dose_to_come) why.emplace_back("The recipe's late dose is still to go in, and has to ferment.");
  if (readings < 2) {
    why.push_back(readings == 0 ? "No gravity has been read: a forecast alone is no ground for closing a bottle."
                                : "One reading cannot tell whether the gravity still falls.");
  } else if (bottling.steady_hours + early_hours < bottling.wanted_hours) {
    why.push_back(fmt::format("The gravity has been seen steady for {}; wait until two readings {} apart are alike{}.",
                              days(bottling.steady_hours), days(bottling.wanted_hours),
                              closing.long_wait ? ": " + closing.long_wait_why : ""));
  }
  if (watch.chances.finished < finished_enough) {
    why.push_back(watch.chances.finished < 0.01
                      ? "It is not finished."
                      : fmt::format("That it is finished has a chance of {} only.", percent(watch.chances.finished)));
  }
  if (watch.state == FermentState::stuck && watch.chances.stuck > 0.5) {
    why.emplace_back("Steady is not finished: it stands above where it should end, and may wake up in the bottle.");
  }
  if (why.empty()) {
    bottling.verdict = CloseUp::yes;
    why.push_back(fmt::format("Readings {} apart are alike, and it is finished with a chance of {}.",
                              days(bottling.steady_hours), percent(watch.chances.finished)));
  }
}

}  // namespace

Bottling bottling_of(const FermentScene& scene, std::span<const FermentDraw> draws, const Watch& watch,
                     const WatchFacts& facts, const ClosingUp& closing) {
  Bottling bottling;
  bottling.steady_hours = steady_hours(watch.watched);
  bottling.wanted_hours = closing.long_wait ? steady_hours_long : steady_hours_usual;
  const double per_sg = closing.course.points.empty()
                            ? 0.0
                            : 1000.0 * process::volumes_per_gravity_point(closing.course.points.back().beer);
  std::vector<double> to_come;
  for (const FermentDraw& draw : draws) {
    const double left = gravity_at(scene, draw, scene.now_hour) - limit_sg(scene, draw);
    to_come.push_back(std::max(left, 0.0) * per_sg);
  }
  const PressureLine line = pressure_line(closing.course, closing.carbonation_volumes, facts.warmest_c);
  std::vector<science::Container> which = {facts.container};
  for (const auto other : {science::Container::one_way_glass, science::Container::returnable_glass,
                           science::Container::soft_drink_pet, science::Container::ball_lock_keg}) {
    if (other != facts.container) which.push_back(other);
  }
  for (const science::Container container : which) {
    bottling.containers.push_back(container_chance(line, to_come, container));
  }
  bottling.volumes_to_come = band_of(to_come);
  judge(watch, facts, closing, bottling);
  return bottling;
}

}  // namespace oddgrist::gyle

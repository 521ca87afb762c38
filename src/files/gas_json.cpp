#include "files/gas_json.hpp"

#include <algorithm>
#include <string_view>

#include "gyle/local_time.hpp"

namespace oddgrist::files {
namespace {

using gyle::local_time_text;

std::string_view name_of(gyle::GasState state) {
  switch (state) {
    case gyle::GasState::refused: return "refused";
    case gyle::GasState::not_reachable: return "not-reachable";
    case gyle::GasState::under_way: return "under-way";
    case gyle::GasState::check_now: return "check-now";
    case gyle::GasState::turn_down_now: return "turn-down-now";
  }
  return "refused";
}

Json point_json(const gyle::GasPoint& point) {
  return Json{{"hour", point.hour}, {"low", point.low}, {"usual", point.usual}, {"high", point.high}};
}

}  // namespace

Json gas_json(const gyle::GasPlan& plan, std::span<const gyle::GaugeReading> readings, const gyle::GasCourse& course) {
  Json document{{"state", name_of(course.state)},
                {"refusals", course.refusals},
                {"dangers", course.dangers},
                {"wanted_volumes", plan.forcing.wanted_volumes},
                {"high_gauge_bar", plan.forcing.high_gauge_bar},
                {"temperature_c", plan.forcing.temperature_c},
                {"keg_rating_bar", plan.keg_rating_bar},
                {"began", local_time_text(plan.begun)}};
  if (course.state == gyle::GasState::refused) return document;
  document["uptake_per_hour"] = Json{{"usual", course.uptake.usual_per_hour},
                                     {"low", course.uptake.low_per_hour},
                                     {"high", course.uptake.high_per_hour}};
  document["now"] = point_json(course.now);
  document["serving_gauge_bar"] = course.serving_gauge_bar;
  document["never_turned_down_volumes"] = course.never_volumes;
  Json read = Json::array();
  for (std::size_t i = 0; i < course.read_volumes.size(); ++i) {
    const bool odd = std::count(course.questioned.begin(), course.questioned.end(), i) > 0;
    read.push_back(
        Json{{"time", local_time_text(readings[i].at)}, {"volumes", course.read_volumes[i]}, {"questioned", odd}});
  }
  document["readings"] = std::move(read);
  if (course.state == gyle::GasState::not_reachable) return document;
  document["turn_down"] = Json{{"soonest", local_time_text(course.soonest)},
                               {"usual", local_time_text(course.turn_down)},
                               {"latest", local_time_text(course.latest)},
                               {"hours", course.high_hours}};
  document["next_check"] = local_time_text(course.next_check);
  document["day_too_long_volumes"] = course.forgotten_volumes;
  Json curve = Json::array();
  for (const gyle::GasPoint& point : course.curve) curve.push_back(point_json(point));
  document["curve"] = std::move(curve);
  return document;
}

}  // namespace oddgrist::files

#include <cmath>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/answered.hpp"
#include "cli/verbs.hpp"
#include "compose/proposal.hpp"
#include "files/answer_json.hpp"
#include "present/ferment_text.hpp"
#include "process/fermentation_course.hpp"

namespace oddgrist::cli {
namespace {

using files::Json;

struct FermentOptions {
  std::string brief;
  std::string units;
  int proposal = 1;
  double room_m3 = 0.0;  // 0: not stated
  OutputOptions output;
};

Json interval_json(const process::Interval& interval) {
  return Json{{"usual", interval.usual}, {"low", interval.low}, {"high", interval.high}};
}

Json days_json(const std::optional<double>& hour) { return hour ? Json(*hour / 24.0) : Json(nullptr); }

Json days_json(const process::Moments& moments) {
  return Json{{"usual", days_json(moments.usual)},
              {"soonest", days_json(moments.soonest)},
              {"latest", days_json(moments.latest)}};
}

std::string_view name_of(process::CourseStatus status) {
  switch (status) {
    case process::CourseStatus::done: return "done";
    case process::CourseStatus::under_way: return "under-way";
    case process::CourseStatus::stopped_by_alcohol: return "stopped-by-alcohol";
    case process::CourseStatus::stopped_by_cold_or_heat: return "stopped-by-cold-or-heat";
    case process::CourseStatus::nothing_to_ferment: return "nothing-to-ferment";
    case process::CourseStatus::failed: return "failed";
  }
  return "failed";
}

std::string_view name_of(process::PitchVerdict verdict) {
  switch (verdict) {
    case process::PitchVerdict::too_little: return "too-little";
    case process::PitchVerdict::on_the_low_side: return "on-the-low-side";
    case process::PitchVerdict::enough: return "enough";
    case process::PitchVerdict::plenty: return "plenty";
  }
  return "too-little";
}

std::string_view name_of(process::ToleranceVerdict verdict) {
  switch (verdict) {
    case process::ToleranceVerdict::within: return "within";
    case process::ToleranceVerdict::near_limit: return "near-limit";
    case process::ToleranceVerdict::beyond: return "beyond";
  }
  return "beyond";
}

std::string_view name_of(process::TemperatureVerdict verdict) {
  switch (verdict) {
    case process::TemperatureVerdict::within: return "within";
    case process::TemperatureVerdict::too_cold: return "too-cold";
    case process::TemperatureVerdict::too_warm: return "too-warm";
  }
  return "within";
}

std::string_view name_of(process::RoomVerdict verdict) {
  switch (verdict) {
    case process::RoomVerdict::low: return "low";
    case process::RoomVerdict::air_it: return "air-it";
    case process::RoomVerdict::danger: return "danger";
  }
  return "danger";
}

Json pitch_json(const process::PitchCheck& pitch) {
  return Json{{"verdict", name_of(pitch.verdict)},
              {"yeast_g", pitch.yeast_g},
              {"cells", interval_json(pitch.cells)},
              {"cells_wanted", interval_json(pitch.cells_wanted)},
              {"yeast_wanted_g", interval_json(pitch.yeast_wanted_g)}};
}

Json points_json(const process::FermentationCourse& course) {
  Json points = Json::array();
  for (const process::CoursePoint& point : course.points) {
    points.push_back(Json{{"hour", point.hour},
                          {"gravity_sg", interval_json(point.gravity_sg)},
                          {"alcohol_percent_vol", point.abv_percent},
                          {"sugars_g_per_l", point.sugars_g_per_l},
                          {"fermentable_g_per_l", point.fermentable_g_per_l},
                          {"gas_given_off_g", point.gas_kg * 1000.0}});
  }
  return points;
}

Json course_json(const compose::Brief& brief, const compose::Proposal& proposal,
                 const process::FermentationCourse& course, std::optional<double> room_m3) {
  Json document{{"name", brief.name},
                {"yeast", proposal.yeast.name},
                {"status", name_of(course.status)},
                {"volume_l", course.volume_l},
                {"temperature_c", course.temperature_c},
                {"temperature_verdict", name_of(course.temperature)},
                {"outside_published_temperatures", course.extrapolated},
                {"original_gravity_sg", course.original_gravity_sg},
                {"first_end_sg", interval_json(course.first_end_sg)},
                {"end_sg", interval_json(course.end_sg)},
                {"near_end_days", days_json(course.near_end)},
                {"pitch", pitch_json(course.pitch)},
                {"alcohol",
                 {{"verdict", name_of(course.tolerance.verdict)},
                  {"percent_vol", course.tolerance.abv_percent},
                  {"tolerance_percent_vol", course.tolerance.tolerance_abv_percent}}},
                {"warnings", present::ferment_warnings(course, room_m3)}};
  if (course.dose) {
    document["late_dose"] = Json{{"sugar_g", course.dose->sugar_g},
                                 {"rise_sg", course.dose->rise_sg},
                                 {"dose_days", days_json(course.dose->hour)},
                                 {"refermented_days", days_json(course.dose->refermented)}};
  }
  if (room_m3) {
    const process::RoomCheck room = process::room_check(course, *room_m3);
    document["room"] = Json{{"verdict", name_of(room.verdict)},
                            {"room_m3", room.room_m3},
                            {"gas_l", room.gas_l},
                            {"peak_l_per_hour", room.peak_l_per_hour},
                            {"sealed_percent", room.sealed_percent},
                            {"closed_percent", room.closed_percent}};
  }
  document["points"] = points_json(course);
  return document;
}

int run_ferment(const FermentOptions& options) {
  if (!std::isfinite(options.room_m3)) {
    return fail_usage(options.output.json, "--room-m3 is not a number",
                      "Give the room's size in cubic metres, such as 12");
  }
  return with_proposal(
      options.brief, options.units, options.proposal, options.output, [&](const AnsweredBrief& answered) {
        const compose::Proposal& proposal = answered.proposal;
        const process::FermentationCourse course = process::fermentation_course(proposal.plan, proposal.yeast);
        const std::optional<double> room = options.room_m3 > 0.0 ? std::optional(options.room_m3) : std::nullopt;
        const std::string text = options.output.json
                                     ? files::json_text(course_json(answered.brief, proposal, course, room))
                                     : present::ferment_text(answered.brief, proposal, course, room);
        return emit(options.output, text, answered.code);
      });
}

}  // namespace

void add_ferment(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<FermentOptions>();
  CLI::App* verb = app.add_subcommand(
      "ferment", "Follow the fermentation of a brief's recipe: gravity day by day, the yeast, the gas in the room");
  verb->add_option("BRIEF", options->brief, "The brief, a TOML file; - reads standard input")
      ->required()
      ->type_name("");
  verb->add_option("--room-m3", options->room_m3, "Size of the closed room the fermenter stands in, cubic metres")
      ->type_name("M3")
      ->check(CLI::Range(0.1, 1e6).description(""));
  verb->add_option("--proposal", options->proposal, "Which of the recipes that compose shows; 1 is the first")
      ->type_name("N")
      ->check(CLI::Range(1, 99).description(""));
  add_units_option(*verb, options->units);
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist ferment examples/saltmarsh-round.toml --room-m3 12");
  verb->callback([options, &exit_code] { exit_code = run_ferment(*options); });
}

}  // namespace oddgrist::cli

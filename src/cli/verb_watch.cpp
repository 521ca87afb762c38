#include <array>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/answered.hpp"
#include "cli/verbs.hpp"
#include "files/answer_json.hpp"
#include "files/readings_file.hpp"
#include "gyle/local_time.hpp"
#include "gyle/watch.hpp"
#include "present/watch.hpp"
#include "quantity/parse.hpp"

namespace oddgrist::cli {
namespace {

using files::Json;
using gyle::local_time_text;

struct WatchOptions {
  std::string brief, readings;
  std::string now, warmest;
  std::string container = "one-way-glass";
  std::string units;
  int proposal = 1;
  OutputOptions output;
};

struct ContainerName {
  std::string_view name;
  science::Container container;
};
constexpr std::array container_names = std::to_array<ContainerName>({
    {"one-way-glass", science::Container::one_way_glass},
    {"returnable-glass", science::Container::returnable_glass},
    {"sparkling-wine-glass", science::Container::sparkling_wine_glass},
    {"pet", science::Container::soft_drink_pet},
    {"ball-lock-keg", science::Container::ball_lock_keg},
    {"draught-keg", science::Container::draught_keg},
    {"unknown-glass", science::Container::unknown_glass},
});

std::string_view name_of(science::Container container) {
  for (const ContainerName& each : container_names) {
    if (each.container == container) return each.name;
  }
  return "unknown-glass";
}

std::string_view name_of(gyle::FermentState state) {
  switch (state) {
    case gyle::FermentState::cannot_tell: return "cannot-tell";
    case gyle::FermentState::unread: return "unread";
    case gyle::FermentState::lag: return "lag";
    case gyle::FermentState::as_expected: return "as-expected";
    case gyle::FermentState::slow: return "slow";
    case gyle::FermentState::stuck: return "stuck";
    case gyle::FermentState::finished: return "finished";
    case gyle::FermentState::refermenting: return "refermenting";
  }
  return "cannot-tell";
}

std::string_view name_of(gyle::CloseUp verdict) {
  switch (verdict) {
    case gyle::CloseUp::not_yet: return "not-yet";
    case gyle::CloseUp::yes: return "yes";
    case gyle::CloseUp::danger: return "danger";
  }
  return "not-yet";
}

Json band_json(const gyle::Band& band) { return Json{{"low", band.low}, {"median", band.median}, {"high", band.high}}; }

Json questions_json(std::span<const gyle::TimedReading> readings, const gyle::Watch& watch) {
  Json questions = Json::array();
  for (const gyle::Question& question : watch.questions) {
    questions.push_back(Json{{"reading", question.index},
                             {"what", question.what},
                             {"chance", question.chance},
                             {"fits", question.fits ? band_json(*question.fits) : Json(nullptr)},
                             {"likely_mistake", question.likely_mistake},
                             {"likely_value", question.likely_value ? Json(*question.likely_value) : Json(nullptr)},
                             {"words", present::question_words(readings, question)}});
  }
  return questions;
}

Json bottling_json(const gyle::Bottling& bottling) {
  Json containers = Json::array();
  for (const gyle::ContainerChance& chance : bottling.containers) {
    containers.push_back(Json{{"container", name_of(chance.container)},
                              {"rating_bar", chance.rating_bar},
                              {"pressure_bar", band_json(chance.pressure_bar)},
                              {"over_rating", chance.over_rating},
                              {"far_over", chance.far_over}});
  }
  return Json{{"verdict", name_of(bottling.verdict)},
              {"reasons", bottling.reasons},
              {"volumes_to_come", band_json(bottling.volumes_to_come)},
              {"steady_hours", bottling.steady_hours},
              {"wanted_hours", bottling.wanted_hours},
              {"containers", std::move(containers)}};
}

Json time_of(const gyle::Watch& watch, double hour) {
  return local_time_text(watch.pitched + std::chrono::minutes(std::lround(hour * 60.0)));
}

Json finish_json(const gyle::Watch& watch) {
  if (!watch.finished_hour) return nullptr;
  return Json{{"soonest", time_of(watch, watch.finished_hour->low)},
              {"median", time_of(watch, watch.finished_hour->median)},
              {"latest", time_of(watch, watch.finished_hour->high)}};
}

Json watch_json(const compose::Brief& brief, const compose::Proposal& proposal,
                std::span<const gyle::TimedReading> readings, const gyle::Watch& watch) {
  Json watched = Json::array(), curve = Json::array();
  for (const gyle::WatchedReading& seen : watch.watched) {
    watched.push_back(Json{{"reading", seen.index},
                           {"time", local_time_text(readings[seen.index].at)},
                           {"hour", seen.hour},
                           {"gravity_sg", seen.gravity_sg},
                           {"deviation_sg", seen.deviation_sg},
                           {"questioned", seen.questioned}});
  }
  for (const gyle::WatchPoint& point : watch.curve) {
    curve.push_back(Json{{"hour", point.hour}, {"gravity_sg", band_json(point.gravity_sg)}});
  }
  const gyle::StateChances& c = watch.chances;
  Json document{{"name", brief.name},
                {"yeast", proposal.yeast.name},
                {"pitched", local_time_text(watch.pitched)},
                {"hour", watch.hour},
                {"state", name_of(watch.state)},
                {"chance", watch.chance},
                {"chances",
                 {{"lag", c.lag},
                  {"as_expected", c.as_expected},
                  {"slow", c.slow},
                  {"stuck", c.stuck},
                  {"finished", c.finished},
                  {"refermenting", c.refermenting}}},
                {"reasons", watch.reasons},
                {"questions", questions_json(readings, watch)}};
  if (watch.state == gyle::FermentState::cannot_tell) return document;
  document["gravity_now_sg"] = band_json(watch.gravity_now_sg);
  document["start_sg"] = band_json(watch.start_sg);
  document["end_sg"] = band_json(watch.end_sg);
  document["alcohol_now_percent_vol"] = band_json(watch.abv_percent_now);
  document["pace"] = band_json(watch.pace);
  document["finished"] = finish_json(watch);
  document["never_share"] = watch.never_share;
  document["next"] = watch.next ? Json{{"time", local_time_text(watch.next->at)},
                                       {"why", watch.next->why},
                                       {"information_bits", watch.next->information_bits}}
                                : Json(nullptr);
  document["bottling"] = bottling_json(watch.bottling);
  document["watched"] = std::move(watched);
  document["curve"] = std::move(curve);
  return document;
}

gyle::WatchFacts facts_of(const WatchOptions& options, const files::ReadingsFile& file, double warmest_c) {
  gyle::WatchFacts facts;
  facts.pitched = file.pitched;
  facts.dosed = file.dosed;
  facts.warmest_c = warmest_c;
  for (const ContainerName& each : container_names) {
    if (each.name == options.container) facts.container = each.container;
  }
  return facts;
}

int run_watch(const WatchOptions& options) {
  const auto now = options.now.empty() ? gyle::local_now() : gyle::parse_local_time(options.now);
  if (!now) {
    return fail_usage(options.output.json, fmt::format("--now \"{}\" is no time", options.now),
                      "Write the clock on your wall, without a zone, such as 2026-11-25T18:30");
  }
  double warmest_c = 30.0;
  if (!options.warmest.empty()) {
    const auto parsed = parse<TemperatureKind>(options.warmest);
    if (!parsed)
      return fail_usage(options.output.json, "--warmest: " + parsed.error().message, "Write such as \"30 °C\"");
    warmest_c = parsed.value().in(celsius);
    if (!(warmest_c >= 0.0 && warmest_c <= 40.0)) {
      return fail_usage(options.output.json, fmt::format("--warmest \"{}\" cannot be used", options.warmest),
                        "Give a temperature from 0 °C to 40 °C");
    }
  }
  const auto file = files::read_readings_file(options.readings);
  if (!file) return fail(options.output, file.problems());
  const std::vector<gyle::TimedReading>& readings = file.value().readings;
  return with_proposal(
      options.brief, options.units, options.proposal, options.output, [&](const AnsweredBrief& answered) {
        const gyle::Watch watch = gyle::watch_of(answered.brief, answered.proposal, readings, *now,
                                                 facts_of(options, file.value(), warmest_c));
        const std::string text = options.output.json
                                     ? files::json_text(watch_json(answered.brief, answered.proposal, readings, watch))
                                     : present::watch_text(answered.brief, answered.proposal, readings, watch);
        return emit(options.output, text, answered.code);
      });
}

}  // namespace

void add_watch(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<WatchOptions>();
  CLI::App* verb = app.add_subcommand(
      "watch", "Hold readings against the forecast: finished, slow or stuck, what to read next, whether to bottle");
  verb->add_option("BRIEF", options->brief, "The brief, a TOML file; - reads standard input")
      ->required()
      ->type_name("");
  verb->add_option("READINGS", options->readings, "What was read: a table with commas, see docs/file-format.md")
      ->required()
      ->type_name("");
  verb->add_option("--now", options->now, "The time to judge at, 2026-11-25T18:30; else the clock")->type_name("TIME");
  std::vector<std::string> names;
  for (const ContainerName& each : container_names) names.emplace_back(each.name);
  verb->add_option("--container", options->container, "What the beer is to be closed up in; else one-way-glass")
      ->type_name("KIND")
      ->check(CLI::IsMember(names).description(""));
  verb->add_option("--warmest", options->warmest, "Warmest the closed beer will get; else 30 °C")
      ->type_name("TEMPERATURE");
  verb->add_option("--proposal", options->proposal, "Which of the recipes that compose shows; 1 is the first")
      ->type_name("N")
      ->check(CLI::Range(1, 99).description(""));
  add_units_option(*verb, options->units);
  add_output_options(*verb, options->output);
  add_example(*verb,
              "oddgrist watch examples/saltmarsh-round.toml examples/readings/harvest-ale.csv --now 2026-11-08T09:00");
  verb->callback([options, &exit_code] { exit_code = run_watch(*options); });
}

}  // namespace oddgrist::cli

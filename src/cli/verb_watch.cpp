#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/answered.hpp"
#include "cli/verbs.hpp"
#include "files/answer_json.hpp"
#include "files/readings_file.hpp"
#include "files/watch_json.hpp"
#include "gyle/local_time.hpp"
#include "gyle/watch.hpp"
#include "present/watch.hpp"
#include "quantity/parse.hpp"

namespace oddgrist::cli {
namespace {

struct WatchOptions {
  std::string brief, readings;
  std::string now, warmest;
  std::string container = "one-way-glass";
  std::string units;
  int proposal = 1;
  OutputOptions output;
};

gyle::WatchFacts facts_of(const WatchOptions& options, const files::ReadingsFile& file, double warmest_c) {
  gyle::WatchFacts facts;
  facts.pitched = file.pitched;
  facts.dosed = file.dosed;
  facts.warmest_c = warmest_c;
  facts.container = files::container_named(options.container).value_or(facts.container);
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
                                     ? files::json_text(files::watch_json(answered.brief, answered.proposal, readings,
                                                                          watch, present::question_words))
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
  for (const files::ContainerName& each : files::container_names()) names.emplace_back(each.name);
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

#include <algorithm>
#include <cctype>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/verbs.hpp"
#include "files/answer_json.hpp"
#include "files/gas_json.hpp"
#include "gyle/gas_course.hpp"
#include "gyle/local_time.hpp"
#include "present/watch.hpp"
#include "quantity/parse.hpp"
#include "quantity/print.hpp"

namespace oddgrist::cli {
namespace {

struct GasOptions {
  std::string volumes, start, temperature, high, rating, altitude, began, now;
  std::string uptake = "rest";
  std::vector<std::string> readings;
  std::string units;
  OutputOptions output;
};

struct BadOption {
  std::string what, remedy;
};

template <class Kind>
double value_of(std::string_view option, const std::string& text, Unit<Kind> unit, double low, double high,
                double otherwise) {
  if (text.empty()) return otherwise;
  const auto parsed = parse<Kind>(text);
  if (!parsed) {
    std::string hint = parsed.error().hint;
    if (!hint.empty()) hint.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(hint.front())));
    throw BadOption{fmt::format("{}: {}", option, parsed.error().message), hint};
  }
  const double value = parsed.value().in(unit);
  if (value >= low && value <= high) return value;
  throw BadOption{fmt::format("{} \"{}\" cannot be used", option, text),
                  fmt::format("Give a value from {} to {}", print(low * unit, unit), print(high * unit, unit))};
}

gyle::Instant time_of(std::string_view option, std::string_view text) {
  const auto at = gyle::parse_local_time(text);
  if (at) return *at;
  throw BadOption{fmt::format("{} \"{}\" is no time", option, text),
                  "Write the clock on your wall, without a zone, such as 2026-11-25T18:30"};
}

// "2026-11-25T18:30 1.4 bar" or "2026-11-25T18:30 1.4 bar at 6 °C"
gyle::GaugeReading reading_of(const std::string& text, double temperature_c) {
  const auto space = text.find(' ');
  if (space == std::string::npos) {
    throw BadOption{fmt::format("--read \"{}\" lacks its pressure", text),
                    "Write time and gauge pressure, such as \"2026-11-25T18:30 1.4 bar at 6 °C\""};
  }
  gyle::GaugeReading reading;
  reading.at = time_of("--read", std::string_view(text).substr(0, space));
  std::string pressure = text.substr(space + 1), warmth;
  if (const auto at = pressure.find(" at "); at != std::string::npos) {
    warmth = pressure.substr(at + 4);
    pressure.erase(at);
  }
  reading.gauge_bar = value_of("--read", pressure, bar, 0.0, 20.0, 0.0);
  reading.temperature_c = value_of("--read", warmth, celsius, 0.0, 40.0, temperature_c);
  return reading;
}

gyle::GasPlan plan_of(const GasOptions& options, gyle::Instant now) {
  gyle::GasPlan plan;
  process::Forcing& forcing = plan.forcing;
  forcing.ambient_bar =
      science::standard_pressure_bar_icao(value_of("--altitude", options.altitude, metre, 0.0, 6000.0, 0.0));
  forcing.temperature_c = value_of("--temperature", options.temperature, celsius, 0.0, 40.0, 4.0);
  forcing.wanted_volumes = value_of("--volumes", options.volumes, volumes_co2, 0.2, 8.0, 2.5);
  forcing.start_volumes =
      value_of("--start", options.start, volumes_co2, 0.0, 8.0, science::carbonation_residual_volumes(20.0));
  forcing.high_gauge_bar = value_of("--high", options.high, bar, 0.0, 10.0, (40.0 * psi).in(bar));
  forcing.uptake = options.uptake == "shaken"  ? science::gas_uptake_shaken
                   : options.uptake == "stone" ? science::gas_uptake_stone
                                               : science::gas_uptake_at_rest;
  plan.keg_rating_bar = value_of("--rating", options.rating, bar, 0.1, 50.0,
                                 science::container_rating(science::Container::ball_lock_keg).working_gauge_bar);
  plan.begun = options.began.empty() ? now : time_of("--began", options.began);
  if (plan.begun > now) throw BadOption{"--began lies after now", "Check both times, or give --now"};
  return plan;
}

int run_gas(const GasOptions& options) {
  try {
    const gyle::Instant now = options.now.empty() ? gyle::local_now() : time_of("--now", options.now);
    const gyle::GasPlan plan = plan_of(options, now);
    std::vector<gyle::GaugeReading> readings;
    for (const std::string& text : options.readings) readings.push_back(reading_of(text, plan.forcing.temperature_c));
    std::stable_sort(readings.begin(), readings.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
    const gyle::GasCourse course = gyle::gas_course(plan, readings, now);
    const std::string text = options.output.json
                                 ? files::json_text(files::gas_json(plan, readings, course))
                                 : present::gas_text(plan, readings, course, now, options.units == "us");
    return emit(options.output, text, course.state == gyle::GasState::refused ? refused_unsafe : all_well);
  } catch (const BadOption& bad) {
    return fail_usage(options.output.json, bad.what, bad.remedy);
  }
}

void add_text(CLI::App& verb, const char* name, std::string& into, const char* words, const char* type) {
  verb.add_option(name, into, words)->type_name(type);
}

}  // namespace

void add_gas(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<GasOptions>();
  CLI::App* verb =
      app.add_subcommand("gas", "Gas forced into a keg at high pressure: when to turn it down, and what a gauge says");
  GasOptions& o = *options;
  add_text(*verb, "--volumes", o.volumes, "Gas wanted; else 2.5 vol", "VOL");
  add_text(*verb, "--start", o.start, "Gas the beer holds already; else what stays at 20 °C", "VOL");
  add_text(*verb, "--temperature", o.temperature, "Of the beer; else 4 °C", "TEMPERATURE");
  add_text(*verb, "--high", o.high, "Gauge pressure the gas is forced in at; else 40 psi", "PRESSURE");
  verb->add_option("--by", o.uptake, "How the gas gets in: rest, shaken or stone")
      ->type_name("HOW")
      ->check(CLI::IsMember({"rest", "shaken", "stone"}).description(""));
  add_text(*verb, "--rating", o.rating, "What the keg's stamp says it bears; else 4 bar", "PRESSURE");
  add_text(*verb, "--altitude", o.altitude, "Height above the sea; else 0 m", "LENGTH");
  add_text(*verb, "--began", o.began, "When the high pressure was put on; else now", "TIME");
  add_text(*verb, "--now", o.now, "The time to judge at, 2026-11-25T18:30; else the clock", "TIME");
  verb->add_option("--read", o.readings,
                   "A gauge at rest, gas shut off; may be given again: \"TIME PRESSURE at TEMPERATURE\"")
      ->type_name("READING");
  add_units_option(*verb, o.units);
  add_output_options(*verb, o.output);
  add_example(*verb,
              "oddgrist gas --volumes \"2.5 vol\" --began 2026-11-24T18:00 --now 2026-11-25T12:00 --read "
              "\"2026-11-25T12:00 0.5 bar at 4 °C\"");
  verb->callback([options, &exit_code] { exit_code = run_gas(*options); });
}

}  // namespace oddgrist::cli

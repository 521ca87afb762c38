#include <algorithm>
#include <cctype>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/answered.hpp"
#include "cli/verbs.hpp"
#include "compose/proposal.hpp"
#include "files/answer_json.hpp"
#include "present/package_text.hpp"
#include "process/package.hpp"
#include "quantity/parse.hpp"
#include "quantity/print.hpp"

namespace oddgrist::cli {
namespace {

using files::Json;

struct CarbonateOptions {
  std::string brief;
  std::string units;
  int proposal = 1;
  std::string beer, volumes, start, fermented_at, alcohol, gravity, bottled_at;
  std::string bottle, headspace, rating, warmest;
  std::string temperature, high, hours, altitude;
  std::string uptake = "rest";
  OutputOptions output;
};

// What an option says wrongly.
struct BadOption {
  std::string what, remedy;
};

// The quantity of an option in a unit; nothing if the option was not given. Refused outside low..high.
template <class Kind>
std::optional<double> value_of(std::string_view option, const std::string& text, Unit<Kind> unit, double low,
                               double high) {
  if (text.empty()) return std::nullopt;
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

// The beer as the forecast or the options know it.
struct Beer {
  std::string name;
  double litres = 0.0;
  double wanted_volumes = 2.4;
  double residual_volumes = 0.0;
  double fermented_at_c = 20.0;
  double final_gravity_sg = 0.0;  // 0: not known
  std::optional<process::Mixture<double>> mixture;
  bool composed = false;
  larder::YeastTraits yeast;
};

Beer beer_of(const compose::Brief& brief, const compose::Proposal& proposal) {
  Beer beer;
  beer.name = brief.name;
  beer.litres = proposal.forecast.packaged_volume_l;
  beer.wanted_volumes = brief.carbonation_volumes;
  beer.fermented_at_c = brief.ferment_at.in(celsius);
  beer.final_gravity_sg = proposal.forecast.final_gravity_sg;
  beer.composed = true;
  if (proposal.yeast.yeast) beer.yeast = *proposal.yeast.yeast;
  const auto& trace = proposal.forecast.trace;
  if (trace.size() < 2) return beer;
  beer.mixture = trace.back().after;
  const auto& racked = trace[trace.size() - 2].after;
  const double litres = process::liquid_volume_l(racked, 20.0);
  if (litres > 0.0) {
    beer.litres = litres;  // what the sugar is stirred into
    beer.residual_volumes =
        racked[process::Component::carbon_dioxide] * 1000.0 / litres / science::carbon_dioxide_g_per_l_per_volume;
  }
  return beer;
}

// What the options say of the beer stands before what the brief says.
void read_beer(const CarbonateOptions& options, Beer& beer) {
  if (const auto litres = value_of("--beer", options.beer, litre, 0.05, 1e5)) {
    if (beer.mixture && beer.litres > 0.0) {
      for (double& mass : beer.mixture->mass_kg) mass *= *litres / beer.litres;
    }
    beer.litres = *litres;
  }
  if (const auto wanted = value_of("--volumes", options.volumes, volumes_co2, 0.2, 8.0)) beer.wanted_volumes = *wanted;
  if (!(beer.litres > 0.0))
    throw BadOption{"how much beer there is, is not said", "Name a brief, or give --beer \"9.5 L\""};
  const auto warm = value_of("--fermented-at", options.fermented_at, celsius, 0.0, 40.0);
  if (warm) beer.fermented_at_c = *warm;
  if (warm || !beer.composed) beer.residual_volumes = science::carbonation_residual_volumes(beer.fermented_at_c);
  if (const auto start = value_of("--start", options.start, volumes_co2, 0.0, 8.0)) beer.residual_volumes = *start;
  const auto alcohol = value_of("--alcohol", options.alcohol, percent, 0.0, 20.0);
  const auto gravity = value_of("--gravity", options.gravity, specific_gravity, 0.98, 1.1);
  if (gravity) beer.final_gravity_sg = *gravity;
  if (!alcohol && !gravity) return;
  if (!alcohol || !gravity) throw BadOption{"--alcohol and --gravity belong together", "Give both or neither"};
  beer.mixture = process::beer_from_readings(beer.litres, *alcohol, *gravity);
  beer.composed = false;
  if (!beer.mixture) {
    throw BadOption{
        fmt::format("no beer has {} and {}: its extract would be below nothing", options.alcohol, options.gravity),
        "Check the reading; a beer of 5 % vol lies at 0.993 or above"};
  }
}

// Volumes that what has not fermented will add.
double leftover_volumes(const CarbonateOptions& options, const Beer& beer, present::Package& package) {
  const auto read = value_of("--bottled-at", options.bottled_at, specific_gravity, 0.98, 1.2);
  if (!read) return 0.0;
  if (!(beer.final_gravity_sg > 0.0)) {
    throw BadOption{"--bottled-at needs to know where the gravity ends",
                    "Name a brief, or give --gravity and --alcohol"};
  }
  package.gravity_points_left = std::max(*read - beer.final_gravity_sg, 0.0) * 1000.0;
  return package.gravity_points_left * process::volumes_per_gravity_point(*beer.mixture);
}

void read_bottle(const CarbonateOptions& options, const Beer& beer, double ambient_bar, present::Package& package) {
  process::BottleFill& fill = package.fill;
  const auto bottle = value_of("--bottle", options.bottle, litre, 0.02, 100.0);
  fill.beer_l = bottle.value_or(0.5);
  package.bottles_l = bottle ? std::vector{*bottle} : std::vector{0.5, 0.33, 0.75};
  fill.headspace_l = 0.04 * fill.beer_l;
  if (const auto headspace = value_of("--headspace", options.headspace, litre, 0.0, 100.0))
    fill.headspace_l = *headspace;
  if (!(fill.headspace_l > 0.0 && fill.headspace_l < fill.beer_l)) {
    throw BadOption{fmt::format("--headspace \"{}\" leaves the beer no room to grow when it warms, or leaves no beer",
                                options.headspace),
                    "Leave 15 mL to 30 mL in a bottle of half a litre; the headspace must be smaller than the beer"};
  }
  fill.warmest_c = value_of("--warmest", options.warmest, celsius, 0.0, 40.0).value_or(30.0);
  fill.closed_at_c = beer.fermented_at_c;
  fill.volumes = std::max(beer.wanted_volumes, beer.residual_volumes);
  fill.ambient_bar = ambient_bar;
  if (package.facts) {
    fill.alcohol_mass_fraction = package.facts->alcohol_mass_percent / 100.0;
    fill.extract_mass_fraction = package.facts->real_extract_mass_percent / 100.0;
  }
  fill.leftover_volumes = leftover_volumes(options, beer, package);
}

void read_forcing(const CarbonateOptions& options, const Beer& beer, double ambient_bar, present::Package& package) {
  process::Forcing plan;
  plan.wanted_volumes = beer.wanted_volumes;
  plan.start_volumes = beer.residual_volumes;
  plan.temperature_c = value_of("--temperature", options.temperature, celsius, 0.0, 40.0).value_or(4.0);
  plan.high_gauge_bar = value_of("--high", options.high, bar, 0.0, 10.0).value_or((40.0 * psi).in(bar));
  plan.high_hours =
      value_of("--hours", options.hours, hour, 0.0, 1000.0).value_or(options.uptake == "rest" ? 24.0 : 0.25);
  plan.uptake = options.uptake == "shaken"  ? science::gas_uptake_shaken
                : options.uptake == "stone" ? science::gas_uptake_stone
                                            : science::gas_uptake_at_rest;
  plan.ambient_bar = ambient_bar;
  if (package.facts) {
    plan.alcohol_mass_percent = package.facts->alcohol_mass_percent;
    plan.extract_mass_percent = package.facts->real_extract_mass_percent;
  }
  package.forcing = plan;
  package.forced = process::forced_course(plan);
}

present::Package package_of(const CarbonateOptions& options, Beer beer, bool us_units_first) {
  read_beer(options, beer);
  present::Package package;
  package.beer_name = beer.name;
  package.us_units_first = us_units_first;
  package.beer_l = beer.litres;
  package.wanted_volumes = beer.wanted_volumes;
  package.residual_volumes = beer.residual_volumes;
  package.altitude_m = value_of("--altitude", options.altitude, metre, 0.0, 6000.0).value_or(0.0);
  const double ambient_bar = science::standard_pressure_bar_icao(package.altitude_m);
  if (beer.mixture) package.facts = process::packaged_facts(*beer.mixture);
  package.sugars_known = beer.composed;
  read_bottle(options, beer, ambient_bar, package);
  package.priming = process::priming_doses(beer.wanted_volumes, beer.residual_volumes, beer.yeast);
  const auto bottle = process::bottle_forecast(package.fill);
  if (!bottle)
    throw BadOption{"the pressure in this bottle cannot be reckoned", "Check --bottle, --headspace and --volumes"};
  package.bottle = *bottle;
  if (const auto rating = value_of("--rating", options.rating, bar, 0.1, 50.0)) {
    package.stated = process::judge_bottle(package.fill, *rating);
  }
  // Only a keg is put under gas.
  const bool forced = !options.high.empty() || !options.hours.empty() || !options.temperature.empty();
  if (forced) read_forcing(options, beer, ambient_bar, package);
  return package;
}

// ---- JSON

std::string_view name_of(science::BottleVerdict verdict) {
  switch (verdict) {
    case science::BottleVerdict::sound: return "sound";
    case science::BottleVerdict::near_limit: return "near-limit";
    case science::BottleVerdict::refuse: return "refuse";
  }
  return "refuse";
}

Json rating_json(const process::RatingVerdict& judged) {
  return Json{{"rating_bar", judged.rating_bar},
              {"verdict", name_of(judged.verdict)},
              {"breaks_at_c", judged.breaks_at_c ? Json(*judged.breaks_at_c) : Json(nullptr)},
              {"breaks_in_hot_transit", judged.breaks_in_hot_transit}};
}

Json reading_json(const process::BottleReading& reading) {
  return Json{{"temperature_c", reading.temperature_c}, {"gauge_bar", reading.gauge_bar}, {"full", reading.full}};
}

Json bottle_json(const present::Package& package) {
  Json readings = Json::array();
  for (const auto& reading : package.bottle.readings) readings.push_back(reading_json(reading));
  Json containers = Json::array();
  for (const auto& rating : science::container_ratings) {
    Json row = rating_json(process::judge_bottle(package.fill, rating.working_gauge_bar));
    row["name"] = rating.name;
    row["source"] = rating.source;
    containers.push_back(std::move(row));
  }
  return Json{{"beer_l", package.fill.beer_l},
              {"headspace_l", package.fill.headspace_l},
              {"volumes", package.fill.volumes},
              {"leftover_volumes", package.fill.leftover_volumes},
              {"gravity_points_left", package.gravity_points_left},
              {"readings", std::move(readings)},
              {"warmest", reading_json(package.bottle.warmest)},
              {"hot_transit",
               {{"temperature_c", process::hot_transit_c},
                {"gauge_bar", package.bottle.hot_transit_bar},
                {"full", package.bottle.hot_transit_full}}},
              {"containers", std::move(containers)}};
}

Json priming_json(const present::Package& package) {
  Json rows = Json::array();
  for (const process::PrimingDose& dose : package.priming) {
    rows.push_back(Json{{"sugar", dose.name},
                        {"total_g", dose.g_per_l * package.beer_l},
                        {"g_per_l", dose.g_per_l},
                        {"low_g_per_l", dose.low_g_per_l},
                        {"high_g_per_l", dose.high_g_per_l},
                        {"gas_g_per_g", dose.gas_g_per_g}});
  }
  return rows;
}

Json forced_reading_json(const process::ForcedReading& reading) {
  return Json{{"hour", reading.hour}, {"usual", reading.usual}, {"low", reading.low}, {"high", reading.high}};
}

Json forced_json(const process::Forcing& plan, const process::ForcedCourse& course) {
  Json readings = Json::array(), serving = Json::array();
  for (const auto& reading : course.readings) readings.push_back(forced_reading_json(reading));
  for (const auto& at : course.serving)
    serving.push_back(Json{{"temperature_c", at.temperature_c}, {"gauge_bar", at.gauge_bar}});
  const auto hours = [&](double value) { return course.reachable ? Json(value) : Json(nullptr); };
  return Json{{"temperature_c", plan.temperature_c},
              {"high_gauge_bar", plan.high_gauge_bar},
              {"high_hours", plan.high_hours},
              {"serving_gauge_bar", course.serving_gauge_bar},
              {"turn_down_hours", hours(course.turn_down_hours)},
              {"soonest_hours", hours(course.soonest_hours)},
              {"latest_hours", hours(course.latest_hours)},
              {"forgotten", forced_reading_json(course.forgotten)},
              {"never_turned_down_volumes", course.high_limit_volumes},
              {"readings", std::move(readings)},
              {"serving", std::move(serving)}};
}

Json facts_json(const present::Package& package) {
  const process::PackagedFacts& facts = *package.facts;
  const science::BeerFacts<double>& part = facts.per_100_ml;
  Json servings = Json::array();
  for (double litres : package.bottles_l) {
    servings.push_back(Json{{"volume_l", litres},
                            {"energy_kj", part.energy_kj * litres * 10.0},
                            {"alcohol_units_uk", science::alcohol_units_uk(litres, facts.abv_percent / 100.0)},
                            {"standard_drinks_us", science::standard_drinks_us(litres, facts.abv_percent / 100.0)}});
  }
  Json per_100_ml{{"energy_kj", part.energy_kj},
                  {"energy_kcal", part.energy_kcal},
                  {"energy_kcal_asbc", facts.kcal_asbc_per_100_ml},
                  {"carbohydrate_g", part.carbohydrate_g},
                  {"alcohol_g", part.alcohol_g}};
  if (package.sugars_known) {
    per_100_ml.update(Json{
        {"sugars_g", part.sugars_g}, {"protein_g", part.protein_g}, {"fat_g", part.fat_g}, {"salt_g", part.salt_g}});
  }
  return Json{{"alcohol_percent_vol", facts.abv_percent},
              {"per_100_ml", std::move(per_100_ml)},
              {"servings", std::move(servings)}};
}

// A refused package carries neither sugar nor schedule, in JSON either.
Json package_json(const present::Package& package) {
  const std::vector<std::string> refusals = present::package_refusals(package);
  Json document{{"name", package.beer_name},
                {"refusals", refusals},
                {"beer_l", package.beer_l},
                {"wanted_volumes", package.wanted_volumes},
                {"residual_volumes", package.residual_volumes},
                {"altitude_m", package.altitude_m},
                {"bottle", bottle_json(package)}};
  if (package.stated) document["stated_rating"] = rating_json(*package.stated);
  if (package.facts) document["facts"] = facts_json(package);
  if (!refusals.empty()) return document;
  document["priming"] = priming_json(package);
  if (package.forced) document["forced"] = forced_json(*package.forcing, *package.forced);
  return document;
}

// ----

int show(const CarbonateOptions& options, const Beer& beer, bool us_units_first) {
  const present::Package package = package_of(options, beer, us_units_first);
  const int code = present::package_refusals(package).empty() ? all_well : refused_unsafe;
  return emit(options.output,
              options.output.json ? files::json_text(package_json(package)) : present::package_text(package), code);
}

int run_brief(const CarbonateOptions& options) {
  return with_proposal(
      options.brief, options.units, options.proposal, options.output, [&](const AnsweredBrief& answered) {
        const int code = show(options, beer_of(answered.brief, answered.proposal), answered.brief.us_units_first);
        return code == all_well ? answered.code : code;
      });
}

int run_carbonate(const CarbonateOptions& options) {
  try {
    return options.brief.empty() ? show(options, Beer{}, options.units == "us") : run_brief(options);
  } catch (const BadOption& bad) {
    return fail_usage(options.output.json, bad.what, bad.remedy);
  }
}

void add_text(CLI::App& verb, const char* name, std::string& into, const char* words, const char* type) {
  verb.add_option(name, into, words)->type_name(type);
}

}  // namespace

void add_carbonate(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<CarbonateOptions>();
  CLI::App* verb = app.add_subcommand(
      "carbonate", "Gas in bottle and keg: priming sugar, pressure, what the glass bears, what the beer feeds");
  CarbonateOptions& o = *options;
  verb->add_option("BRIEF", o.brief, "The brief, a TOML file; - reads standard input; or give --beer")->type_name("");
  verb->add_option("--proposal", o.proposal, "Which of the recipes that compose shows; 1 is the first")
      ->type_name("N")
      ->check(CLI::Range(1, 99).description(""));
  add_text(*verb, "--beer", o.beer, "How much beer there is", "VOLUME");
  add_text(*verb, "--volumes", o.volumes, "Gas wanted; 2.4 vol if nothing is said", "VOL");
  add_text(*verb, "--start", o.start, "Gas the beer holds already; else by --fermented-at", "VOL");
  add_text(*verb, "--fermented-at", o.fermented_at, "Warmest the beer was since fermenting; else 20 °C", "TEMPERATURE");
  add_text(*verb, "--alcohol", o.alcohol, "Alcohol by volume, with --gravity, for the nutrition facts", "PERCENT");
  add_text(*verb, "--gravity", o.gravity, "Gravity the beer ends at, with --alcohol", "GRAVITY");
  add_text(*verb, "--bottled-at", o.bottled_at, "Gravity read when it was closed, if that was early", "GRAVITY");
  add_text(*verb, "--bottle", o.bottle, "Beer in a bottle; else 0.5 L", "VOLUME");
  add_text(*verb, "--headspace", o.headspace, "Left free in its neck; else 4 % of the beer", "VOLUME");
  add_text(*verb, "--rating", o.rating, "Gauge pressure the container bears; above it: refused", "PRESSURE");
  add_text(*verb, "--warmest", o.warmest, "Warmest the bottle will get; else 30 °C", "TEMPERATURE");
  add_text(*verb, "--temperature", o.temperature, "Of the beer while gas is forced in; else 4 °C", "TEMPERATURE");
  add_text(*verb, "--high", o.high, "Gauge pressure the gas is forced in at; else 40 psi", "PRESSURE");
  add_text(*verb, "--hours", o.hours, "How long the high pressure stands; else 24 h at rest, 15 min otherwise", "TIME");
  verb->add_option("--by", o.uptake, "How the gas gets in: rest, shaken or stone")
      ->type_name("HOW")
      ->check(CLI::IsMember({"rest", "shaken", "stone"}).description(""));
  add_text(*verb, "--altitude", o.altitude, "Height above the sea; else 0 m", "LENGTH");
  add_units_option(*verb, o.units);
  add_output_options(*verb, o.output);
  add_example(*verb,
              "oddgrist carbonate --beer \"9.5 L\" --volumes \"2.5 vol\" --bottle \"0.5 L\" --rating \"4.5 bar\"");
  verb->callback([options, &exit_code] { exit_code = run_carbonate(*options); });
}

}  // namespace oddgrist::cli

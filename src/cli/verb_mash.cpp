#include <cmath>
#include <memory>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "cli/answered.hpp"
#include "cli/verbs.hpp"
#include "compose/proposal.hpp"
#include "files/answer_json.hpp"
#include "present/mash.hpp"
#include "quantity/parse.hpp"

namespace oddgrist::cli {
namespace {

using files::Json;

struct MashOptions {
  std::string brief;
  std::string units;
  int proposal = 1;
  std::vector<std::string> rests;
  std::string step = "infusion";
  std::string power, efficiency, grain, infusion, cooled;
  bool held = false;
  OutputOptions output;
};

// What an option says wrongly.
struct BadOption {
  std::string what, remedy;
};

template <class Kind>
Quantity<Kind> quantity_of(std::string_view option, std::string_view text) {
  const auto parsed = parse<Kind>(text);
  if (!parsed) throw BadOption{fmt::format("{} \"{}\": {}", option, text, parsed.error().message), parsed.error().hint};
  return parsed.value();
}

// "65 °C 60 min": cut where what follows is a time.
process::MashRest rest_of(const std::string& text) {
  const std::string_view view(text);
  for (std::size_t at = text.find(' '); at != std::string::npos; at = text.find(' ', at + 1)) {
    const auto time = parse<DurationKind>(view.substr(at + 1));
    if (time) return {quantity_of<TemperatureKind>("--rest", view.substr(0, at)).in(celsius), time.value().in(minute)};
  }
  throw BadOption{fmt::format("--rest \"{}\" is not a temperature and a time", text),
                  "Write for instance --rest \"65 °C 60 min\""};
}

// "66 °C, 63.5 °C, 60 min": two readings and the time between them.
double time_constant_of(const std::string& text, double room_c) {
  const auto first = text.find(','), second = text.find(',', first == std::string::npos ? first : first + 1);
  if (second == std::string::npos) {
    throw BadOption{fmt::format("--cooled \"{}\" is not two temperatures and a time", text),
                    "Write for instance --cooled \"66 °C, 63.5 °C, 60 min\""};
  }
  const std::string_view view(text);
  const double start_c = quantity_of<TemperatureKind>("--cooled", view.substr(0, first)).in(celsius);
  const double later_c =
      quantity_of<TemperatureKind>("--cooled", view.substr(first + 1, second - first - 1)).in(celsius);
  const double minutes = quantity_of<DurationKind>("--cooled", view.substr(second + 1)).in(minute);
  if (!(start_c > later_c && later_c > room_c && minutes > 0.0)) {
    throw BadOption{
        fmt::format("--cooled \"{}\": the mash must cool, and stay above the room's {:.1f} °C", text, room_c),
        "Give the first reading, the later one, and the time between them"};
  }
  return science::cooling_time_constant_minutes(start_c, later_c, room_c, minutes);
}

void read_options(const MashOptions& options, process::MashSetting& setting) {
  if (!options.rests.empty()) setting.rests.clear();
  for (const std::string& rest : options.rests) setting.rests.push_back(rest_of(rest));
  setting.step = options.step == "direct"      ? process::RestStep::direct
                 : options.step == "decoction" ? process::RestStep::decoction
                                               : process::RestStep::infusion;
  setting.held = options.held;
  if (!options.power.empty()) setting.power_kw = quantity_of<PowerKind>("--power", options.power).in(kilowatt);
  if (!options.efficiency.empty())
    setting.heater_efficiency = quantity_of<FractionKind>("--efficiency", options.efficiency).in(ratio);
  if (!options.grain.empty()) setting.grain_c = quantity_of<TemperatureKind>("--grain", options.grain).in(celsius);
  if (!options.infusion.empty())
    setting.infusion_c = quantity_of<TemperatureKind>("--infusion", options.infusion).in(celsius);
  if (!options.cooled.empty()) setting.time_constant_minutes = time_constant_of(options.cooled, setting.room_c);
}

double rounded(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double result = std::round(value * scale) / scale;
  return result == 0.0 ? 0.0 : result;  // never "-0.0"
}

const char* leg_name(process::LegKind kind) {
  switch (kind) {
    case process::LegKind::mash_in: return "mash-in";
    case process::LegKind::rest: return "rest";
    case process::LegKind::infusion: return "infusion";
    case process::LegKind::decoction: return "decoction";
    case process::LegKind::direct: return "direct";
  }
  return "unknown";
}

const char* enzyme_name(science::EnzymeVerdict verdict) {
  switch (verdict) {
    case science::EnzymeVerdict::enough: return "enough";
    case science::EnzymeVerdict::slow: return "slow";
    case science::EnzymeVerdict::too_little: return "too-little";
  }
  return "unknown";
}

Json course_json(const present::MashAnswer& answer) {
  Json legs = Json::array();
  for (const process::CourseLeg& leg : answer.course.legs) {
    Json entry{{"kind", leg_name(leg.kind)},
               {"start_minute", rounded(leg.start_minute, 3)},
               {"minutes", rounded(leg.minutes, 3)},
               {"start_c", rounded(leg.start_c, 3)},
               {"end_c", rounded(leg.end_c, 3)},
               {"heat_capacity_kj_per_k", rounded(leg.heat_capacity_kj_per_k, 3)},
               {"brought_kj", rounded(leg.brought_kj, 2)},
               {"heated_kj", rounded(leg.heated_kj, 2)},
               {"lost_kj", rounded(leg.lost_kj, 2)}};
    if (leg.liquor_kg > 0.0) {
      entry["liquor_kg"] = rounded(leg.liquor_kg, 3);
      entry["liquor_c"] = rounded(leg.liquor_c, 2);
    }
    if (leg.kind == process::LegKind::decoction) entry["share_of_mash"] = rounded(leg.share, 4);
    legs.push_back(std::move(entry));
  }
  const process::MashCourse& course = answer.course;
  return Json{{"grist_kg", rounded(answer.setting.grist_kg, 3)},
              {"liquor_kg", rounded(answer.setting.liquor_kg, 3)},
              {"strike_liquor_kg", rounded(course.strike_liquor_kg, 3)},
              {"strike_c", rounded(course.strike_c, 2)},
              {"heated_in_kettle", answer.setting.heated_in_kettle},
              {"time_constant_minutes", rounded(answer.setting.time_constant_minutes, 1)},
              {"time_constant_measured", answer.cooling_measured},
              {"brought_kj", rounded(course.brought_kj(), 2)},
              {"heated_kj", rounded(course.heated_kj(), 2)},
              {"lost_kj", rounded(course.lost_kj(), 2)},
              {"stored_kj", rounded(course.stored_kj, 2)},
              {"legs", std::move(legs)}};
}

Json kinetics_json(const present::MashAnswer& answer) {
  Json rows = Json::array();
  for (const science::MashMoment& moment : answer.conversion.usual.moments) {
    rows.push_back(Json{{"minute", rounded(moment.minute, 3)},
                        {"temperature_c", rounded(moment.temperature_c, 3)},
                        {"converted", rounded(1.0 - moment.unconverted_starch(), 5)},
                        {"fermentable_share", rounded(moment.fermentable_share(), 5)},
                        {"apparent_limit", rounded(science::mash_apparent_attenuation_limit(moment), 5)},
                        {"alpha_active", rounded(moment.alpha_active, 5)},
                        {"beta_active", rounded(moment.beta_active, 5)}});
  }
  return rows;
}

Json acidity_json(const present::MashAnswer& answer) {
  if (!answer.acidity) return nullptr;
  Json grains = Json::array();
  for (const process::GrainAcidity& grain : answer.acidity->grains) {
    grains.push_back(Json{
        {"name", grain.name},
        {"mass_kg", rounded(grain.mass_kg, 4)},
        {"ph", Json::array({rounded(grain.spread.ph_low, 3), rounded(grain.ph, 3), rounded(grain.spread.ph_high, 3)})},
        {"buffering_meq_per_kg_ph",
         Json::array({rounded(grain.spread.buffering_low, 2), rounded(grain.buffering_meq_per_kg_ph, 2),
                      rounded(grain.spread.buffering_high, 2)})},
        {"source", grain.source}});
  }
  Json acidity{{"value", rounded(answer.acidity->ph, 3)}};
  if (answer.acidity->interval) {
    acidity["low"] = rounded(answer.acidity->interval->low, 3);
    acidity["high"] = rounded(answer.acidity->interval->high, 3);
  }
  acidity["grains"] = std::move(grains);
  return acidity;
}

Json mash_json(const compose::Brief& brief, const present::MashAnswer& answer) {
  Json limits{{"used_by_forecast", "empirical"},
              {"empirical", rounded(answer.empirical_limit, 5)},
              {"empirical_at_c", rounded(answer.forecast_rest_c, 2)},
              {"forecast_wort", rounded(answer.forecast_wort_limit, 5)},
              {"kinetic", rounded(answer.kinetic_limit, 5)}};
  if (answer.kinetic_limit_least) limits["kinetic_least"] = rounded(*answer.kinetic_limit_least, 5);
  return Json{{"name", brief.name},
              {"brief", brief.file},
              {"course", course_json(answer)},
              {"kinetics", kinetics_json(answer)},
              {"apparent_attenuation_limit", std::move(limits)},
              {"mash_ph_20c", acidity_json(answer)},
              {"enzymes", Json{{"diastatic_power_wk", rounded(answer.diastatic_power_wk, 1)},
                               {"verdict", enzyme_name(answer.enzymes)}}}};
}

int fail_brief(const MashOptions& options, const compose::Brief& brief, std::string what, std::string remedy) {
  return fail(options.output, {files::Problem{files::Place{brief.file, 0, 0}, "", std::move(what), std::move(remedy)}});
}

int run_proposal(const MashOptions& options, const AnsweredBrief& answered) {
  const compose::Brief& brief = answered.brief;
  const compose::Proposal& proposal = answered.proposal;
  auto setting = present::mash_setting_of(brief, proposal);
  if (!setting)
    return fail_brief(options, brief, "this recipe has no mash: there is no grain in it",
                      "Use oddgrist sheet for its day");
  try {
    read_options(options, *setting);
  } catch (const BadOption& bad) {
    return fail_usage(options.output.json, bad.what, bad.remedy);
  }
  const auto verdict = present::mash_answer(brief, proposal, *setting, !options.cooled.empty());
  if (!verdict.answer)
    return fail_brief(options, brief, "the mash cannot be done so: " + verdict.refusal, verdict.remedy);
  const std::string text = options.output.json
                               ? files::json_text(mash_json(brief, *verdict.answer))
                               : present::mash_text(*verdict.answer, proposal.name, brief.us_units_first);
  return emit(options.output, text, answered.code);
}

int run_mash(const MashOptions& options) {
  return with_proposal(options.brief, options.units, options.proposal, options.output,
                       [&](const AnsweredBrief& answered) { return run_proposal(options, answered); });
}

void add_course_options(CLI::App& verb, MashOptions& options) {
  verb.add_option("--rest", options.rests,
                  "A rest, \"65 °C 60 min\"; once for each, in rising order; otherwise the recipe's one")
      ->type_name("TEXT")
      ->expected(1)
      ->take_all();
  verb.add_option("--step", options.step, "How to get to the next rest; otherwise infusion")
      ->type_name("infusion|decoction|direct")
      ->check(CLI::IsMember({"infusion", "decoction", "direct"}).description(""));
  verb.add_option("--power", options.power, "Power of the heater, for direct heat: \"2.5 kW\"")->type_name("POWER");
  verb.add_option("--efficiency", options.efficiency, "Share of it that reaches the mash; otherwise 85 %")
      ->type_name("SHARE");
  verb.add_flag("--held", options.held, "The heater holds each rest, instead of letting it cool");
  verb.add_option("--grain", options.grain, "Temperature of the grain; otherwise the room's")->type_name("TEMPERATURE");
  verb.add_option("--infusion", options.infusion,
                  "Temperature at which boiling water reaches the mash; otherwise 2 K below the boil")
      ->type_name("TEMPERATURE");
  verb.add_option(
          "--cooled", options.cooled,
          "How your vessel cools: two readings of a standing mash and the time between, \"66 °C, 63.5 °C, 60 min\"")
      ->type_name("TEXT");
}

}  // namespace

void add_mash(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<MashOptions>();
  CLI::App* verb =
      app.add_subcommand("mash", "Follow the mash of a brief: strike, rests, heat, starch, enzymes and pH over time");
  verb->add_option("BRIEF", options->brief, "The brief, a TOML file; - reads standard input")
      ->required()
      ->type_name("");
  verb->add_option("--proposal", options->proposal, "Which of the recipes that compose shows; 1 is the first")
      ->type_name("N")
      ->check(CLI::Range(1, 99).description(""));
  add_course_options(*verb, *options);
  add_units_option(*verb, options->units);
  add_output_options(*verb, options->output);
  add_example(
      *verb,
      "oddgrist mash examples/saltmarsh-round.toml --rest \"52 °C 15 min\" --rest \"65 °C 60 min\" --step infusion");
  verb->callback([options, &exit_code] { exit_code = run_mash(*options); });
}

}  // namespace oddgrist::cli

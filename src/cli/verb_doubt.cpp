#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include <fmt/format.h>

#include "cli/answered.hpp"
#include "cli/verbs.hpp"
#include "compose/doubt.hpp"
#include "compose/doubt_indices.hpp"
#include "compose/elastic.hpp"
#include "compose/proposal.hpp"
#include "compose/robust.hpp"
#include "files/answer_json.hpp"
#include "files/kit_json.hpp"
#include "present/doubt.hpp"
#include "present/kit.hpp"
#include "quantity/number.hpp"

namespace oddgrist::cli {
namespace {

struct DoubtOptions {
  std::string brief;
  std::string units;
  int proposal = 1;
  LearnedOptions learned;
  OutputOptions output;
};

// Six significant digits: enough for any reader, and the same bytes on another machine.
double shortened(double value) { return rounded_to_digits(value, 6); }

std::string hyphened(std::string_view words) {
  std::string name(words);
  for (char& letter : name) {
    if (letter == ' ') letter = '-';
  }
  return name == "mash-pH" ? "mash-ph" : name;
}

constexpr std::array<std::string_view, compose::upshot_count> upshot_units = {"SG",  "SG", "% vol", "IBU",
                                                                              "EBC", "L",  "pH",    "volumes"};

files::Json inputs_json(const compose::Doubtful& doubtful) {
  files::Json inputs = files::Json::array();
  for (const compose::Doubt& doubt : doubtful.doubts) {
    inputs.push_back(files::Json{{"name", doubt.name},
                                 {"group", doubt.group},
                                 {"unit", doubt.unit},
                                 {"low", shortened(doubt.low)},
                                 {"usual", shortened(doubt.usual)},
                                 {"high", shortened(doubt.high)},
                                 {"shape", doubt.shape == compose::Doubt::Shape::uniform ? "uniform" : "triangular"},
                                 {"source", doubt.source},
                                 {"measure_first", present::measure_first(doubt)}});
  }
  return inputs;
}

using Intervals = std::array<compose::Estimate, compose::upshot_count>;

files::Json upshots_json(const compose::Doubtful& doubtful, const Intervals& intervals) {
  const auto swings = swings_of(doubtful);
  files::Json upshots = files::Json::array();
  for (std::size_t u = 0; u < compose::upshot_count; ++u) {
    files::Json movers = files::Json::array();
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < swings.size(); ++i) {
      if (swings[i].share[u] > 0.0) order.push_back(i);
    }
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return swings[a].share[u] > swings[b].share[u]; });
    for (std::size_t i : order) {
      movers.push_back(files::Json{{"input", i},
                                   {"at_low", shortened(swings[i].at_low[u])},
                                   {"at_high", shortened(swings[i].at_high[u])},
                                   {"share", std::round(swings[i].share[u] * 1e6) / 1e6}});
    }
    upshots.push_back(files::Json{{"upshot", hyphened(present::upshot_name(static_cast<compose::Upshot>(u)))},
                                  {"unit", upshot_units[u]},
                                  {"value", shortened(intervals[u].value)},
                                  {"low", shortened(intervals[u].low)},
                                  {"high", shortened(intervals[u].high)},
                                  {"movers", std::move(movers)}});
  }
  return upshots;
}

double share(double value) { return std::round(value * 1e4) / 1e4; }

files::Json measurings_json(const compose::Brief& brief, const compose::Doubtful& doubtful,
                            const Intervals& intervals) {
  files::Json list = files::Json::array();
  for (const compose::Measuring& measuring : measurings_of(brief, doubtful, intervals)) {
    files::Json narrows = files::Json::array();
    for (std::size_t u = 0; u < compose::upshot_count; ++u) {
      if (!(measuring.narrowing[u] > 0.0)) continue;
      narrows.push_back(files::Json{{"upshot", hyphened(present::upshot_name(static_cast<compose::Upshot>(u)))},
                                    {"by", share(measuring.narrowing[u])}});
    }
    list.push_back(files::Json{{"what", present::measuring_words(measuring)},
                               {"inputs", measuring.doubts},
                               {"worth", shortened(measuring.worth)},
                               {"narrows", std::move(narrows)}});
  }
  return list;
}

files::Json chance_json(const compose::Brief& brief, const compose::Proposal& proposal) {
  const compose::Chance chance = chance_of(brief, proposal);
  files::Json wishes = files::Json::array();
  for (std::size_t w = 0; w < brief.wishes.size(); ++w) {
    const compose::Wish& wish = brief.wishes[w];
    wishes.push_back(files::Json{{"wish", hyphened(compose::measure_name(wish.measure))},
                                 {"low", shortened(wish.low)},
                                 {"high", shortened(wish.high)},
                                 {"chance", share(chance.each[w])}});
  }
  return files::Json{{"all", share(chance.all)}, {"wishes", std::move(wishes)}};
}

files::Json doubt_json(const compose::Brief& brief, const compose::Proposal& proposal, int number) {
  const compose::Doubtful doubtful = doubtful_of(brief, proposal);
  const auto intervals = intervals_of(doubtful, present::doubt_points);
  return files::Json{{"name", proposal.name},
                     {"brief", brief.file},
                     {"proposal", number},
                     {"likely_share", 0.8},
                     {"chance", chance_json(brief, proposal)},
                     {"inputs", inputs_json(doubtful)},
                     {"upshots", upshots_json(doubtful, intervals)},
                     {"worth_measuring", measurings_json(brief, doubtful, intervals)}};
}

int run_doubt(const DoubtOptions& options) {
  return with_proposal(
      options.brief, options.units, options.proposal, options.output,
      [&](const AnsweredBrief& answered) {
        if (options.output.json) {
          files::Json json = doubt_json(answered.brief, answered.proposal, options.proposal);
          if (options.learned.asked) json["learned"] = files::learned_json(answered.learned);
          return emit(options.output, files::json_text(json), answered.code);
        }
        std::string text = present::doubt_text(answered.brief, answered.proposal);
        if (options.learned.asked) text += present::learned_text(answered.brief.kit.name, answered.learned);
        return emit(options.output, text, answered.code);
      },
      options.learned);
}

}  // namespace

void add_doubt(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<DoubtOptions>();
  CLI::App* verb =
      app.add_subcommand("doubt", "Say how sure the forecast is, what moves it most, and what to measure first");
  verb->add_option("BRIEF", options->brief, "The brief, a TOML file; - reads standard input")
      ->required()
      ->type_name("");
  verb->add_option("--proposal", options->proposal, "Which of the recipes that compose shows; 1 is the first")
      ->type_name("N")
      ->check(CLI::PositiveNumber.description(""));
  add_learned_options(*verb, options->learned);
  add_units_option(*verb, options->units);
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist doubt examples/saltmarsh-round.toml");
  verb->callback([options, &exit_code] { exit_code = run_doubt(*options); });
}

}  // namespace oddgrist::cli

#include <memory>
#include <optional>

#include "cli/learned.hpp"
#include "cli/own_larder_told.hpp"
#include "cli/patience.hpp"
#include "cli/verbs.hpp"
#include "compose/alternatives.hpp"
#include "compose/proposal.hpp"
#include "compose/reasons.hpp"
#include "compose/robust.hpp"
#include "files/answer_json.hpp"
#include "files/brief_file.hpp"
#include "present/doubt.hpp"
#include "present/kit.hpp"
#include "present/recipe.hpp"
#include "present/side_by_side.hpp"
#include "present/why.hpp"

namespace oddgrist::cli {
namespace {

struct ComposeOptions {
  std::string brief;
  std::string units;
  int others = 0;
  bool why = false;
  bool steady = false;
  int columns = 80;
  LearnedOptions learned;
  OutputOptions output;
};

int code_for(compose::Outcome outcome) {
  switch (outcome) {
    case compose::Outcome::met: return all_well;
    case compose::Outcome::nearest: return wishes_missed;
    case compose::Outcome::refused: return refused_unsafe;
  }
  return internal_fault;
}

int run_compose(const ComposeOptions& options) {
  tell_of_own_larder(files::read_own_larder());
  auto read = files::read_brief_file(options.brief);
  if (!read) return fail(options.output, read.problems());
  compose::Brief& brief = read.value();
  if (!options.units.empty()) brief.us_units_first = options.units == "us";
  const auto learned = put_learned(options.learned, brief);
  if (!learned) return fail(options.output, learned.problems());
  std::optional<Patience> patience(std::in_place, "composing", options.output.json);
  compose::Answer answer = compose::compose(brief);
  const bool recipe = answer.outcome != compose::Outcome::refused && !answer.proposals.empty();
  std::optional<compose::Alternatives> others;
  std::optional<compose::Reasons> reasons;
  if (options.others > 0 && recipe) others = compose::alternatives_of(brief, answer, {.most = options.others});
  std::optional<compose::Steady> steady;
  if (options.steady && recipe) steady = compose::put_steadiest_first(brief, answer);
  if (options.why && recipe) reasons = compose::reasons_of(brief, answer.proposals.front());
  patience.reset();
  if (options.output.json) {
    const files::AnswerExtras extras{others ? &*others : nullptr, reasons ? &*reasons : nullptr,
                                     steady ? &*steady : nullptr, options.learned.asked ? &learned.value() : nullptr};
    return emit(options.output, files::json_text(files::answer_json(brief, answer, extras)), code_for(answer.outcome));
  }
  std::string text = present::recipe_text(brief, answer);
  if (options.learned.asked && recipe) text += present::learned_text(brief.kit.name, learned.value());
  if (steady) text += present::steady_text(*steady);
  if (reasons) text += present::why_text(brief, *reasons);
  if (others) text += present::side_by_side_text(brief, answer, *others, static_cast<std::size_t>(options.columns));
  return emit(options.output, text, code_for(answer.outcome));
}

}  // namespace

void add_compose(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<ComposeOptions>();
  CLI::App* verb = app.add_subcommand(
      "compose", "Turn a brief into a recipe: what goes in, what will come of it, what stands in the way");
  verb->add_option("BRIEF", options->brief, "The brief, a TOML file; - reads standard input")
      ->required()
      ->type_name("");
  verb->add_option("--others", options->others,
                   "Up to N other recipes that really differ, side by side with it (5 at most)")
      ->type_name("N")
      ->check(CLI::Range(1, 5).description(""));
  verb->add_flag("--why", options->why, "What a little more of each thing would do, and why the rest was left out");
  verb->add_flag(
      "--steady", options->steady,
      "Of the recipes near the best, the one likeliest to keep every wish on the day, not the best on paper");
  verb->add_option("--columns", options->columns, "How wide the table of --others may be: 40 to 200, 80 if not said")
      ->type_name("N")
      ->check(CLI::Range(40, 200).description(""));
  add_learned_options(*verb, options->learned);
  add_units_option(*verb, options->units);
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist compose examples/saltmarsh-round.toml");
  verb->callback([options, &exit_code] { exit_code = run_compose(*options); });
}

}  // namespace oddgrist::cli

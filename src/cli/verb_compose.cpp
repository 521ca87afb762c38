#include <memory>

#include "cli/verbs.hpp"
#include "compose/proposal.hpp"
#include "files/answer_json.hpp"
#include "files/brief_file.hpp"
#include "present/recipe.hpp"

namespace oddgrist::cli {
namespace {

struct ComposeOptions {
  std::string brief;
  std::string units;
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
  auto read = files::read_brief_file(options.brief);
  if (!read) return fail(options.output, read.problems());
  compose::Brief& brief = read.value();
  if (!options.units.empty()) brief.us_units_first = options.units == "us";
  const compose::Answer answer = compose::compose(brief);
  const std::string text =
      options.output.json ? files::json_text(files::answer_json(brief, answer)) : present::recipe_text(brief, answer);
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
  add_units_option(*verb, options->units);
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist compose examples/saltmarsh-round.toml");
  verb->callback([options, &exit_code] { exit_code = run_compose(*options); });
}

}  // namespace oddgrist::cli

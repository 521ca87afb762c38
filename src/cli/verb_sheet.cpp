#include <memory>

#include <fmt/format.h>

#include "cli/answered.hpp"
#include "cli/verbs.hpp"
#include "compose/proposal.hpp"
#include "files/answer_json.hpp"
#include "present/run_sheet.hpp"

namespace oddgrist::cli {
namespace {

struct SheetOptions {
  std::string brief;
  std::string units;
  int proposal = 1;
  OutputOptions output;
};

files::Json lines_json(const compose::Brief& brief, const compose::Proposal& proposal) {
  files::Json lines = files::Json::array();
  for (const present::SheetLine& line : present::run_sheet(brief, proposal)) {
    files::Json expected = files::Json::array();
    for (const present::ExpectedReading& reading : line.expected) {
      expected.push_back(files::Json{
          {"what", reading.what}, {"value", reading.value}, {"unit", reading.unit}, {"words", reading.words}});
    }
    lines.push_back(files::Json{{"phase", present::phase_name(line.phase)},
                                {"clock", line.clock},
                                {"action", line.action},
                                {"expected", std::move(expected)},
                                {"warning", line.warning}});
  }
  return lines;
}

int run_sheet_verb(const SheetOptions& options) {
  return with_proposal(
      options.brief, options.units, options.proposal, options.output, [&](const AnsweredBrief& answered) {
        const compose::Brief& brief = answered.brief;
        const compose::Proposal& proposal = answered.proposal;
        if (!options.output.json)
          return emit(options.output, present::run_sheet_text(brief, proposal, answered.answer.cautions),
                      answered.code);
        compose::Answer chosen = answered.answer;
        chosen.proposals = {proposal};
        files::Json document = files::answer_json(brief, chosen);
        document["sheet"] = lines_json(brief, proposal);
        return emit(options.output, files::json_text(document), answered.code);
      });
}

}  // namespace

void add_sheet(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<SheetOptions>();
  CLI::App* verb = app.add_subcommand(
      "sheet", "Turn a brief into a run sheet: the day step by step, with what each reading should show");
  verb->add_option("BRIEF", options->brief, "The brief, a TOML file; - reads standard input")
      ->required()
      ->type_name("");
  verb->add_option("--proposal", options->proposal, "Which of the recipes that compose shows; 1 is the first")
      ->type_name("N")
      ->check(CLI::Range(1, 99).description(""));
  add_units_option(*verb, options->units);
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist sheet examples/saltmarsh-round.toml --output sheet.txt");
  verb->callback([options, &exit_code] { exit_code = run_sheet_verb(*options); });
}

}  // namespace oddgrist::cli

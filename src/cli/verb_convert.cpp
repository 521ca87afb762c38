#include <memory>
#include <optional>

#include <fmt/format.h>

#include "cli/convert.hpp"
#include "cli/verbs.hpp"
#include "files/answer_json.hpp"
#include "quantity/parse.hpp"

namespace oddgrist::cli {
namespace {

struct ConvertOptions {
  std::string quantity;
  std::string to;
  OutputOptions output;
};

// Only called for what convert() has accepted.
files::Json values_json(const ConvertOptions& options) {
  files::Json values = files::Json::array();
  const Parsed<Measured> measured = parse_measured(options.quantity, std::nullopt);
  if (!measured) return values;
  const KindId kind = measured.value().unit->kind;
  const UnitRow* wanted = nullptr;
  if (!options.to.empty()) {
    const Parsed<const UnitRow*> unit = parse_unit(options.to, kind);
    if (unit) wanted = unit.value();
  }
  for (const UnitRow& row : unit_rows()) {
    if (row.kind != kind || (wanted != nullptr && &row != wanted)) continue;
    values.push_back(files::Json{{"value", row.from_base(measured.value().base)}, {"unit", row.symbol}});
  }
  return values;
}

int run_convert(const ConvertOptions& options) {
  const ConvertResult result = convert(options.quantity, options.to);
  if (!result.ok) return fail_usage(options.output.json, fmt::format("\"{}\": {}", options.quantity, result.text), "");
  if (!options.output.json) return emit(options.output, result.text + '\n', all_well);
  const files::Json document{{"quantity", options.quantity}, {"words", result.text}, {"values", values_json(options)}};
  return emit(options.output, files::json_text(document), all_well);
}

}  // namespace

void add_convert(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<ConvertOptions>();
  CLI::App* verb =
      app.add_subcommand("convert", "Say a quantity in other units; US and imperial gallons are never mixed up");
  verb->add_option("QUANTITY", options->quantity, "A number with its unit, in quotation marks")
      ->required()
      ->type_name("");
  verb->add_option("--to", options->to, "Only this unit; otherwise all that fit")->type_name("UNIT");
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist convert \"2.5 US gal\" --to L");
  verb->callback([options, &exit_code] { exit_code = run_convert(*options); });
}

}  // namespace oddgrist::cli

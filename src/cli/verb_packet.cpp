#include <memory>
#include <vector>

#include <fmt/format.h>

#include "cli/ingredient_text.hpp"
#include "cli/verbs.hpp"
#include "files/item_section.hpp"
#include "files/names.hpp"
#include "files/packet_json.hpp"
#include "larder/allergen_names.hpp"
#include "larder/hazards.hpp"
#include "present/words.hpp"

namespace oddgrist::cli {
namespace {

struct PacketOptions {
  std::string file;
  OutputOptions output;
};

std::string energy_words(const std::optional<double>& printed, const larder::EnergyCheck& check,
                         std::string_view unit) {
  if (!check.done)
    return printed ? fmt::format("{:.0f} {} printed; too few figures to check it", *printed, unit) : std::string();
  const std::string may_be = fmt::format("the other figures allow {:.0f} to {:.0f} {}", check.low, check.high, unit);
  if (!printed) return "not printed; " + may_be;
  const bool fits = *printed >= check.low && *printed <= check.high;
  return fmt::format("{:.0f} {} printed, {}: {}", *printed, unit, may_be, fits ? "it fits" : "it does not fit");
}

std::string allergen_list(const std::vector<larder::Allergen>& allergens) {
  std::string out;
  for (const larder::Allergen allergen : allergens)
    out += fmt::format("{}{}", out.empty() ? "" : ", ", larder::words_for(allergen));
  return out;
}

std::string packet_text(const files::Item& item) {
  const larder::PacketReading& reading = item.reading;
  std::string out = ingredient_text(reading.ingredient);
  if (item.label.energy_kj || reading.kj.done) {
    out += labelled_paragraph("energy", energy_words(item.label.energy_kj, reading.kj, "kJ"));
  }
  if (item.label.energy_kcal)
    out += labelled_paragraph("energy", energy_words(item.label.energy_kcal, reading.kcal, "kcal"));
  for (const larder::Finding& finding : reading.findings) {
    out += labelled_paragraph(files::finding_severity_name(finding.severity),
                              fmt::format("{}: {}", finding.figure, finding.message));
  }
  if (!reading.allergens.may_contain.empty())
    out += labelled_paragraph("may contain", allergen_list(reading.allergens.may_contain));
  for (const larder::Hazard& hazard : larder::hazards_in(reading.ingredient)) {
    out += labelled_paragraph(
        files::hazard_severity_name(hazard.severity),
        fmt::format("{} ({}) {} Source: {}", hazard.text, hazard.found, hazard.instead, hazard.source));
  }
  return out;
}

// Something unsafe outweighs a label that contradicts itself.
int code_for(const std::vector<files::Item>& items) {
  int code = all_well;
  for (const files::Item& item : items) {
    if (!item.reading.sound() && code == all_well) code = bad_input;
    for (const larder::Hazard& hazard : larder::hazards_in(item.reading.ingredient)) {
      if (hazard.severity == larder::HazardSeverity::refuse) code = refused_unsafe;
    }
  }
  return code;
}

int run_packet(const PacketOptions& options) {
  const auto read = files::read_packet_file(options.file);
  if (!read) return fail(options.output, read.problems());
  const std::vector<files::Item>& items = read.value();
  if (options.output.json) return emit(options.output, files::json_text(files::packets_json(items)), code_for(items));
  std::string text;
  for (const files::Item& item : items) text += packet_text(item) + '\n';
  for (const std::string& line : present::wrapped(larder::hazard_notice, 80)) text += line + '\n';
  return emit(options.output, text, code_for(items));
}

}  // namespace

void add_packet(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<PacketOptions>();
  CLI::App* verb = app.add_subcommand(
      "packet", "Read what is printed on a packet: what the food is made of, and whether the label agrees with itself");
  verb->add_option("FILE", options->file,
                   "A TOML file with one or more [[item]]; a brief will do; - reads standard input")
      ->required()
      ->type_name("");
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist packet examples/saltmarsh-round.toml");
  verb->callback([options, &exit_code] { exit_code = run_packet(*options); });
}

}  // namespace oddgrist::cli

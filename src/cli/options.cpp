#include "cli/verbs.hpp"

namespace oddgrist::cli {

void add_output_options(CLI::App& verb, OutputOptions& options) {
  verb.add_flag("--json", options.json, "Print JSON for machines; problems too, as {\"problems\": [...]}");
  verb.add_option("--output", options.path, "Write to this file, whole or not at all, instead of the screen")
      ->type_name("FILE");
}

void add_units_option(CLI::App& verb, std::string& units) {
  verb.add_option("--units", units, "Which units come first: si or us; otherwise as the brief says")
      ->type_name("si|us")
      ->check(CLI::IsMember({"si", "us"}).description(""));
}

void add_example(CLI::App& verb, const std::string& example) {
  verb.footer("Example:\n  " + example + "\n\n" + std::string(exit_code_words));
}

}  // namespace oddgrist::cli

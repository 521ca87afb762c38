#include <charconv>
#include <cstdint>
#include <limits>

#include <fmt/format.h>

#include "cli/verbs.hpp"
#include "quantity/text.hpp"

namespace oddgrist::cli {

void add_output_options(CLI::App& verb, OutputOptions& options) {
  verb.add_flag("--json", options.json, "Print JSON for machines; problems too, as {\"problems\": [...]}");
  verb.add_option("--output", options.path, "Write to this file, whole or not at all, instead of the screen")
      ->type_name("FILE");
}

CLI::Validator whole_number() {
  return {[](std::string& written) {
            std::uint64_t number = 0;
            const char* const end = written.data() + written.size();
            const auto [after, error] = std::from_chars(written.data(), end, number);
            if (error == std::errc() && after == end) return std::string();
            return fmt::format("{} is no whole number from 0 to {}", text::shown(written),
                               std::numeric_limits<std::uint64_t>::max());
          },
          ""};
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

#include <algorithm>
#include <memory>
#include <vector>

#include <fmt/format.h>

#include "cli/ingredient_text.hpp"
#include "cli/verbs.hpp"
#include "files/ingredient_json.hpp"
#include "files/names.hpp"
#include "files/packet_json.hpp"
#include "larder/catalogue.hpp"
#include "larder/hazards.hpp"

namespace oddgrist::cli {
namespace {

using larder::Ingredient;

struct LarderOptions {
  std::vector<std::string> words;
  OutputOptions output;
};

bool mentions(const Ingredient& ingredient, const std::string& folded_word) {
  const auto has = [&](const std::string& name) {
    return larder::folded_name(name).find(folded_word) != std::string::npos;
  };
  return has(ingredient.id) || has(ingredient.name) ||
         std::any_of(ingredient.also_called.begin(), ingredient.also_called.end(), has) ||
         folded_word == files::kind_name(ingredient.kind);
}

// The one that is called exactly so; otherwise all in which every word occurs; a kind ("hop") is a word too.
std::vector<const Ingredient*> search(const std::vector<std::string>& words) {
  const std::string joined = fmt::format("{}", fmt::join(words, " "));
  if (const Ingredient* exact = words.empty() ? nullptr : larder::catalogue().find(joined)) return {exact};
  std::vector<const Ingredient*> found;
  for (const Ingredient& ingredient : larder::catalogue().all()) {
    const bool all = std::all_of(words.begin(), words.end(), [&](const std::string& word) {
      return mentions(ingredient, larder::folded_name(word));
    });
    if (all) found.push_back(&ingredient);
  }
  return found;
}

// What must not be brewed with is answered with that, not with a name that is spelt like it.
int harmful(const LarderOptions& options, const std::string& name, const std::vector<larder::Hazard>& hazards) {
  const int code = larder::is_refused(hazards) ? refused_unsafe : nothing_found;
  if (options.output.json) {
    const files::Json document{{"ingredients", files::Json::array()}, {"hazards", files::hazards_json(hazards)}};
    return emit(options.output, files::json_text(document), code);
  }
  std::string text = fmt::format("oddgrist: the larder has no \"{}\".", name);
  for (const larder::Hazard& hazard : hazards)
    text +=
        fmt::format(" {}: {} Instead: {} [{}]", hazard.severity == larder::HazardSeverity::refuse ? "REFUSED" : "Mind",
                    hazard.text, hazard.instead, hazard.source);
  complain(text);
  return code;
}

int nothing(const LarderOptions& options) {
  const std::string joined = fmt::format("{}", fmt::join(options.words, " "));
  const std::vector<larder::Hazard> hazards = larder::hazards_named(joined);
  if (!hazards.empty()) return harmful(options, joined, hazards);
  const std::vector<std::string> near = larder::catalogue().nearest(joined, 3);
  if (options.output.json) {
    const files::Json document{{"ingredients", files::Json::array()}, {"nearest", near}};
    return emit(options.output, files::json_text(document), nothing_found);
  }
  complain(fmt::format("oddgrist: the larder has no \"{}\": not known here, nothing was checked. Did you mean {}?",
                       joined, fmt::join(near, ", ")));
  return nothing_found;
}

int run_larder(const LarderOptions& options) {
  const std::vector<const Ingredient*> found = search(options.words);
  if (found.empty()) return nothing(options);
  if (options.output.json) {
    files::Json list = files::Json::array();
    for (const Ingredient* ingredient : found) list.push_back(files::ingredient_json(*ingredient));
    return emit(options.output, files::json_text(files::Json{{"ingredients", std::move(list)}}), all_well);
  }
  std::string text;
  if (found.size() == 1) {
    text = ingredient_text(*found.front());
  } else {
    for (const Ingredient* ingredient : found) text += ingredient_line(*ingredient) + '\n';
  }
  return emit(options.output, text, all_well);
}

}  // namespace

void add_larder(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<LarderOptions>();
  CLI::App* verb = app.add_subcommand("larder", "Look up what the catalogue knows of an ingredient, and who says so");
  verb->add_option("WORDS", options->words, "Parts of its name, or a kind such as hop; none lists everything")
      ->type_name("");
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist larder smoked wheat malt");
  verb->callback([options, &exit_code] { exit_code = run_larder(*options); });
}

}  // namespace oddgrist::cli

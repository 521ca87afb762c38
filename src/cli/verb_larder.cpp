#include <algorithm>
#include <memory>
#include <vector>

#include <fmt/format.h>

#include "cli/ingredient_text.hpp"
#include "cli/own_larder_told.hpp"
#include "cli/verbs.hpp"
#include "files/ingredient_json.hpp"
#include "files/names.hpp"
#include "files/own_larder.hpp"
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

// The one that is called exactly so; otherwise all in which every word occurs; a kind ("hop") is a word too. What the brewer
// wrote down comes first.
std::vector<const Ingredient*> search(const std::vector<std::string>& words, const files::OwnLarder& own) {
  const std::string joined = fmt::format("{}", fmt::join(words, " "));
  if (!words.empty()) {
    if (const files::OwnEntry* mine = files::find_own(own, joined)) return {&mine->ingredient};
    if (const Ingredient* exact = larder::catalogue().find(joined)) return {exact};
  }
  std::vector<const Ingredient*> found;
  const auto take = [&](const Ingredient& ingredient) {
    const bool all = std::all_of(words.begin(), words.end(), [&](const std::string& word) {
      return mentions(ingredient, larder::folded_name(word));
    });
    if (all) found.push_back(&ingredient);
  };
  for (const files::OwnEntry& entry : own.entries) take(entry.ingredient);
  for (const Ingredient& ingredient : larder::catalogue().all()) take(ingredient);
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
  complain(
      near.empty()
          ? fmt::format(
                "oddgrist: the larder has no \"{}\", nor anything near to it: not known here, nothing was checked.",
                joined)
          : fmt::format("oddgrist: the larder has no \"{}\": not known here, nothing was checked. Did you mean {}?",
                        joined, fmt::join(near, ", ")));
  return nothing_found;
}

// ---- the brewer's own entries

int list_own(const LarderOptions& options) {
  const files::OwnLarder own = files::read_own_larder();
  tell_of_own_larder(own);
  const int code = own.entries.empty() ? nothing_found : all_well;
  if (options.output.json) {
    files::Json list = files::Json::array();
    for (const files::OwnEntry& entry : own.entries) list.push_back(files::ingredient_json(entry.ingredient));
    return emit(options.output, files::json_text(files::Json{{"ingredients", std::move(list)}}), code);
  }
  std::string text;
  for (const files::OwnEntry& entry : own.entries) text += ingredient_line(entry.ingredient) + '\n';
  if (text.empty())
    text = fmt::format("Nothing of your own yet: oddgrist larder add FILE takes it in. It is kept in {}.\n",
                       files::own_larder_folder());
  return emit(options.output, text, code);
}

int say_names(const LarderOptions& options, std::string_view key, const std::vector<std::string>& names,
              std::string_view what) {
  if (options.output.json) {
    files::Json list = files::Json::array();
    const files::OwnLarder own = files::read_own_larder();
    for (const std::string& name : names)
      if (const files::OwnEntry* entry = files::find_own(own, name))
        list.push_back(files::ingredient_json(entry->ingredient));
    const files::Json document{{"ingredients", std::move(list)}, {std::string(key), names}};
    return emit(options.output, files::json_text(document), all_well);
  }
  return emit(options.output, fmt::format("{}: {}.\n", what, fmt::join(names, ", ")), all_well);
}

int add_own(const LarderOptions& options) {
  if (options.words.size() != 2)
    return fail_usage(options.output.json, "larder add: one FILE is wanted", "oddgrist larder add my-yeasts.toml");
  const auto names = files::add_to_own_larder(options.words[1]);
  if (!names) return fail(options.output, names.problems());
  return say_names(options, "added", names.value(), "Every brief now knows");
}

int drop_own(const LarderOptions& options) {
  if (options.words.size() < 2)
    return fail_usage(options.output.json, "larder drop: which one?", "oddgrist larder own lists what is there");
  const std::vector<std::string> rest(options.words.begin() + 1, options.words.end());
  const auto name = files::drop_from_own_larder(fmt::format("{}", fmt::join(rest, " ")));
  if (!name) return fail(options.output, name.problems());
  return say_names(options, "dropped", {name.value()}, "Taken out of your own larder");
}

int run_larder(const LarderOptions& options) {
  const std::string deed = options.words.empty() ? std::string() : options.words.front();
  if (deed == "add") return add_own(options);
  if (deed == "drop") return drop_own(options);
  if (deed == "own" && options.words.size() == 1) return list_own(options);
  const files::OwnLarder own = files::read_own_larder();
  tell_of_own_larder(own);
  const std::vector<const Ingredient*> found = search(options.words, own);
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
  verb->add_option("WORDS", options->words,
                   "Parts of its name, or a kind such as hop; none lists everything. Or: add FILE takes in entries of "
                   "your own, own "
                   "lists them, drop NAME takes one out")
      ->type_name("");
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist larder smoked wheat malt");
  verb->callback([options, &exit_code] { exit_code = run_larder(*options); });
}

}  // namespace oddgrist::cli

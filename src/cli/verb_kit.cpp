#include <memory>

#include <fmt/format.h>

#include "cli/learned.hpp"
#include "cli/verbs.hpp"
#include "files/kit_json.hpp"
#include "present/kit.hpp"
#include "store/known_kit.hpp"

namespace oddgrist::cli {
namespace {

using files::Json;
using store::Mode;
using store::Store;

struct KitOptions {
  std::string name;
  std::string store;
  OutputOptions output;
};

int list(const KitOptions& options, const Store& store) {
  const auto kits = store::kits_in_use(store);
  if (!kits) return fail(options.output, kits.problems());
  Json json = Json::array();
  std::string text;
  for (const store::KitUse& kit : kits.value()) {
    json.push_back(Json{{"kit", kit.name}, {"gyles", kit.gyles}});
    text += fmt::format("{}: {} {}\n", kit.name, kit.gyles, kit.gyles == 1 ? "gyle" : "gyles");
  }
  if (text.empty()) text = "No kit yet: oddgrist gyle start GYLE BRIEF begins a gyle on the kit its brief names.\n";
  const int code = kits.value().empty() ? nothing_found : all_well;
  return emit(options.output, options.output.json ? files::json_text(Json{{"kits", std::move(json)}}) : text, code);
}

present::KitStory story_of(const std::string& name, const store::KnownKit& kit) {
  present::KitStory story{name, kit.gyles, kit.told, {}, kit.left_out, gyle::figures_of(kit.knowledge), kit.useful};
  for (int number : kit.knowledge.strange) story.strange.push_back(kit.told[static_cast<std::size_t>(number) - 1]);
  return story;
}

int show(const KitOptions& options, const Store& store) {
  const auto kit = store::known_kit(store, options.name);
  if (!kit) return fail(options.output, kit.problems());
  const present::KitStory story = story_of(options.name, kit.value());
  const int code = story.gyles.empty() ? nothing_found : all_well;
  if (!options.output.json) return emit(options.output, present::kit_text(story), code);
  return emit(options.output,
              files::json_text(Json{{"kit", story.name},
                                    {"gyles", story.gyles},
                                    {"told_by", story.told},
                                    {"did_not_fit", story.strange},
                                    {"left_out", story.left_out},
                                    {"figures", files::learned_json(story.figures)},
                                    {"read_next", files::useful_json(story.useful)}}),
              code);
}

int run_kit(const KitOptions& options) {
  const auto opened = Store::open(options.store.empty() ? store::default_store_path() : options.store, Mode::read);
  if (!opened) return fail(options.output, opened.problems());
  warn_of_damage(opened.value().path());
  return options.name.empty() ? list(options, opened.value()) : show(options, opened.value());
}

}  // namespace

void add_kit(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<KitOptions>();
  CLI::App* verb = app.add_subcommand("kit", "Show what your gyles have taught about a kit, and what to read next");
  verb->add_option("KIT", options->name, "What the briefs call it (kit.name); without it, the kits there are")
      ->type_name("");
  add_store_option(*verb, options->store);
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist kit \"one kettle and a bag\"");
  verb->callback([options, &exit_code] { exit_code = run_kit(*options); });
}

}  // namespace oddgrist::cli

#include "cli/learned.hpp"

#include <utility>

#include "cli/output.hpp"
#include "store/known_kit.hpp"

namespace oddgrist::cli {

void add_store_option(CLI::App& verb, std::string& store) {
  verb.add_option("--store", store, "The store; otherwise $ODDGRIST_STORE, or the one in your data folder")
      ->type_name("FILE");
}

void add_learned_options(CLI::App& verb, LearnedOptions& options) {
  verb.add_flag("--learned", options.asked,
                "Reckon with what the gyles in the store have taught about the brief's kit");
  add_store_option(verb, options.store);
}

files::Result<std::vector<gyle::LearnedFigure>> put_learned(const LearnedOptions& options, compose::Brief& brief,
                                                            const std::string& until) {
  if (!options.asked) return std::vector<gyle::LearnedFigure>{};
  const std::string path = options.store.empty() ? store::default_store_path() : options.store;
  const auto opened = store::Store::open(path, store::Mode::read);
  if (!opened) return opened.problems();
  if (until.empty()) warn_of_damage(opened.value().path());
  auto kit = store::known_kit(opened.value(), brief.kit.name, until);
  if (!kit) return kit.problems();
  gyle::KitKnowledge knowledge = std::move(kit.value().knowledge);
  gyle::restate(knowledge, brief.kit);
  std::vector<gyle::LearnedFigure> figures = gyle::figures_of(knowledge);
  std::erase_if(figures, [](const gyle::LearnedFigure& each) { return each.gyles == 0 || !each.reckoned_with; });
  brief = gyle::with_learned(std::move(brief), std::move(knowledge));
  return figures;
}

}  // namespace oddgrist::cli

#include "larder/catalogue.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <optional>
#include <thread>

#include <fmt/format.h>

#include "larder/catalogue_row.hpp"

namespace oddgrist::larder {
namespace {

struct KindName {
  std::string_view name;
  IngredientKind kind;
};

constexpr KindName kinds[] = {{"malt", IngredientKind::malt},     {"adjunct", IngredientKind::adjunct},
                              {"sugar", IngredientKind::sugar},   {"hop", IngredientKind::hop},
                              {"yeast", IngredientKind::yeast},   {"bacterium", IngredientKind::bacterium},
                              {"salt", IngredientKind::salt},     {"acid", IngredientKind::acid},
                              {"fining", IngredientKind::fining}, {"food", IngredientKind::food}};

toml::table parsed(const EmbeddedFile& file) {
  try {
    return toml::parse(file.text, file.path);
  } catch (const toml::parse_error& error) {
    throw CatalogueError(fmt::format("{}: line {}: {}", file.path, error.source().begin.line, error.description()));
  }
}

SourceList sources_of(const toml::table& table, std::string_view path) {
  SourceList sources;
  if (const toml::table* list = table["sources"].as_table())
    for (const auto& [key, node] : *list) {
      const auto cited = node.value_exact<std::string>();
      if (!cited || cited->size() < 12)
        throw CatalogueError(fmt::format("{}: sources: {}: says too little", path, key.str()));
      sources.emplace(key.str(), *cited);
    }
  return sources;
}

// The rows of one file, each with its place for messages.
struct FileRows {
  std::vector<Ingredient> ingredients;
  std::vector<std::string> places;
  std::exception_ptr failure;
};

void read_rows(const EmbeddedFile& file, FileRows& into) {
  const toml::table table = parsed(file);
  const SourceList sources = sources_of(table, file.path);
  for (const auto& [key, node] : table) {
    if (key == "sources") continue;
    const auto kind = std::find_if(std::begin(kinds), std::end(kinds),
                                   [&, word = key.str()](const KindName& one) { return one.name == word; });
    const toml::array* rows = node.as_array();
    if (kind == std::end(kinds) || rows == nullptr)
      throw CatalogueError(fmt::format("{}: \"{}\" is no kind of ingredient", file.path, key.str()));
    for (const toml::node& row : *rows) {
      if (!row.is_table()) throw CatalogueError(fmt::format("{}: {}: a row is a table", file.path, key.str()));
      const std::string id =
          row.as_table()->get("id") ? row.as_table()->get("id")->value_or(std::string("?")) : std::string("?");
      into.places.push_back(fmt::format("{}: line {}: {}", file.path, row.source().begin.line, id));
      into.ingredients.push_back(read_catalogue_row(kind->kind, *row.as_table(), sources, into.places.back()));
    }
  }
}

// Parsing is nearly all of the time it takes to know the catalogue: the files are shared out between a few threads.
std::vector<FileRows> rows_of_all(std::span<const EmbeddedFile> files) {
  std::vector<FileRows> rows(files.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < files.size(); i = next++) {
      try {
        read_rows(files[i], rows[i]);
      } catch (...) {
        rows[i].failure = std::current_exception();
      }
    }
  };
  std::vector<std::thread> helpers;
  const std::size_t hands = std::clamp<std::size_t>(std::thread::hardware_concurrency(), 1, 4);
  for (std::size_t hand = 1; hand < std::min(hands, files.size()); ++hand) helpers.emplace_back(work);
  work();
  for (std::thread& helper : helpers) helper.join();
  return rows;
}

}  // namespace

double extract_of(const Composition& composition) {
  double extract = starch_hydration * composition[Component::starch];
  for (const Component dissolved : {Component::glucose, Component::fructose, Component::sucrose, Component::maltose,
                                    Component::maltotriose, Component::lactose, Component::dextrin, Component::polyol,
                                    Component::protein, Component::organic_acid, Component::ash})
    extract += composition[dissolved];
  return extract;
}

Catalogue::Catalogue(std::span<const EmbeddedFile> files) {
  const auto register_name = [this](std::string_view name, const std::string& place) {
    const std::size_t number = ingredients_.size() - 1;
    if (const auto other = names_.add(name, number))
      throw CatalogueError(fmt::format("{}: \"{}\" already names {}", place, name, ingredients_[*other].id));
  };
  for (FileRows& rows : rows_of_all(files)) {
    if (rows.failure) std::rethrow_exception(rows.failure);
    for (std::size_t i = 0; i < rows.ingredients.size(); ++i) {
      ingredients_.push_back(std::move(rows.ingredients[i]));
      const Ingredient& ingredient = ingredients_.back();
      register_name(ingredient.id, rows.places[i]);
      register_name(ingredient.name, rows.places[i]);
      for (const std::string& alias : ingredient.also_called) register_name(alias, rows.places[i]);
    }
  }
}

const Ingredient* Catalogue::find(std::string_view name_or_id_or_alias) const {
  const auto found = names_.find(name_or_id_or_alias);
  return found ? &ingredients_[*found] : nullptr;
}

std::vector<std::string> Catalogue::nearest(std::string_view words, std::size_t count) const {
  std::vector<std::string> ids;
  for (const std::size_t number : names_.nearest(words, count)) ids.push_back(ingredients_[number].id);
  return ids;
}

const Catalogue& catalogue() {
  static const Catalogue built_in = [] {
    std::vector<EmbeddedFile> files;
    for (const EmbeddedFile& file : embedded_files())
      if (file.path.starts_with("data/catalogue/")) files.push_back(file);
    return Catalogue(files);
  }();
  return built_in;
}

}  // namespace oddgrist::larder

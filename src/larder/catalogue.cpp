#include "larder/catalogue.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <numeric>
#include <optional>

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

// Levenshtein distance: single letters put in, taken out or changed.
std::size_t letters_apart(std::string_view one, std::string_view other) {
  std::vector<std::size_t> row(other.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= one.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= other.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({above + 1, row[j - 1] + 1, diagonal + (one[i - 1] == other[j - 1] ? 0u : 1u)});
      diagonal = above;
    }
  }
  return row[other.size()];
}

// Spelling mistakes count in full; words missing from the question hardly ("munich" should find "munich malt light").
double unlikeness(const std::string& asked, const std::string& known) {
  const double whole = static_cast<double>(letters_apart(asked, known));
  const bool inside = asked.size() >= 3 && known.find(asked) != std::string::npos;
  return inside ? 0.5 + 0.01 * whole : whole;
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

std::string folded_name(std::string_view name) {
  std::string folded;
  for (const char letter : name) {
    const bool gap = letter == '-' || letter == '_' || std::isspace(static_cast<unsigned char>(letter));
    if (!gap)
      folded += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    else if (!folded.empty() && folded.back() != ' ')
      folded += ' ';
  }
  if (!folded.empty() && folded.back() == ' ') folded.pop_back();
  return folded;
}

Catalogue::Catalogue(std::span<const EmbeddedFile> files) {
  const auto register_name = [this](std::string_view name, const std::string& place) {
    const std::size_t number = ingredients_.size() - 1;
    const auto [entry, is_new] = by_name_.emplace(folded_name(name), number);
    if (!is_new && entry->second != number)
      throw CatalogueError(fmt::format("{}: \"{}\" already names {}", place, name, ingredients_[entry->second].id));
  };
  for (const EmbeddedFile& file : files) {
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
        const std::string place = fmt::format("{}: line {}: {}", file.path, row.source().begin.line, id);
        ingredients_.push_back(read_catalogue_row(kind->kind, *row.as_table(), sources, place));
        const Ingredient& ingredient = ingredients_.back();
        register_name(ingredient.id, place);
        register_name(ingredient.name, place);
        for (const std::string& alias : ingredient.also_called) register_name(alias, place);
      }
    }
  }
}

const Ingredient* Catalogue::find(std::string_view name_or_id_or_alias) const {
  const auto found = by_name_.find(folded_name(name_or_id_or_alias));
  return found == by_name_.end() ? nullptr : &ingredients_[found->second];
}

std::vector<std::string> Catalogue::nearest(std::string_view words, std::size_t count) const {
  const std::string asked = folded_name(words);
  std::vector<double> distance(ingredients_.size(), HUGE_VAL);
  for (const auto& [known, number] : by_name_) distance[number] = std::min(distance[number], unlikeness(asked, known));
  std::vector<std::size_t> order(ingredients_.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return distance[a] < distance[b]; });
  std::vector<std::string> ids;
  for (std::size_t i = 0; i < std::min(count, order.size()); ++i) ids.push_back(ingredients_[order[i]].id);
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

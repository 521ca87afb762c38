#include "larder/hazards.hpp"

#include <algorithm>
#include <array>

#include <toml++/toml.h>

#include <fmt/format.h>

#include "larder/catalogue.hpp"

namespace oddgrist::larder {
namespace {

constexpr std::array<std::string_view, 9> row_fields = {"id",   "severity", "words",  "unless",      "kinds",
                                                        "text", "instead",  "source", "most_g_per_l"};

std::string wanted_text(const toml::table& row, std::string_view field, const std::string& place) {
  const auto value = row[field].value_exact<std::string>();
  if (!value || value->empty()) throw CatalogueError(fmt::format("{}: {}: a text is wanted", place, field));
  return *value;
}

std::vector<std::string> texts(const toml::table& row, std::string_view field, const std::string& place) {
  std::vector<std::string> result;
  if (!row.contains(field)) return result;
  const toml::array* list = row[field].as_array();
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i)
    if (const auto value = list->get(i)->value_exact<std::string>(); value && !value->empty()) result.push_back(*value);
  if (list == nullptr || result.empty() || result.size() != list->size())
    throw CatalogueError(fmt::format("{}: {}: a list of texts is wanted", place, field));
  return result;
}

std::vector<Words> phrases(const toml::table& row, std::string_view field, const std::string& place) {
  std::vector<Words> result;
  for (const std::string& phrase : texts(row, field, place)) result.push_back(words_of(phrase));
  return result;
}

HazardSeverity severity_named(const std::string& name, const std::string& place) {
  if (name == "caution") return HazardSeverity::caution;
  if (name == "danger") return HazardSeverity::danger;
  if (name == "refuse") return HazardSeverity::refuse;
  throw CatalogueError(fmt::format("{}: severity: is one of caution, danger, refuse", place));
}

IngredientKind kind_named(const std::string& name, const std::string& place) {
  if (name == "hop") return IngredientKind::hop;
  if (name == "acid") return IngredientKind::acid;
  throw CatalogueError(fmt::format("{}: kinds: \"{}\" is not a kind a rule can be given for", place, name));
}

HazardRule read_rule(const toml::table& row, const std::string& place) {
  for (const auto& [key, node] : row)
    if (std::find(row_fields.begin(), row_fields.end(), key.str()) == row_fields.end() && key != "over_limit")
      throw CatalogueError(fmt::format("{}: {}: no such field", place, key.str()));
  HazardRule rule;
  rule.hazard.id = wanted_text(row, "id", place);
  rule.hazard.severity = severity_named(wanted_text(row, "severity", place), place);
  rule.hazard.text = wanted_text(row, "text", place);
  rule.hazard.instead = wanted_text(row, "instead", place);
  rule.hazard.source = wanted_text(row, "source", place);
  rule.phrases = phrases(row, "words", place);
  rule.harmless_phrases = phrases(row, "unless", place);
  for (const std::string& kind : texts(row, "kinds", place)) rule.kinds.push_back(kind_named(kind, place));
  if (rule.phrases.empty() && rule.kinds.empty())
    throw CatalogueError(fmt::format("{}: words: nothing to look for", place));
  if (row.contains("most_g_per_l")) {
    rule.most_g_per_l = row["most_g_per_l"].value<double>();
    if (!rule.most_g_per_l || !(*rule.most_g_per_l > 0.0))
      throw CatalogueError(fmt::format("{}: most_g_per_l: a number above 0 is wanted", place));
    rule.over_limit = wanted_text(row, "over_limit", place);
  }
  return rule;
}

std::string words_between(const Words& text, const PhrasePlace& place) {
  return fmt::format("{}", fmt::join(text.begin() + static_cast<std::ptrdiff_t>(place.begin),
                                     text.begin() + static_cast<std::ptrdiff_t>(place.end), " "));
}

// The words that set the rule off, or nothing.
std::optional<std::string> found_by(const HazardRule& rule, const Words& text) {
  std::vector<PhrasePlace> harmless;
  for (const Words& phrase : rule.harmless_phrases)
    for (const PhrasePlace& place : places_of(phrase, text)) harmless.push_back(place);
  for (const Words& phrase : rule.phrases)
    for (const PhrasePlace& place : places_of(phrase, text)) {
      const bool covered = std::any_of(harmless.begin(), harmless.end(), [&](const PhrasePlace& one) {
        return one.begin <= place.begin && place.end <= one.end;
      });
      if (!covered) return words_between(text, place);
    }
  return std::nullopt;
}

void sort_gravest_first(std::vector<Hazard>& hazards) {
  std::stable_sort(hazards.begin(), hazards.end(),
                   [](const Hazard& a, const Hazard& b) { return a.severity > b.severity; });
}

// Found rules with the hazard they give, before any dose is looked at.
std::vector<std::pair<const HazardRule*, Hazard>> found_in(const std::vector<HazardRule>& rules,
                                                           const Ingredient& ingredient) {
  const Words text = words_of(ingredient.name + "\n" + ingredient.declared_ingredients);
  std::vector<std::pair<const HazardRule*, Hazard>> result;
  for (const HazardRule& rule : rules) {
    std::optional<std::string> found = found_by(rule, text);
    if (!found && std::find(rule.kinds.begin(), rule.kinds.end(), ingredient.kind) != rule.kinds.end())
      found = ingredient.name;
    if (!found) continue;
    result.emplace_back(&rule, rule.hazard);
    result.back().second.found = *found;
  }
  return result;
}

}  // namespace

HazardTable::HazardTable(const EmbeddedFile& file) {
  toml::table table;
  try {
    table = toml::parse(file.text, file.path);
  } catch (const toml::parse_error& error) {
    throw CatalogueError(fmt::format("{}: line {}: {}", file.path, error.source().begin.line, error.description()));
  }
  const toml::array* rows = table["hazard"].as_array();
  if (rows == nullptr || table.size() != 1)
    throw CatalogueError(fmt::format("{}: [[hazard]] rows and nothing else are wanted", file.path));
  for (const toml::node& row : *rows) {
    if (!row.is_table()) throw CatalogueError(fmt::format("{}: hazard: a row is a table", file.path));
    const std::string id =
        row.as_table()->contains("id") ? row.as_table()->get("id")->value_or(std::string("?")) : std::string("?");
    rules_.push_back(
        read_rule(*row.as_table(), fmt::format("{}: line {}: {}", file.path, row.source().begin.line, id)));
  }
}

std::vector<Hazard> HazardTable::in(const Ingredient& ingredient) const {
  std::vector<Hazard> hazards;
  for (auto& [rule, hazard] : found_in(rules_, ingredient)) hazards.push_back(std::move(hazard));
  sort_gravest_first(hazards);
  return hazards;
}

std::vector<Hazard> HazardTable::in(const Ingredient& ingredient, double kg_in_batch, double batch_l) const {
  std::vector<Hazard> hazards;
  for (auto& [rule, hazard] : found_in(rules_, ingredient)) {
    if (rule->most_g_per_l && batch_l > 0.0) {
      const double g_per_l = 1000.0 * kg_in_batch / batch_l;
      if (g_per_l <= *rule->most_g_per_l) continue;
      hazard.severity = std::max(hazard.severity, HazardSeverity::danger);
      hazard.text = fmt::format("{} Here it is {:.2g} g/L; keep to {:.2g} g/L at most.", rule->over_limit, g_per_l,
                                *rule->most_g_per_l);
    }
    hazards.push_back(std::move(hazard));
  }
  sort_gravest_first(hazards);
  return hazards;
}

const HazardTable& hazard_table() {
  static const HazardTable table = [] {
    for (const EmbeddedFile& file : embedded_files())
      if (file.path == "data/hazards.toml") return HazardTable(file);
    throw CatalogueError("data/hazards.toml was not built into the program");
  }();
  return table;
}

std::vector<Hazard> hazards_in(const Ingredient& ingredient) { return hazard_table().in(ingredient); }

std::vector<Hazard> hazards_in(const Ingredient& ingredient, double kg_in_batch, double batch_l) {
  return hazard_table().in(ingredient, kg_in_batch, batch_l);
}

}  // namespace oddgrist::larder

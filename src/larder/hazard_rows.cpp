#include "larder/hazard_rows.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

#include <toml++/toml.h>

#include <fmt/format.h>

#include "larder/catalogue.hpp"

namespace oddgrist::larder {
namespace {

constexpr std::array<std::string_view, 15> row_fields = {"id",     "severity",     "words",      "latin", "unless",
                                                         "safe",   "kinds",        "listed",     "text",  "instead",
                                                         "source", "most_g_per_l", "over_limit", "over",  "standing"};

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

std::vector<WordPattern> patterns(const toml::table& row, std::string_view field, const std::string& place) {
  std::vector<WordPattern> result;
  for (const std::string& phrase : texts(row, field, place)) {
    result.emplace_back(phrase);
    if (result.back().slots().empty())
      throw CatalogueError(fmt::format("{}: {}: \"{}\" has no word", place, field, phrase));
  }
  return result;
}

// "Digitalis purpurea" is also written "D. purpurea". A genus alone, "Digitalis", stands for all its species.
void add_botanical(const toml::table& row, const std::string& place, std::vector<WordPattern>& into) {
  for (const std::string& name : texts(row, "latin", place)) {
    into.emplace_back(name);
    const std::size_t gap = name.find(' ');
    if (gap != std::string::npos) into.emplace_back(name.substr(0, 1) + name.substr(gap));
  }
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

Listed listed_named(const std::string& name, const std::string& place) {
  if (name == "caution") return Listed::caution;
  if (name == "nothing") return Listed::nothing;
  throw CatalogueError(fmt::format("{}: listed: is one of caution, nothing", place));
}

void read_limit(const toml::table& row, const std::string& place, HazardRule& rule) {
  if (!row.contains("most_g_per_l")) return;
  rule.most_g_per_l = row["most_g_per_l"].value<double>();
  if (!rule.most_g_per_l || !(*rule.most_g_per_l > 0.0))
    throw CatalogueError(fmt::format("{}: most_g_per_l: a number above 0 is wanted", place));
  rule.over_limit = wanted_text(row, "over_limit", place);
  if (row.contains("over")) rule.severity_over_limit = severity_named(wanted_text(row, "over", place), place);
}

HazardRule read_rule(const toml::table& row, const std::string& place) {
  for (const auto& [key, node] : row)
    if (std::find(row_fields.begin(), row_fields.end(), key.str()) == row_fields.end())
      throw CatalogueError(fmt::format("{}: {}: no such field", place, key.str()));
  HazardRule rule;
  rule.hazard.id = wanted_text(row, "id", place);
  rule.hazard.severity = severity_named(wanted_text(row, "severity", place), place);
  rule.hazard.text = wanted_text(row, "text", place);
  rule.hazard.instead = wanted_text(row, "instead", place);
  rule.hazard.source = wanted_text(row, "source", place);
  rule.hazard.standing = row["standing"].value_or(false);
  rule.patterns = patterns(row, "words", place);
  add_botanical(row, place, rule.patterns);
  rule.harmless = patterns(row, "unless", place);
  rule.cured_by = patterns(row, "safe", place);
  if (row.contains("listed")) rule.listed = listed_named(wanted_text(row, "listed", place), place);
  for (const std::string& kind : texts(row, "kinds", place)) rule.kinds.push_back(kind_named(kind, place));
  if (rule.patterns.empty() && rule.kinds.empty())
    throw CatalogueError(fmt::format("{}: words: nothing to look for", place));
  read_limit(row, place, rule);
  return rule;
}

}  // namespace

std::vector<HazardRule> read_hazard_rules(const EmbeddedFile& file) {
  std::vector<HazardRule> rules;
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
    rules.push_back(read_rule(*row.as_table(), fmt::format("{}: line {}: {}", file.path, row.source().begin.line, id)));
  }
  return rules;
}

}  // namespace oddgrist::larder

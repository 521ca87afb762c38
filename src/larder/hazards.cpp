#include "larder/hazards.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "larder/catalogue.hpp"
#include "larder/hazard_rows.hpp"

namespace oddgrist::larder {
namespace {

using Find = std::vector<std::size_t>;

bool covers(const Find& larger, const Find& smaller) {
  return std::includes(larger.begin(), larger.end(), smaller.begin(), smaller.end());
}

// The part in which the thing stands and the next, "kidney beans (cooked)"; for a name, all of it.
bool cured(const HazardRule& rule, const PlainText& text, const Find& find, bool a_list) {
  for (const WordPattern& pattern : rule.cured_by)
    for (const Find& cure : pattern.finds(text)) {
      const std::size_t of = text[find.back()].part, at = text[cure.front()].part;
      if (!a_list || at == of || at == of + 1) return true;
    }
  return false;
}

// The words that set the rule off, or nothing.
std::optional<std::string> found_by(const HazardRule& rule, const WordPattern& pattern, const PlainText& text,
                                    bool a_list) {
  for (const Find& find : pattern.finds(text)) {
    const bool covered = std::any_of(rule.harmless.begin(), rule.harmless.end(), [&](const WordPattern& harmless) {
      const std::vector<Find> places = harmless.finds(text);
      return std::any_of(places.begin(), places.end(), [&](const Find& place) { return covers(place, find); });
    });
    if (covered || cured(rule, text, find, a_list)) continue;
    std::string words;
    for (const std::size_t place : find) words += (words.empty() ? "" : " ") + text[place].shown;
    return words;
  }
  return std::nullopt;
}

void sort_gravest_first(std::vector<Hazard>& hazards) {
  std::stable_sort(hazards.begin(), hazards.end(),
                   [](const Hazard& a, const Hazard& b) { return a.severity > b.severity; });
}

// A rule about one thing of several says less, if it says anything.
bool soften(const HazardRule& rule, Hazard& hazard) {
  if (rule.listed == Listed::nothing) return false;
  if (rule.listed == Listed::caution || rule.most_g_per_l)
    hazard.severity = std::min(hazard.severity, HazardSeverity::caution);
  return true;
}

}  // namespace

HazardTable::HazardTable(std::span<const EmbeddedFile> files) {
  for (const EmbeddedFile& file : files)
    for (HazardRule& rule : read_hazard_rules(file)) rules_.push_back(std::move(rule));
  for (std::size_t i = 0; i < rules_.size(); ++i)
    for (const WordPattern& pattern : rules_[i].patterns) index_.add(pattern, i);
}

std::vector<HazardTable::Found> HazardTable::found_in(const Ingredient& ingredient) const {
  const PlainText name = plain_text(ingredient.name), list = plain_text(ingredient.declared_ingredients);
  const std::vector<std::size_t> in_name = index_.possible_in(name), in_list = index_.possible_in(list);
  const bool several = !list.empty() && list.back().part > list.front().part;
  std::vector<Found> result;
  for (std::size_t i = 0; i < rules_.size(); ++i) {
    const HazardRule& rule = rules_[i];
    const auto in_text = [&](const PlainText& text, const std::vector<std::size_t>& possible, bool a_list) {
      std::optional<std::string> found;
      if (!std::binary_search(possible.begin(), possible.end(), i)) return found;
      for (const WordPattern& pattern : rule.patterns)
        if (!found) found = found_by(rule, pattern, text, a_list);
      return found;
    };
    bool one_of_several = false;
    std::optional<std::string> found = in_text(name, in_name, false);
    if (!found && (found = in_text(list, in_list, true))) one_of_several = several;
    if (!found && std::find(rule.kinds.begin(), rule.kinds.end(), ingredient.kind) != rule.kinds.end())
      found = ingredient.name;
    if (!found) continue;
    Found one{&rule, rule.hazard, one_of_several};
    one.hazard.found = *found;
    if (!one_of_several || soften(rule, one.hazard)) result.push_back(std::move(one));
  }
  return result;
}

std::vector<Hazard> HazardTable::in(const Ingredient& ingredient) const {
  std::vector<Hazard> hazards;
  for (Found& found : found_in(ingredient)) hazards.push_back(std::move(found.hazard));
  sort_gravest_first(hazards);
  return hazards;
}

std::vector<Hazard> HazardTable::in(const Ingredient& ingredient, double kg_in_batch, double batch_l) const {
  std::vector<Hazard> hazards;
  for (auto& [rule, hazard, one_of_several] : found_in(ingredient)) {
    if (rule->most_g_per_l && batch_l > 0.0 && !one_of_several) {
      const double g_per_l = 1000.0 * kg_in_batch / batch_l;
      if (g_per_l <= *rule->most_g_per_l) continue;
      hazard.severity = std::max(hazard.severity, rule->severity_over_limit);
      hazard.over_limit = true;
      hazard.text = fmt::format("{} Here it is {:.2g} g/L; keep to {:.2g} g/L at most.", rule->over_limit, g_per_l,
                                *rule->most_g_per_l);
    }
    hazards.push_back(std::move(hazard));
  }
  sort_gravest_first(hazards);
  return hazards;
}

std::optional<SafeDose> HazardTable::safe_dose(const Ingredient& ingredient) const {
  std::optional<SafeDose> least;
  if (ingredient.dose && ingredient.dose->most_by_safety_g_per_l)
    least = SafeDose{*ingredient.dose->most_by_safety_g_per_l, ingredient.dose->harm, ingredient.dose->safety_source};
  for (const Found& found : found_in(ingredient)) {
    const HazardRule& rule = *found.rule;
    if (!rule.most_g_per_l || found.one_of_several || rule.severity_over_limit < HazardSeverity::danger) continue;
    if (!least || *rule.most_g_per_l < least->most_g_per_l)
      least = SafeDose{*rule.most_g_per_l, rule.over_limit, rule.hazard.source};
  }
  return least;
}

const HazardTable& hazard_table() {
  static const HazardTable table = [] {
    std::vector<EmbeddedFile> files;
    for (const EmbeddedFile& file : embedded_files())
      if (file.path.starts_with("data/hazards/")) files.push_back(file);
    if (files.empty()) throw CatalogueError("data/hazards was not built into the program");
    return HazardTable(files);
  }();
  return table;
}

std::vector<Hazard> hazards_in(const Ingredient& ingredient) { return hazard_table().in(ingredient); }

std::vector<Hazard> hazards_in(const Ingredient& ingredient, double kg_in_batch, double batch_l) {
  return hazard_table().in(ingredient, kg_in_batch, batch_l);
}

std::vector<Hazard> hazards_named(std::string_view name) {
  Ingredient thing;
  thing.name = name;
  return hazards_in(thing);
}

bool is_refused(const std::vector<Hazard>& hazards) {
  return std::any_of(hazards.begin(), hazards.end(),
                     [](const Hazard& hazard) { return hazard.severity == HazardSeverity::refuse; });
}

}  // namespace oddgrist::larder

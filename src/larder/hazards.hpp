// What an ingredient can do to a person (or a dog), from a table of words. The table is incomplete: finding nothing
// here proves nothing.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "larder/embedded.hpp"
#include "larder/ingredient.hpp"
#include "larder/phrases.hpp"

namespace oddgrist::larder {

// caution: tell whoever drinks it, or mind the handling. danger: harms in ordinary amounts or if handled wrongly.
// refuse: no recipe is made with it.
enum class HazardSeverity { caution, danger, refuse };

struct Hazard {
  std::string id;
  HazardSeverity severity = HazardSeverity::caution;
  std::string found;    // the words that gave it away, or the kind of ingredient
  std::string text;     // for the person
  std::string instead;  // a safe alternative or the safe way
  std::string source;
};

// Stands under every answer, also under an empty one.
inline constexpr std::string_view hazard_notice =
    "This list is incomplete: that something is not on it does not show that it is safe. Food law differs by country "
    "and year; the law "
    "where you brew, give and drink comes first.";

struct HazardRule {
  Hazard hazard;
  std::vector<Words> phrases;
  std::vector<Words> harmless_phrases;  // a find that lies inside one of these does not count ("apricot kernel oil")
  std::vector<IngredientKind> kinds;    // applies to everything of this kind, whatever its name
  std::optional<double> most_g_per_l;   // of the ingredient in the finished batch; the rule falls silent at or below it
  std::string over_limit;               // what to say above it
};

class HazardTable {
 public:
  // Throws CatalogueError naming file and row.
  explicit HazardTable(const EmbeddedFile& file);

  const std::vector<HazardRule>& rules() const { return rules_; }

  // Looks at the name and the declared ingredient list; gravest first.
  std::vector<Hazard> in(const Ingredient& ingredient) const;

  // The same knowing the dose: rules with a limit are dropped up to the limit and become `danger` above it.
  std::vector<Hazard> in(const Ingredient& ingredient, double kg_in_batch, double batch_l) const;

 private:
  std::vector<HazardRule> rules_;
};

const HazardTable& hazard_table();

std::vector<Hazard> hazards_in(const Ingredient& ingredient);
std::vector<Hazard> hazards_in(const Ingredient& ingredient, double kg_in_batch, double batch_l);

}  // namespace oddgrist::larder

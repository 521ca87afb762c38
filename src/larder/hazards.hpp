// What an ingredient can do to a person (or a dog), from a table of words. The table is incomplete: finding nothing
// here proves nothing.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "larder/embedded.hpp"
#include "larder/ingredient.hpp"
#include "larder/word_patterns.hpp"

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
  bool standing = false;    // true of every brew: hops and dogs
  bool over_limit = false;  // a dose above the stated limit, which `text` names
};

// Stands under every answer, also under an empty one.
inline constexpr std::string_view hazard_notice =
    "This list is incomplete: that something is not on it does not show that it is safe. Food law differs by country "
    "and year; the law "
    "where you brew, give and drink comes first.";

// What a rule says of a thing that is only one of several on a packet's list: the same, a caution, or nothing (an essential oil in a sweet).
enum class Listed { same, caution, nothing };

struct HazardRule {
  Hazard hazard;
  std::vector<WordPattern> patterns;
  std::vector<WordPattern> harmless;  // a find that lies inside one of these does not count ("apricot kernel oil")
  std::vector<WordPattern>
      cured_by;  // words that make the thing safe wherever they stand in the name: "tinned", "cooked"
  std::vector<IngredientKind> kinds;  // applies to everything of this kind, whatever its name
  Listed listed = Listed::same;
  std::optional<double> most_g_per_l;  // of the ingredient in the finished batch; the rule falls silent at or below it
  std::string over_limit;              // what to say above it
  HazardSeverity severity_over_limit = HazardSeverity::danger;
};

// What a food may be dosed with and no more, and who says so.
struct SafeDose {
  double most_g_per_l = 0.0;
  std::string why;
  std::string source;
};

class HazardTable {
 public:
  // Throws CatalogueError naming file and row.
  explicit HazardTable(std::span<const EmbeddedFile> files);
  explicit HazardTable(const EmbeddedFile& file) : HazardTable(std::span(&file, 1)) {}

  const std::vector<HazardRule>& rules() const { return rules_; }

  // Looks at the name and the declared ingredient list; gravest first.
  std::vector<Hazard> in(const Ingredient& ingredient) const;

  // The same knowing the dose: rules with a limit are dropped up to the limit and become graver above it.
  std::vector<Hazard> in(const Ingredient& ingredient, double kg_in_batch, double batch_l) const;

  // The lowest of the limits that hold for it where passing it is a danger: of these rules, and of its own dose.
  std::optional<SafeDose> safe_dose(const Ingredient& ingredient) const;

 private:
  struct Found {
    const HazardRule* rule;
    Hazard hazard;
    bool one_of_several;  // on a packet's list, so that its own dose is not known
  };
  std::vector<Found> found_in(const Ingredient& ingredient) const;

  std::vector<HazardRule> rules_;
  PatternIndex index_;
};

const HazardTable& hazard_table();

std::vector<Hazard> hazards_in(const Ingredient& ingredient);
// Of something that goes by this name, in whatever catalogue it is or is not.
std::vector<Hazard> hazards_named(std::string_view name);
bool is_refused(const std::vector<Hazard>& hazards);
std::vector<Hazard> hazards_in(const Ingredient& ingredient, double kg_in_batch, double batch_l);

}  // namespace oddgrist::larder

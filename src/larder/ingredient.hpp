// An ingredient: what it is made of, how sure we are, how it is used, what it can do to a person, and where the numbers
// come from.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "larder/composition.hpp"

namespace oddgrist::larder {

enum class IngredientKind { malt, adjunct, sugar, hop, yeast, salt, acid, fining, food };

// A figure that is not exactly known: the plain range it lies in, and who says so.
struct Spread {
  std::string figure;  // "alpha-acid", "extract", "sugars", ...
  double low = 0.0;    // in the figure's own unit, a mass fraction unless the name says otherwise
  double high = 0.0;
  std::string source;
};

struct MaltTraits {
  double diastatic_power_wk = 0.0;      // Windisch-Kolbach units, as is
  double most_share_of_grist = 1.0;     // common practice ceiling, 0..1
  bool needs_mash = true;               // false: can go straight into the kettle (crystal, extract)
  double ph_in_distilled_water = 5.75;  // 20 C
  double buffering_meq_per_kg_ph = 40.0;
};

struct HopTraits {
  double alpha_low = 0.0, alpha_high = 0.0;  // mass fraction
  bool home_dried = false;
};

// What share of each sugar the yeast eats when it finishes in sound wort. 0..1
struct YeastTraits {
  double maltose_uptake = 1.0;
  double maltotriose_uptake = 0.9;
  double dextrin_uptake = 0.0;  // above zero only for a diastatic strain
  double temperature_low_c = 18.0, temperature_high_c = 22.0;
  double tolerance_abv_percent = 10.0;
  double cells_per_kg = 1e13;
  bool lager = false;
};

enum class Allergen {
  gluten_cereal,
  crustacean,
  egg,
  fish,
  peanut,
  soya,
  milk,
  tree_nut,
  celery,
  mustard,
  sesame,
  sulphite,
  lupin,
  mollusc,
};
enum class Preservative { sorbate, benzoate, sulphite, natamycin, other };

struct Ingredient {
  std::string id;    // "smoked-wheat-malt"
  std::string name;  // "smoked wheat malt"
  std::vector<std::string> also_called;
  IngredientKind kind = IngredientKind::food;
  Composition composition;
  std::vector<Spread> spreads;
  std::optional<MaltTraits> malt;
  std::optional<HopTraits> hop;
  std::optional<YeastTraits> yeast;
  std::vector<Allergen> allergens;
  std::vector<Preservative> preservatives;
  double sulphite_mg_per_kg = 0.0, sorbate_mg_per_kg = 0.0,
         benzoate_mg_per_kg = 0.0;   // upper estimates; 0 = none declared
  std::string declared_ingredients;  // the list on the packet, as printed
  double weighable_step_kg = 0.001;  // the step a kitchen scale can weigh this with
  std::string source;                // of the composition
};

}  // namespace oddgrist::larder

// An ingredient: what it is made of, how sure we are, how it is used, what it can do to a person, and where the numbers
// come from.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "larder/composition.hpp"
#include "larder/dose.hpp"

namespace oddgrist::larder {

enum class IngredientKind { malt, adjunct, sugar, hop, yeast, bacterium, salt, acid, fining, food };

// What it is to a brewer, within its kind: what rules of practice are stated for. `none` where no rule asks.
enum class IngredientClass {
  none,
  // malts and grains
  base,        // enzymes of its own; can be the whole grist or most of it
  toasted,     // kilned hot, starch and some or no enzymes left: aromatic, biscuit, amber, brown
  crystal,     // stewed: its starch is sugar and dextrin already; dextrin malt as well
  roasted,     // of malt or of raw grain
  acidulated,  // brings lactic acid
  smoked,
  raw,        // unmalted, its starch still to be gelatinised
  flaked,     // unmalted, gelatinised by steam and rollers, or cooked before
  torrefied,  // unmalted, puffed by heat
  husk,       // brings room between the grains, no extract worth counting
  // sugars
  plain_sugar,  // ferments wholly
  syrup,
  honey,
  malt_extract,
  unfermentable,  // lactose, maltodextrin
  // yeasts and bacteria
  ale_yeast,
  lager_yeast,
  wine_yeast,
  bread_yeast,
  wild_yeast,  // Brettanomyces and the like: goes on for months
  lactic_bacterium,
  // process aids
  enzyme,
  nutrient,
  clarifier,
};

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
  // Where its starch opens up to enzymes; both 0 where heat has done that already or no starch is left. Raw grain whose
  // high figure is above the rest wants cooking first.
  double gelatinisation_low_c = 0.0, gelatinisation_high_c = 0.0;
  double protein_percent = 0.0;  // all of it, of the dry matter; 0 = not stated
};

enum class HopUse { unknown, bittering, aroma, both };
enum class Keeping { unknown, poor, fair, good };  // how a hop holds its alpha acid in store, whole and unsealed

struct HopTraits {
  double alpha_low = 0.0, alpha_high = 0.0;  // mass fraction
  bool home_dried = false;
  HopUse use = HopUse::unknown;
  Keeping keeping = Keeping::unknown;
  // Not known where both are 0.
  double beta_low = 0.0, beta_high = 0.0;              // mass fraction
  double cohumulone_low = 0.0, cohumulone_high = 0.0;  // share of the alpha acid
  double oil_low_ml_per_kg = 0.0, oil_high_ml_per_kg = 0.0;
};

enum class Flocculation { unknown, low, medium, high };

// What share of each sugar the yeast eats when it finishes in sound wort. 0..1
struct YeastTraits {
  double maltose_uptake = 1.0;
  double maltotriose_uptake = 0.9;
  double dextrin_uptake = 0.0;  // above zero only for a diastatic strain
  double temperature_low_c = 18.0, temperature_high_c = 22.0;
  double tolerance_abv_percent = 10.0;
  double cells_per_kg = 1e13;
  bool lager = false;
  double attenuation_low = 0.0, attenuation_high = 0.0;  // apparent, ordinary all-malt wort, 0..1; 0 = not stated
  Flocculation flocculation = Flocculation::unknown;
  bool phenolic = false;                    // clove or smoke, from ferulic acid
  bool diastatic = false;                   // eats dextrin on and on: what was packed too early bursts
  double pitch_million_per_ml_plato = 0.0;  // common practice; 0 = as for any ale or lager yeast
};

// Bacteria that sour. They make next to no alcohol and are never the yeast of a beer.
struct BacteriumTraits {
  double temperature_low_c = 30.0, temperature_high_c = 45.0;
  double ph_low = 3.2, ph_high = 3.6;          // where it ends in wort
  double hours_low = 12.0, hours_high = 72.0;  // until there, at its temperature
  double most_ibu = 5.0;                       // more bitterness than that stops or slows it
  double cells_per_kg = 1e14;
};

enum class EnzymeTarget { starch, dextrin, pectin, lactose, protein, glucan };

struct EnzymeTraits {
  EnzymeTarget target = EnzymeTarget::starch;
  double temperature_low_c = 20.0, temperature_high_c = 60.0;  // where it works
  double destroyed_above_c = 80.0;
  bool acts_in_fermenter = false;  // what it frees there ferments: gravity goes lower, pressure higher
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
  IngredientClass ingredient_class = IngredientClass::none;
  Composition composition;
  std::vector<Spread> spreads;
  std::optional<MaltTraits> malt;
  std::optional<HopTraits> hop;
  std::optional<YeastTraits> yeast;
  std::optional<BacteriumTraits> bacterium;
  std::optional<EnzymeTraits> enzyme;
  std::string brings;  // what it gives a beer, in a few words
  std::string mind;    // what to watch out for: avenin in oats, refermentation, not for vegetarians
  std::optional<Dose> dose;
  std::optional<Spread> pectin;  // mass fraction, part of the dextrin and the solids: heated, it sets a haze
  std::vector<Allergen> allergens;
  std::vector<Preservative> preservatives;
  double sulphite_mg_per_kg = 0.0, sorbate_mg_per_kg = 0.0,
         benzoate_mg_per_kg = 0.0;   // upper estimates; 0 = none declared
  std::string declared_ingredients;  // the list on the packet, as printed
  double weighable_step_kg = 0.001;  // the step a kitchen scale can weigh this with
  std::string source;                // of the composition
};

}  // namespace oddgrist::larder

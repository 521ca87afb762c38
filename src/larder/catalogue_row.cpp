#include "larder/catalogue_row.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

#include <fmt/format.h>

#include "larder/allergen_names.hpp"
#include "larder/catalogue.hpp"
#include "larder/catalogue_fields.hpp"
#include "larder/class_names.hpp"
#include "science/colour.hpp"

namespace oddgrist::larder {
namespace {

Component component_named(Row& row, std::string_view field, std::string_view name) {
  std::string wanted(name);
  std::replace(wanted.begin(), wanted.end(), '_', '-');
  const auto found = std::find(component_names.begin(), component_names.end(), wanted);
  if (found == component_names.end()) row.fail(field, fmt::format("\"{}\" is no component", name));
  return static_cast<Component>(found - component_names.begin());
}

// Gives `component` whatever is left to 1.
void close_with(Row& row, Composition& composition, Component component) {
  const double total = std::accumulate(composition.mass_fraction.begin(), composition.mass_fraction.end(), 0.0);
  if (total > 1.0 + 1e-9)
    row.fail(component_names[index(component)], fmt::format("the parts come to {:.2f} % already", 100.0 * total));
  composition[component] += std::max(0.0, 1.0 - total);
}

// Equivalents that a kilogram of the pure acid neutralises between its own pH and 5.4, the middle of the mash range.
// Dissociation constants at 25 C, from memory of the usual tables: lactic 3.86; citric 3.13, 4.76, 6.40; malic 3.40,
// 5.11; tartaric 3.04, 4.37; acetic 4.756; tests/larder/catalogue_test.cpp works them out again.
double acid_equivalents_per_kg(Row& row, std::string_view acid) {
  if (acid == "lactic") return 10.79;
  if (acid == "citric") return 9.889;
  if (acid == "malic") return 12.34;
  if (acid == "tartaric") return 12.74;
  if (acid == "acetic") return 13.57;
  row.fail("acid", fmt::format("\"{}\" is no acid known here", acid));
}

double lovibond_from_ebc(double malt_ebc) { return malt_ebc > 0.0 ? science::lovibond_from_malt_ebc(malt_ebc) : 0.0; }

// How the extract of a malt is built. Shares are mass shares of the extract, from memory of Briggs et al. 2004 and the
// usual wort analyses.
void divide_extract(Row& row, Ingredient& ingredient, double extract, double protein_of_extract) {
  Composition& made_of = ingredient.composition;
  made_of[Component::protein] = protein_of_extract * extract;
  made_of[Component::ash] = 0.015 * extract;
  const double rest = extract - made_of[Component::protein] - made_of[Component::ash];
  const std::string form = row.has("form") ? row.text("form") : "starch";
  if (form == "starch") {
    made_of[Component::sucrose] = 0.04 * extract;
    made_of[Component::glucose] = 0.012 * extract;
    made_of[Component::fructose] = 0.008 * extract;
    made_of[Component::starch] = (rest - 0.06 * extract) / starch_hydration;
  } else if (form == "caramel") {
    // Mashed and caramelised inside the husk: nothing left to convert, 45 parts fermentable to 55 dextrin.
    made_of[Component::glucose] = 0.45 * 0.25 * rest;
    made_of[Component::maltose] = 0.45 * 0.60 * rest;
    made_of[Component::maltotriose] = 0.45 * 0.15 * rest;
    made_of[Component::dextrin] = 0.55 * rest;
  } else if (form == "roasted") {
    // About a third still behaves as starch, the rest is pyrodextrin and colour.
    made_of[Component::starch] = rest / 3.0 / starch_hydration;
    made_of[Component::dextrin] = rest * 2.0 / 3.0;
  } else {
    row.fail("form", "is one of starch, caramel, roasted");
  }
}

void read_malt(Row& row, Ingredient& ingredient) {
  const Figure extract_dry = scaled(row.figure("extract_dry_percent"), 0.01);
  const Figure moisture = scaled(row.figure("moisture_percent"), 0.01);
  const Figure extract = {extract_dry.low * (1.0 - moisture.high), extract_dry.usual * (1.0 - moisture.usual),
                          extract_dry.high * (1.0 - moisture.low)};
  const Figure colour_ebc = row.figure("colour_ebc");
  MaltTraits traits;
  const Figure diastatic = row.figure("diastatic_power_wk");
  const Figure ph = row.figure("ph");
  const Figure buffering = row.figure("buffering");
  traits.diastatic_power_wk = diastatic.usual;
  traits.ph_in_distilled_water = ph.usual;
  traits.buffering_meq_per_kg_ph = buffering.usual;
  traits.most_share_of_grist = row.figure("most_share_percent").usual / 100.0;
  traits.needs_mash = row.flag("needs_mash", true);
  const Figure gelatinisation = row.figure_or("gelatinisation_c", 0.0);
  const Figure protein = row.figure_or("protein_percent", 0.0);
  traits.gelatinisation_low_c = gelatinisation.low;
  traits.gelatinisation_high_c = gelatinisation.high;
  traits.protein_percent = protein.usual;
  ingredient.malt = traits;

  Composition& made_of = ingredient.composition;
  divide_extract(row, ingredient, extract.usual,
                 row.figure_or("soluble_protein_of_extract_percent", 4.5).usual / 100.0);
  made_of[Component::water] = moisture.usual;
  made_of[Component::fat] = row.figure_or("fat_percent", 2.0).usual / 100.0;
  if (row.has("lactic_percent")) {  // part of the extract already; the acidity itself is in the pH and buffering above
    const double lactic = row.figure("lactic_percent").usual / 100.0;
    made_of[Component::organic_acid] = lactic;
    made_of[Component::starch] -= lactic / starch_hydration;
  }
  made_of.colour_load_per_kg = lovibond_from_ebc(colour_ebc.usual);
  made_of.buffering_eq_per_kg_ph = buffering.usual / 1000.0;
  made_of.buffering_ph_eq_per_kg = made_of.buffering_eq_per_kg_ph * ph.usual;
  close_with(row, made_of, Component::solids);

  keep_spread(ingredient, "extract", extract);
  keep_spread(ingredient, "moisture", moisture);
  keep_spread(
      ingredient, "colour-load",
      {lovibond_from_ebc(colour_ebc.low), lovibond_from_ebc(colour_ebc.usual), lovibond_from_ebc(colour_ebc.high)});
  keep_spread(ingredient, "diastatic-power-wk", diastatic);
  keep_spread(ingredient, "gelatinisation-c", gelatinisation);
  keep_spread(ingredient, "protein-percent", protein);
  keep_spread(ingredient, "ph-in-distilled-water", ph);
  keep_spread(ingredient, "buffering-meq-per-kg-ph", buffering);
}

// Hops: moisture 8-10 % after kilning (handbooks, from memory); everything that is neither water nor alpha acid stays
// in the copper as leaf.
void read_hop(Row& row, Ingredient& ingredient) {
  const Figure alpha = scaled(row.figure("alpha_percent"), 0.01);
  const Figure beta = scaled(row.figure_or("beta_percent", 0.0), 0.01);
  const Figure cohumulone = scaled(row.figure_or("cohumulone_percent", 0.0), 0.01);
  const Figure oil = scaled(row.figure_or("oil_ml_per_100g", 0.0), 10.0);
  HopTraits traits;
  traits.alpha_low = alpha.low;
  traits.alpha_high = alpha.high;
  traits.home_dried = row.flag("home_dried", false);
  traits.use = row.word("use", hop_use_words, HopUse::unknown);
  traits.keeping = row.word("keeps", keeping_words, Keeping::unknown);
  traits.beta_low = beta.low;
  traits.beta_high = beta.high;
  traits.cohumulone_low = cohumulone.low;
  traits.cohumulone_high = cohumulone.high;
  traits.oil_low_ml_per_kg = oil.low;
  traits.oil_high_ml_per_kg = oil.high;
  ingredient.hop = traits;
  ingredient.composition[Component::alpha_acid] = alpha.usual;
  ingredient.composition[Component::water] = row.figure_or("moisture_percent", 9.0).usual / 100.0;
  close_with(row, ingredient.composition, Component::solids);
  keep_spread(ingredient, "alpha-acid", alpha);
}

void read_yeast(Row& row, Ingredient& ingredient) {
  YeastTraits traits;
  const Figure temperature = row.figure("temperature_c"), maltotriose = row.figure("maltotriose_uptake");
  const Figure dextrin = row.figure_or("dextrin_uptake", 0.0), cells = row.figure("cells_per_g");
  const Figure maltose = row.figure_or("maltose_uptake", 1.0);
  traits.maltose_uptake = maltose.usual;
  traits.maltotriose_uptake = maltotriose.usual;
  traits.dextrin_uptake = dextrin.usual;
  if (maltotriose.high > 1.0 || maltose.high > 1.0 || dextrin.high > 1.0)
    row.fail("maltotriose_uptake", "an uptake is a share from 0 to 1");
  traits.temperature_low_c = temperature.low;
  traits.temperature_high_c = temperature.high;
  traits.tolerance_abv_percent = row.figure("tolerance_abv_percent").usual;
  traits.cells_per_kg = 1000.0 * cells.usual;
  traits.lager = row.flag("lager", false);
  if (row.has("attenuation_percent")) {
    const auto [least, most] = row.range("attenuation_percent");
    traits.attenuation_low = 0.01 * least;
    traits.attenuation_high = 0.01 * most;
  }
  traits.flocculation = row.word("flocculation", flocculation_words, Flocculation::unknown);
  traits.phenolic = row.flag("phenolic", false);
  traits.diastatic = row.flag("diastatic", false);
  traits.pitch_million_per_ml_plato = row.figure_or("pitch", 0.0).usual;
  if (dextrin.high > 0.0 && !traits.diastatic) row.fail("dextrin_uptake", "is above zero: say diastatic = true");
  ingredient.yeast = traits;
  ingredient.composition[Component::water] = row.figure_or("moisture_percent", 6.0).usual / 100.0;
  close_with(row, ingredient.composition, Component::yeast);
  keep_spread(ingredient, "maltose-uptake", maltose);
  keep_spread(ingredient, "maltotriose-uptake", maltotriose);
  keep_spread(ingredient, "dextrin-uptake", dextrin);
  keep_spread(ingredient, "cells-per-kg", scaled(cells, 1000.0));
}

// As a freeze-dried powder; what it weighs never counts.
void read_bacterium(Row& row, Ingredient& ingredient) {
  const Figure temperature = row.figure("temperature_c"), ph = row.figure("ends_at_ph"), hours = row.figure("hours");
  const Figure cells = row.figure("cells_per_g");
  ingredient.bacterium = BacteriumTraits{
      temperature.low,     temperature.high, ph.low, ph.high, hours.low, hours.high, row.figure("most_ibu").usual,
      1000.0 * cells.usual};
  ingredient.composition[Component::water] = row.figure_or("moisture_percent", 5.0).usual / 100.0;
  close_with(row, ingredient.composition, Component::solids);
  keep_spread(ingredient, "cells-per-kg", scaled(cells, 1000.0));
}

struct Part {
  std::string_view name;
  double grams_per_mole;
  Component component;
};

// IUPAC abridged standard atomic weights, 2021: H 1.008, C 12.011, O 15.999, Na 22.990, Mg 24.305, S 32.06, Cl 35.45, K
// 39.098, Ca 40.078. What a hydroxide or a bicarbonate leaves behind once neutralised is counted as water and ash; its
// acid-binding is in the alkalinity.
constexpr double hydrogen = 1.008, carbon = 12.011, oxygen = 15.999;
constexpr Part parts[] = {
    {"calcium", 40.078, Component::calcium},
    {"magnesium", 24.305, Component::magnesium},
    {"sodium", 22.990, Component::sodium},
    {"potassium", 39.098, Component::potassium},
    {"chloride", 35.45, Component::chloride},
    {"sulphate", 32.06 + 4 * oxygen, Component::sulphate},
    {"water", 2 * hydrogen + oxygen, Component::water},
    {"hydroxide", oxygen + hydrogen, Component::water},
    {"bicarbonate", hydrogen + carbon + 3 * oxygen, Component::ash},
    {"carbonate", carbon + 3 * oxygen, Component::ash},
};

void read_salt(Row& row, Ingredient& ingredient) {
  row.text("formula");
  double mole_g = 0.0, protons = 0.0;
  std::array<double, component_count> grams{};
  for (const auto& [name, count] : row.figures("moles")) {
    const auto part = std::find_if(std::begin(parts), std::end(parts),
                                   [&, wanted = name](const Part& one) { return one.name == wanted; });
    if (part == std::end(parts)) row.fail("moles", fmt::format("\"{}\" is no part of a salt known here", name));
    grams[index(part->component)] += count.usual * part->grams_per_mole;
    mole_g += count.usual * part->grams_per_mole;
    if (name == "hydroxide" || name == "bicarbonate") protons += count.usual;
    if (name == "carbonate") protons += 2.0 * count.usual;
  }
  const Figure purity = scaled(row.figure_or("purity_percent", 100.0), 0.01);
  for (std::size_t i = 0; i < component_count; ++i)
    ingredient.composition.mass_fraction[i] = purity.usual * grams[i] / mole_g;
  ingredient.composition.alkalinity_eq_per_kg = purity.usual * protons * 1000.0 / mole_g;
  close_with(row, ingredient.composition, Component::water);  // what is not salt is moisture drawn from the air
  keep_spread(ingredient, "purity", purity);
}

void read_acid(Row& row, Ingredient& ingredient) {
  const Figure strength = scaled(row.figure("strength_percent"), 0.01), equivalents = row.figure("eq_per_kg_at_ph_5_4");
  ingredient.composition[row.flag("mineral", false) ? Component::ash : Component::organic_acid] = strength.usual;
  ingredient.composition.alkalinity_eq_per_kg = -equivalents.usual;
  close_with(row, ingredient.composition, Component::water);
  keep_spread(ingredient, "strength", strength);
  keep_spread(ingredient, "acid-eq-per-kg", equivalents);
}

// Sugars, finings and foods: parts by mass in per cent, the rest named.
void read_parts(Row& row, Ingredient& ingredient) {
  Composition& made_of = ingredient.composition;
  for (const auto& [name, percent] : row.figures("percent")) {
    const Component component = component_named(row, "percent", name);
    const Figure fraction = scaled(percent, 0.01);
    made_of[component] = fraction.usual;
    keep_spread(ingredient, std::string(component_names[index(component)]), fraction);
  }
  close_with(row, made_of, component_named(row, "rest", row.text("rest")));
  if (made_of[Component::organic_acid] > 0.0)
    made_of.alkalinity_eq_per_kg = -made_of[Component::organic_acid] * acid_equivalents_per_kg(row, row.text("acid"));
  const Figure colour = row.figure_or("colour_lovibond", 0.0);
  made_of.colour_load_per_kg = colour.usual;
  keep_spread(ingredient, "colour-load", colour);
}

// dose = { threshold = 0.1, usual = [0.5, 2], most_by_taste = 5, most_by_safety = 8, harm = "...", source = "...",
// safety_source = "..." }: grams in a litre of beer.
Dose dose_from(const toml::table& table, const SourceList& sources, const std::string& place) {
  Row row(table, place + ": dose");
  const auto cited = [&](std::string_view field) {
    const std::string key = row.text(field);
    const auto found = sources.find(key);
    if (found == sources.end()) row.fail(field, fmt::format("\"{}\" is not in the [sources] of this file", key));
    return found->second;
  };
  const auto figure = [&](std::string_view field) -> std::optional<double> {
    if (!row.has(field)) return std::nullopt;
    const Figure read = row.figure(field);
    if (read.low < read.high) row.fail(field, "one number is wanted");
    return read.usual;
  };
  Dose dose;
  std::tie(dose.usual_low_g_per_l, dose.usual_high_g_per_l) = row.range("usual");
  dose.threshold_g_per_l = figure("threshold");
  dose.most_by_taste_g_per_l = figure("most_by_taste");
  dose.most_by_safety_g_per_l = figure("most_by_safety");
  dose.source = cited("source");
  if (dose.most_by_safety_g_per_l) {
    dose.harm = row.text("harm");
    dose.safety_source = cited("safety_source");
  }
  row.refuse_unknown_fields();
  const double most =
      std::min(dose.most_by_taste_g_per_l.value_or(HUGE_VAL), dose.most_by_safety_g_per_l.value_or(HUGE_VAL));
  if (dose.usual_high_g_per_l > most) row.fail("usual", "goes past the most");
  if (dose.threshold_g_per_l.value_or(0.0) > dose.usual_high_g_per_l) row.fail("threshold", "is above what is usual");
  return dose;
}

void read_enzyme(Row& row, Ingredient& ingredient) {
  EnzymeTraits traits;
  traits.target = row.word("acts_on", enzyme_words, EnzymeTarget::starch);
  const Figure works = row.figure("works_at_c");
  traits.temperature_low_c = works.low;
  traits.temperature_high_c = works.high;
  traits.destroyed_above_c = row.figure("destroyed_above_c").usual;
  traits.acts_in_fermenter = row.flag("acts_in_fermenter", false);
  ingredient.enzyme = traits;
}

double usual_weighable_step_kg(IngredientKind kind) {
  switch (kind) {
    case IngredientKind::malt:
    case IngredientKind::adjunct: return 0.005;
    case IngredientKind::salt:
    case IngredientKind::acid:
    case IngredientKind::fining: return 0.0001;
    case IngredientKind::yeast:
    case IngredientKind::bacterium: return 0.0005;
    default: return 0.001;
  }
}

}  // namespace

Ingredient read_catalogue_row(IngredientKind kind, const toml::table& table, const SourceList& sources,
                              const std::string& place) {
  Row row(table, place);
  Ingredient ingredient;
  ingredient.kind = kind;
  ingredient.id = row.text("id");
  ingredient.name = row.text("name");
  ingredient.also_called = row.texts("also_called");
  const std::string source = row.text("source");
  const auto cited = sources.find(source);
  if (cited == sources.end()) row.fail("source", fmt::format("\"{}\" is not in the [sources] of this file", source));
  ingredient.source = cited->second;
  if (row.has("code")) ingredient.source += ", food " + row.text("code");  // of the table that the source names
  for (const std::string& name : row.texts("allergens")) {
    const std::optional<Allergen> allergen = allergen_named(name);
    if (!allergen) row.fail("allergens", fmt::format("\"{}\" is none of the fourteen", name));
    ingredient.allergens.push_back(*allergen);
  }
  ingredient.weighable_step_kg = row.figure_or("weighable_step_kg", usual_weighable_step_kg(kind)).usual;
  if (const toml::table* dose = row.inner("dose")) ingredient.dose = dose_from(*dose, sources, place);
  if (row.has("pectin_percent")) {
    const Figure pectin = scaled(row.figure("pectin_percent"), 0.01);
    ingredient.pectin = Spread{"pectin", pectin.low, pectin.high, ingredient.source};
  }
  if (row.has("brings")) ingredient.brings = row.text("brings");
  ingredient.ingredient_class = row.word("class", class_words, IngredientClass::none);
  if (row.has("mind")) ingredient.mind = row.text("mind");
  if (row.has("acts_on")) read_enzyme(row, ingredient);
  switch (kind) {
    case IngredientKind::malt:
    case IngredientKind::adjunct: read_malt(row, ingredient); break;
    case IngredientKind::hop: read_hop(row, ingredient); break;
    case IngredientKind::yeast: read_yeast(row, ingredient); break;
    case IngredientKind::bacterium: read_bacterium(row, ingredient); break;
    case IngredientKind::salt: read_salt(row, ingredient); break;
    case IngredientKind::acid: read_acid(row, ingredient); break;
    case IngredientKind::sugar:
    case IngredientKind::fining:
    case IngredientKind::food: read_parts(row, ingredient); break;
  }
  row.refuse_unknown_fields();
  for (const double part : ingredient.composition.mass_fraction)
    if (!(part >= 0.0)) row.fail("composition", "a part comes out below zero");
  return ingredient;
}

}  // namespace oddgrist::larder

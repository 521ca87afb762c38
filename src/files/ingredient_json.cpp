#include "files/ingredient_json.hpp"

#include <cmath>

#include "files/names.hpp"
#include "larder/allergen_names.hpp"
#include "larder/class_names.hpp"

namespace oddgrist::files {
namespace {

// Six significant digits: no data sheet has more.
double shortened(double value) {
  if (value == 0.0 || !std::isfinite(value)) return 0.0;
  const double scale = std::pow(10.0, 5.0 - std::floor(std::log10(std::abs(value))));
  return std::round(value * scale) / scale;
}

void put_range(Json& traits, const std::string& low_key, const std::string& high_key, double low, double high) {
  if (high <= 0.0) return;  // not stated
  traits[low_key] = shortened(low);
  traits[high_key] = shortened(high);
}

Json malt_json(const larder::MaltTraits& malt) {
  Json traits{{"diastatic_power_wk", malt.diastatic_power_wk},
              {"most_share_of_grist", malt.most_share_of_grist},
              {"needs_mash", malt.needs_mash}};
  put_range(traits, "gelatinisation_low_c", "gelatinisation_high_c", malt.gelatinisation_low_c,
            malt.gelatinisation_high_c);
  if (malt.protein_percent > 0.0) traits["protein_percent"] = malt.protein_percent;
  return traits;
}

Json hop_json(const larder::HopTraits& hop) {
  Json traits{{"alpha_acid_low_percent", shortened(100.0 * hop.alpha_low)},
              {"alpha_acid_high_percent", shortened(100.0 * hop.alpha_high)},
              {"home_dried", hop.home_dried},
              {"use", larder::word_for(larder::hop_use_words, hop.use)},
              {"keeps", larder::word_for(larder::keeping_words, hop.keeping)}};
  put_range(traits, "beta_acid_low_percent", "beta_acid_high_percent", 100.0 * hop.beta_low, 100.0 * hop.beta_high);
  put_range(traits, "cohumulone_low_percent", "cohumulone_high_percent", 100.0 * hop.cohumulone_low,
            100.0 * hop.cohumulone_high);
  put_range(traits, "oil_low_ml_per_kg", "oil_high_ml_per_kg", hop.oil_low_ml_per_kg, hop.oil_high_ml_per_kg);
  return traits;
}

Json yeast_json(const larder::YeastTraits& yeast) {
  Json traits{{"maltose_uptake", yeast.maltose_uptake},
              {"maltotriose_uptake", yeast.maltotriose_uptake},
              {"dextrin_uptake", yeast.dextrin_uptake},
              {"temperature_low_c", yeast.temperature_low_c},
              {"temperature_high_c", yeast.temperature_high_c},
              {"tolerance_abv_percent", yeast.tolerance_abv_percent},
              {"lager", yeast.lager},
              {"flocculation", larder::word_for(larder::flocculation_words, yeast.flocculation)},
              {"phenolic", yeast.phenolic},
              {"diastatic", yeast.diastatic}};
  put_range(traits, "attenuation_low", "attenuation_high", yeast.attenuation_low, yeast.attenuation_high);
  if (yeast.pitch_million_per_ml_plato > 0.0) traits["pitch_million_per_ml_plato"] = yeast.pitch_million_per_ml_plato;
  return traits;
}

Json traits_json(const larder::Ingredient& ingredient) {
  if (ingredient.malt) return malt_json(*ingredient.malt);
  if (ingredient.hop) return hop_json(*ingredient.hop);
  if (ingredient.yeast) return yeast_json(*ingredient.yeast);
  if (const auto& culture = ingredient.bacterium)
    return Json{{"temperature_low_c", culture->temperature_low_c},
                {"temperature_high_c", culture->temperature_high_c},
                {"ends_at_ph_low", culture->ph_low},
                {"ends_at_ph_high", culture->ph_high},
                {"hours_low", culture->hours_low},
                {"hours_high", culture->hours_high},
                {"most_ibu", culture->most_ibu}};
  if (const auto& enzyme = ingredient.enzyme)
    return Json{{"acts_on", larder::word_for(larder::enzyme_words, enzyme->target)},
                {"works_from_c", enzyme->temperature_low_c},
                {"works_to_c", enzyme->temperature_high_c},
                {"destroyed_above_c", enzyme->destroyed_above_c},
                {"acts_in_fermenter", enzyme->acts_in_fermenter}};
  return Json::object();
}

Json dose_json(const larder::Dose& dose) {
  Json entry{{"usual_low_g_per_l", dose.usual_low_g_per_l},
             {"usual_high_g_per_l", dose.usual_high_g_per_l},
             {"source", dose.source}};
  if (dose.threshold_g_per_l) entry["threshold_g_per_l"] = *dose.threshold_g_per_l;
  if (dose.most_by_taste_g_per_l) entry["most_by_taste_g_per_l"] = *dose.most_by_taste_g_per_l;
  if (dose.most_by_safety_g_per_l) {
    entry["most_by_safety_g_per_l"] = *dose.most_by_safety_g_per_l;
    entry["harm"] = dose.harm;
    entry["safety_source"] = dose.safety_source;
  }
  return entry;
}

}  // namespace

Json ingredient_json(const larder::Ingredient& ingredient) {
  Json entry{{"id", ingredient.id},
             {"name", ingredient.name},
             {"also_called", ingredient.also_called},
             {"kind", kind_name(ingredient.kind)},
             {"class", larder::word_for(larder::class_words, ingredient.ingredient_class)}};
  Json composition = Json::object();
  for (std::size_t i = 0; i < larder::component_count; ++i) {
    const double fraction = ingredient.composition.mass_fraction[i];
    if (fraction > 0.0) composition[std::string(larder::component_names[i])] = shortened(1000.0 * fraction);
  }
  entry["composition_g_per_kg"] = std::move(composition);
  entry["colour_load_lovibond"] = shortened(ingredient.composition.colour_load_per_kg);
  entry["alkalinity_eq_per_kg"] = shortened(ingredient.composition.alkalinity_eq_per_kg);
  entry["spreads"] = Json::array();
  for (const larder::Spread& spread : ingredient.spreads) {
    entry["spreads"].push_back(Json{{"figure", spread.figure},
                                    {"low", shortened(spread.low)},
                                    {"high", shortened(spread.high)},
                                    {"source", spread.source}});
  }
  entry["traits"] = traits_json(ingredient);
  if (ingredient.dose) entry["dose"] = dose_json(*ingredient.dose);
  if (ingredient.pectin)
    entry["pectin_g_per_kg"] = {shortened(1000.0 * ingredient.pectin->low),
                                shortened(1000.0 * ingredient.pectin->high)};
  if (!ingredient.brings.empty()) entry["brings"] = ingredient.brings;
  if (!ingredient.mind.empty()) entry["mind"] = ingredient.mind;
  entry["allergens"] = Json::array();
  for (const larder::Allergen allergen : ingredient.allergens) {
    entry["allergens"].push_back(larder::allergen_names[static_cast<std::size_t>(allergen)]);
  }
  entry["preservatives"] = Json::array();
  for (const larder::Preservative preservative : ingredient.preservatives) {
    entry["preservatives"].push_back(preservative_name(preservative));
  }
  entry["declared_ingredients"] = ingredient.declared_ingredients;
  entry["source"] = ingredient.source;
  return entry;
}

}  // namespace oddgrist::files

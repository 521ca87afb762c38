#include "files/ingredient_json.hpp"

#include <cmath>

#include "files/names.hpp"
#include "larder/allergen_names.hpp"

namespace oddgrist::files {
namespace {

// Six significant digits: no data sheet has more.
double shortened(double value) {
  if (value == 0.0 || !std::isfinite(value)) return 0.0;
  const double scale = std::pow(10.0, 5.0 - std::floor(std::log10(std::abs(value))));
  return std::round(value * scale) / scale;
}

Json traits_json(const larder::Ingredient& ingredient) {
  Json traits = Json::object();
  if (const auto& malt = ingredient.malt) {
    traits["diastatic_power_wk"] = malt->diastatic_power_wk;
    traits["most_share_of_grist"] = malt->most_share_of_grist;
    traits["needs_mash"] = malt->needs_mash;
  }
  if (const auto& hop = ingredient.hop) {
    traits["alpha_acid_low_percent"] = shortened(100.0 * hop->alpha_low);
    traits["alpha_acid_high_percent"] = shortened(100.0 * hop->alpha_high);
    traits["home_dried"] = hop->home_dried;
  }
  if (const auto& yeast = ingredient.yeast) {
    traits["maltose_uptake"] = yeast->maltose_uptake;
    traits["maltotriose_uptake"] = yeast->maltotriose_uptake;
    traits["dextrin_uptake"] = yeast->dextrin_uptake;
    traits["temperature_low_c"] = yeast->temperature_low_c;
    traits["temperature_high_c"] = yeast->temperature_high_c;
    traits["tolerance_abv_percent"] = yeast->tolerance_abv_percent;
    traits["lager"] = yeast->lager;
  }
  return traits;
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
             {"kind", kind_name(ingredient.kind)}};
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

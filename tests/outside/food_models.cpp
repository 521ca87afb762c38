#include <string>

#include "harness.hpp"
#include "larder/catalogue.hpp"
#include "science/infusion.hpp"
#include "science/nutrition.hpp"

namespace {

using namespace oddgrist;
using outside::Inputs;

const bool registered[] = {
    outside::add("standard_drinks_us",
                 [](const Inputs& in) {
                   return science::standard_drinks_us(in.at("volume_l"), in.at("alcohol_percent") / 100.0);
                 }),
    outside::add("alcohol_units_uk",
                 [](const Inputs& in) {
                   return science::alcohol_units_uk(in.at("volume_l"), in.at("alcohol_percent") / 100.0);
                 }),
    outside::add("beer_energy_asbc",
                 [](const Inputs& in) {
                   return science::beer_energy_kcal_per_100_g_asbc(in.at("alcohol_percent"),
                                                                   in.at("real_extract_percent"), in.at("ash_percent"));
                 }),
    // The source's figures are for 100 g: a density of 1000 makes 100 mL of them.
    outside::add("beer_energy_eu_kcal",
                 [](const Inputs& in) {
                   science::BeerContents<double> contents;
                   contents.alcohol_g = in.at("alcohol_g");
                   contents.real_extract_g = in.at("real_extract_g");
                   contents.protein_g = in.at("protein_g");
                   contents.ash_g = in.at("ash_g");
                   return science::beer_facts_per_100_ml(contents, 1000.0).energy_kcal;
                 }),
    outside::add("sweet_liquor_volume",
                 [](const Inputs& in) {
                   return science::sweet_liquor_volume_l(in.at("ethanol_kg"), in.at("water_kg"), in.at("sugar_kg"));
                 }),
};

// What a litre holds at the largest dose of a food that its row calls safe, when the food holds so many g/kg of it and
// all of that dissolves.
bool add_safe_dose(const std::string& model, const std::string& food) {
  return outside::add(model, [food](const Inputs& in) {
    return oddgrist::larder::catalogue().find(food)->dose.value().most_by_safety_g_per_l.value() *
           in.at("content_g_per_kg");
  });
}

const bool safe_doses[] = {
    add_safe_dose("safe_dose_capsaicin_chilli_mg_per_l", "chilli-dried"),
    add_safe_dose("safe_dose_caffeine_coffee_mg_per_l", "coffee-beans"),
    add_safe_dose("safe_dose_caffeine_tea_mg_per_l", "black-tea"),
    add_safe_dose("safe_dose_coumarin_cassia_mg_per_l", "cassia-cinnamon"),
    add_safe_dose("safe_dose_coumarin_woodruff_mg_per_l", "woodruff-fresh"),
    add_safe_dose("safe_dose_coumarin_tonka_mg_per_l", "tonka-bean"),
    add_safe_dose("safe_dose_glycyrrhizin_root_mg_per_l", "liquorice-root"),
    add_safe_dose("safe_dose_glycyrrhizin_sweets_mg_per_l", "liquorice-sweets"),
    add_safe_dose("safe_dose_thujone_sage_mg_per_l", "sage"),
    add_safe_dose("safe_dose_iodine_kelp_mg_per_l", "kombu"),
    add_safe_dose("safe_dose_morphine_poppy_mg_per_l", "poppy-seed"),
    add_safe_dose("safe_dose_anethole_star_anise_mg_per_l", "star-anise"),
    add_safe_dose("safe_dose_anethole_aniseed_mg_per_l", "aniseed"),
    add_safe_dose("safe_dose_eugenol_clove_mg_per_l", "cloves"),
    add_safe_dose("safe_dose_curcumin_turmeric_mg_per_l", "turmeric"),
    add_safe_dose("safe_dose_salt_mg_per_l", "table-salt"),
};

}  // namespace

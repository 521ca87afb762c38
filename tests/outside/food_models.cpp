#include "harness.hpp"
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

}  // namespace

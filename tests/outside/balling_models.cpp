#include "harness.hpp"
#include "science/attenuation.hpp"
#include "science/balling.hpp"

namespace {

using namespace oddgrist::science;
using outside::Inputs;

const bool registered[] = {
    outside::add(
        "real_extract_balling_plato",
        [](const Inputs& in) { return real_extract_balling_plato(in.at("original_plato"), in.at("apparent_plato")); }),
    outside::add("alcohol_mass_percent_balling",
                 [](const Inputs& in) {
                   const double original = in.at("original_plato");
                   const double real = real_extract_balling_plato(original, in.at("apparent_plato"));
                   return 100.0 * alcohol_mass_fraction_balling(original, real);
                 }),
    outside::add("alcohol_volume_percent_balling",
                 [](const Inputs& in) {
                   return 100.0 * alcohol_volume_fraction_balling(in.at("original_gravity"), in.at("final_gravity"));
                 }),
    outside::add("fermentation_split_ethanol_balling",
                 [](const Inputs& in) { return fermentation_split_balling(in.at("extract_kg")).ethanol_kg; }),
    outside::add("fermentation_split_carbon_dioxide_balling",
                 [](const Inputs& in) { return fermentation_split_balling(in.at("extract_kg")).carbon_dioxide_kg; }),
    outside::add("fermentation_split_yeast_balling",
                 [](const Inputs& in) { return fermentation_split_balling(in.at("extract_kg")).yeast_kg; }),
    outside::add("glucose_per_starch", [](const Inputs& in) { return in.at("starch") * glucose_per_starch; }),
    outside::add("maltose_per_starch", [](const Inputs& in) { return in.at("starch") * maltose_per_starch; }),
};

}  // namespace

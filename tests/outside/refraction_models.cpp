#include "harness.hpp"
#include "science/refractometry.hpp"

namespace {

using namespace oddgrist::science;
using oddgrist::science::specific_gravity_from_plato_asbc;
using outside::Inputs;

const bool registered[] = {
    outside::add("gravity_from_refraction",
                 [](const Inputs& in) {
                   return specific_gravity_from_plato_asbc(
                       apparent_extract_from_refraction_plato(in.at("original_plato"), in.at("brix")));
                 }),
    outside::add("refraction_brix_per_alcohol_mass_percent",
                 [](const Inputs& in) { return refraction_of_beer_brix(in.at("percent"), 0.0); }),
};

}  // namespace

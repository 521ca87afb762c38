#include "harness.hpp"
#include "quantity/quantity.hpp"
#include "science/colour.hpp"

namespace {

using namespace oddgrist;
using outside::Inputs;

const bool registered[] = {
    outside::add("ebc_from_srm", [](const Inputs& in) { return science::ebc_from_srm(in.at("srm")); }),
    outside::add("lovibond_from_malt_ebc",
                 [](const Inputs& in) { return science::lovibond_from_malt_ebc(in.at("ebc")); }),
    outside::add("colour_morey_srm", [](const Inputs& in) { return science::colour_morey_srm(in.at("mcu")); }),
    outside::add("malt_colour_units",
                 [](const Inputs& in) {
                   return science::malt_colour_units((in.at("lb_lovibond") * pound).in(kilogram),
                                                     (in.at("us_gallon") * us_gallon).in(litre));
                 }),
};

}  // namespace

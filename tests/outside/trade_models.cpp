// Rules of thumb that brewers give each other; no publication stands behind them.
#include "harness.hpp"
#include "science/bitterness.hpp"
#include "science/extract.hpp"
#include "science/heat.hpp"
#include "science/volumes.hpp"

namespace {

using namespace oddgrist;
using namespace oddgrist::science;
using outside::Inputs;

double celsius_from(double fahrenheit_value) { return (fahrenheit_value - 32.0) / 1.8; }

double ibu_of(const Inputs& in, const std::string& which) {
  return bitterness_tinseth_ibu((in.at(which + "_oz") * ounce).in(kilogram), in.at(which + "_alpha"),
                                in.at(which + "_minutes"), in.at("specific_gravity"),
                                (in.at("us_gallon") * us_gallon).in(litre));
}

const bool registered[] = {
    outside::add("settle_temperature_fahrenheit",
                 [](const Inputs& in) {
                   const double liquor_c = celsius_from(in.at("liquor_f"));
                   const double rest_c =
                       rest_temperature_c((in.at("grist_lb") * pound).in(kilogram), celsius_from(in.at("grain_f")),
                                          water_mass_kg((in.at("liquor_us_gallon") * us_gallon).in(litre), 20.0),
                                          liquor_c, in.at("kettle_heat_kj_per_k"), liquor_c);
                   return rest_c * 1.8 + 32.0;
                 }),
    outside::add("two_hop_additions_ibu", [](const Inputs& in) { return ibu_of(in, "first") + ibu_of(in, "second"); }),
    outside::add("points_gallon_per_lb",
                 [](const Inputs& in) { return points_gallon_per_lb(in.at("litre_degrees_per_kg")); }),
    outside::add("as_is_extract",
                 [](const Inputs& in) { return as_is_extract(in.at("dry_basis"), in.at("moisture")); }),
    outside::add("boil_off_kg",
                 [](const Inputs& in) { return boil_off_kg(in.at("litres_per_hour"), in.at("minutes")); }),
};

}  // namespace

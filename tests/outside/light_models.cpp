#include "harness.hpp"
#include "science/colour.hpp"
#include "science/swatch.hpp"

namespace {

using namespace oddgrist;
using outside::Inputs;

// SRM times path; one centimetre of it.
science::Tristimulus beer(const Inputs& in) {
  return science::beer_tristimulus(science::ebc_from_srm(in.at("srm_cm")), 1.0);
}

science::ScreenColour screen(const Inputs& in) { return science::screen_colour({in.at("x"), in.at("y"), in.at("z")}); }

// D65 as the analytic eye sees it, before any scaling; Y = 1.
science::Tristimulus daylight() {
  science::Tristimulus sum;
  for (int nm = 380; nm <= 780; nm += 10) {
    const science::Tristimulus eye = science::colour_matching_wyman(nm);
    const double light = science::illuminant_d65(nm);
    sum.x += light * eye.x;
    sum.y += light * eye.y;
    sum.z += light * eye.z;
  }
  return {sum.x / sum.y, 1.0, sum.z / sum.y};
}

const bool registered[] = {
    outside::add("beer_tristimulus_x", [](const Inputs& in) { return beer(in).x; }),
    outside::add("beer_tristimulus_y", [](const Inputs& in) { return beer(in).y; }),
    outside::add("beer_tristimulus_z", [](const Inputs& in) { return beer(in).z; }),
    outside::add("screen_red", [](const Inputs& in) { return screen(in).red; }),
    outside::add("screen_green", [](const Inputs& in) { return screen(in).green; }),
    outside::add("screen_blue", [](const Inputs& in) { return screen(in).blue; }),
    outside::add("daylight_x", [](const Inputs&) { return daylight().x; }),
    outside::add("daylight_z", [](const Inputs&) { return daylight().z; }),
    outside::add("daylight_chromaticity_x",
                 [](const Inputs&) { return daylight().x / (daylight().x + 1.0 + daylight().z); }),
    outside::add("daylight_chromaticity_y", [](const Inputs&) { return 1.0 / (daylight().x + 1.0 + daylight().z); }),
};

}  // namespace

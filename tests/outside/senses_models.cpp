#include "science/senses.hpp"

#include <algorithm>
#include <string_view>

#include "harness.hpp"

namespace {

using namespace oddgrist;
using outside::Inputs;

// The value of our range that lies nearest to a published threshold: the threshold itself if the range holds it.
outside::Model nearest(std::string_view compound) {
  return [compound](const Inputs& in) {
    const auto threshold = science::flavour_threshold(compound);
    return std::clamp(in.at("published_mg_per_l"), threshold.value().low_mg_per_l, threshold.value().high_mg_per_l);
  };
}

const bool registered[] = {
    outside::add("threshold_nearest_diacetyl", nearest("diacetyl")),
    outside::add("threshold_nearest_pentanedione", nearest("2,3-pentanedione")),
    outside::add("threshold_nearest_acetaldehyde", nearest("acetaldehyde")),
    outside::add("threshold_nearest_ethyl_acetate", nearest("ethyl acetate")),
    outside::add("threshold_nearest_isoamyl_acetate", nearest("isoamyl acetate")),
    outside::add("threshold_nearest_ethyl_hexanoate", nearest("ethyl hexanoate")),
    outside::add("threshold_nearest_ethyl_octanoate", nearest("ethyl octanoate")),
    outside::add("threshold_nearest_phenylethyl_acetate", nearest("phenylethyl acetate")),
    outside::add("threshold_nearest_isobutyl_alcohol", nearest("isobutyl alcohol")),
    outside::add("threshold_nearest_amyl_alcohols", nearest("amyl alcohols")),
    outside::add("threshold_nearest_acetic_acid", nearest("acetic acid")),
    outside::add("threshold_nearest_dimethyl_sulphide", nearest("dimethyl sulphide")),
    outside::add("threshold_nearest_nonenal", nearest("trans-2-nonenal")),
    outside::add("threshold_nearest_isovaleric_acid", nearest("isovaleric acid")),
    outside::add("threshold_nearest_butyric_acid", nearest("butyric acid")),
};

}  // namespace

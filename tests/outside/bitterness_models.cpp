#include "harness.hpp"
#include "science/bitterness.hpp"

namespace {

using namespace oddgrist::science;
using outside::Inputs;

const bool registered[] = {
    outside::add("utilisation_tinseth",
                 [](const Inputs& in) { return utilisation_tinseth(in.at("specific_gravity"), in.at("minutes")); }),
    outside::add("bitterness_tinseth_ibu",
                 [](const Inputs& in) {
                   return bitterness_tinseth_ibu(in.at("hop_kg"), in.at("alpha"), in.at("minutes"),
                                                 in.at("specific_gravity"), in.at("volume_l"));
                 }),
};

}  // namespace

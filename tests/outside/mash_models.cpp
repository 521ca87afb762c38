// Mash pH, enzymes and starch, as the rows of mash.csv ask for them.
#include <string>
#include <vector>

#include "harness.hpp"
#include "science/enzyme.hpp"
#include "science/mash_acidity.hpp"
#include "science/mash_kinetics.hpp"

namespace {

using namespace oddgrist::science;
using outside::add;
using outside::Inputs;

MashMoment end_of(const std::vector<TemperatureLeg>& course) {
  const MashConversion conversion = mash_conversion_brandam({}, course, 1440.0);
  return conversion.moments.at(conversion.moments.size() - 1);
}
MashMoment end_of_rest(const Inputs& in) { return end_of({temperature_hold(in.at("rest_c"), in.at("minutes"))}); }
MashMoment end_of_course(const Inputs& in) {
  return end_of({temperature_ramp(in.at("start_c"), in.at("end_c"), in.at("minutes"))});
}
double chains(const MashMoment& m) { return m.maltose + m.maltotriose + m.dextrin; }

const std::vector<TemperatureLeg> congress{temperature_hold(45.0, 30.0), temperature_ramp(45.0, 70.0, 25.0),
                                           temperature_hold(70.0, 60.0)};
const std::vector<TemperatureLeg> cooling{temperature_cooling(68.0, 20.0, 300.0, 90.0)};

double base_malt_ph(MashAcidity<double> mash, double base_malt_kg) {
  mash.malts.push_back({base_malt_kg, 5.75, 40.0});
  return mash_ph(mash).value();
}

bool add_part(const std::string& part, double MashMoment::*place) {
  return add("kinetics_" + part, [place](const Inputs& in) { return end_of_course(in).*place; });
}

const bool registered[] = {
    add("mash_ph_shift_at_65c", [](const Inputs&) { return mash_ph_at_temperature(5.4, 65.0) - 5.4; }),
    add("mash_ph_acid_malt_drop",
        [](const Inputs& in) {
          const double share = in.at("acid_malt_percent") / 100.0;
          MashAcidity<double> sour;
          sour.malts.push_back({share, 3.55, 200.0});
          return base_malt_ph({}, 1.0) - base_malt_ph(sour, 1.0 - share);
        }),
    add("mash_ph_calcium_drop",
        [](const Inputs& in) {
          MashAcidity<double> hard;
          hard.calcium_eq = in.at("calcium_mg_per_l") / calcium_mg_per_meq * in.at("liquor_l_per_kg") * 1e-3;
          return base_malt_ph({}, 1.0) - base_malt_ph(hard, 1.0);
        }),
    add("lintner_from_windisch_kolbach",
        [](const Inputs& in) { return lintner_from_windisch_kolbach(in.at("windisch_kolbach")); }),
    add("attenuation_limit_percent",
        [](const Inputs& in) { return 100.0 * mash_apparent_attenuation_limit(end_of_rest(in)); }),
    add("attenuation_limit_two_rests_percent",
        [](const Inputs& in) {
          return 100.0 * mash_apparent_attenuation_limit(
                             end_of({temperature_hold(in.at("first_c"), in.at("first_min")),
                                     temperature_ramp(in.at("first_c"), in.at("second_c"), in.at("ramp_min")),
                                     temperature_hold(in.at("second_c"), in.at("second_min"))}));
        }),
    add("maltose_share",
        [](const Inputs& in) {
          const MashMoment m = end_of_rest(in);
          return m.maltose / chains(m);
        }),
    add("maltotriose_share",
        [](const Inputs& in) {
          const MashMoment m = end_of_rest(in);
          return m.maltotriose / chains(m);
        }),
    add("dextrin_share",
        [](const Inputs& in) {
          const MashMoment m = end_of_rest(in);
          return m.dextrin / chains(m);
        }),
    add("dissolved_share", [](const Inputs& in) { return 1.0 - end_of_rest(in).unconverted_starch(); }),
    add("kinetics_unconverted", [](const Inputs& in) { return end_of_course(in).unconverted_starch(); }),
    add_part("dextrin", &MashMoment::dextrin),
    add_part("glucose", &MashMoment::glucose),
    add_part("maltose", &MashMoment::maltose),
    add_part("maltotriose", &MashMoment::maltotriose),
    add("kinetics_congress_dextrin", [](const Inputs&) { return end_of(congress).dextrin; }),
    add("kinetics_congress_maltose", [](const Inputs&) { return end_of(congress).maltose; }),
    add("kinetics_cooling_dextrin", [](const Inputs&) { return end_of(cooling).dextrin; }),
    add("kinetics_cooling_maltose", [](const Inputs&) { return end_of(cooling).maltose; }),
};

}  // namespace

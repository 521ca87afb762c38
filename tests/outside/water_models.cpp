// Salts, hardness, water reports and acids, as the rows of water.csv ask for them.
#include <boost/math/tools/toms748_solve.hpp>
#include <string>
#include <utility>

#include "harness.hpp"
#include "science/acid.hpp"
#include "science/water.hpp"
#include "science/water_report.hpp"

namespace {

using namespace oddgrist::science;
using outside::add;
using outside::Inputs;

bool add_constant(const std::string& name, double value) {
  return add(name, [value](const Inputs&) { return value; });
}

bool add_conversion(const std::string& name, HardnessUnit from, HardnessUnit to) {
  return add_constant(name, hardness_converted(1.0, from, to));
}

// The pH of an acid alone in water, from its charge per mole: what it gives is what the water holds as hydrogen ions.
// Activity moves the last constant by log g1 for an acid of one proton, by log g2 - log g1 = 3 log g1 for one of two.
double acid_solution_ph(AcidKind kind, double molarity) {
  const auto excess = [=](double ph) {
    const double plain_charge = molarity * acid_charge_per_mole(kind, ph);
    const double log_one = log_activity_coefficient_davies(1, std::min(plain_charge, 0.5), 25.0);
    const double charge = molarity * acid_charge_per_mole(kind, ph - (2.0 * acid_traits(kind).protons - 1.0) * log_one);
    return charge - std::pow(10.0, -ph - log_one);
  };
  std::uintmax_t steps = 100;
  return boost::math::tools::toms748_solve(excess, 0.0, 7.0, boost::math::tools::eps_tolerance<double>(40), steps)
      .first;
}

// The pH of an acid's salt with one proton gone. Activity moves the first constant by log g1 and the second by log g2 -
// log g1, and the pH between them by half the sum.
double acid_salt_ph(AcidKind kind, double molarity) {
  const double log_one = log_activity_coefficient_davies(1, molarity, 25.0);
  const double shift = 0.5 * log_activity_coefficient_davies(2, molarity, 25.0);
  const auto excess = [=](double ph) {
    const double hydrogen = std::pow(10.0, -(ph + shift) - log_one);
    return acid_charge_per_mole(kind, ph) - 1.0 - hydrogen / molarity;
  };
  std::uintmax_t steps = 100;
  return shift +
         boost::math::tools::toms748_solve(excess, 2.0, 6.0, boost::math::tools::eps_tolerance<double>(40), steps)
             .first;
}

bool add_salts() {
  const std::pair<const char*, WaterSalt> salts[] = {
      {"gypsum", WaterSalt::gypsum},
      {"calcium_chloride_dihydrate", WaterSalt::calcium_chloride_dihydrate},
      {"calcium_chloride_anhydrous", WaterSalt::calcium_chloride_anhydrous},
      {"epsom_salt", WaterSalt::epsom_salt},
      {"magnesium_chloride_hexahydrate", WaterSalt::magnesium_chloride_hexahydrate},
      {"table_salt", WaterSalt::table_salt},
      {"potassium_chloride", WaterSalt::potassium_chloride},
      {"baking_soda", WaterSalt::baking_soda},
      {"slaked_lime", WaterSalt::slaked_lime},
      {"chalk", WaterSalt::chalk},
  };
  bool ok = true;
  for (const auto& [name, salt] : salts)
    ok = add_constant(std::string("molar_mass_") + name, salt_molar_mass_g_per_mol(salt)) && ok;
  const auto ions = [](WaterSalt salt) { return salt_ions(salt, 1.0, 1.0); };
  ok = add_constant("gypsum_calcium_mg_per_g", ions(WaterSalt::gypsum).calcium_mg_per_l) && ok;
  ok = add_constant("gypsum_sulphate_mg_per_g", ions(WaterSalt::gypsum).sulphate_mg_per_l) && ok;
  ok = add_constant("epsom_salt_magnesium_mg_per_g", ions(WaterSalt::epsom_salt).magnesium_mg_per_l) && ok;
  ok = add_constant("table_salt_sodium_mg_per_g", ions(WaterSalt::table_salt).sodium_mg_per_l) && ok;
  ok = add_constant("table_salt_chloride_mg_per_g", ions(WaterSalt::table_salt).chloride_mg_per_l) && ok;
  ok = add_constant("baking_soda_sodium_mg_per_g", ions(WaterSalt::baking_soda).sodium_mg_per_l) && ok;
  ok = add_constant("slaked_lime_calcium_mg_per_g", ions(WaterSalt::slaked_lime).calcium_mg_per_l) && ok;
  ok = add_constant("chalk_calcium_mg_per_g", ions(WaterSalt::chalk).calcium_mg_per_l) && ok;
  const WaterIons<double> bischofite = ions(WaterSalt::magnesium_chloride_hexahydrate);
  ok = add_constant("magnesium_chloride_hexahydrate_magnesium_mg_per_g", bischofite.magnesium_mg_per_l) && ok;
  ok = add_constant("magnesium_chloride_hexahydrate_chloride_mg_per_g", bischofite.chloride_mg_per_l) && ok;
  return add_constant("potassium_chloride_chloride_mg_per_g", ions(WaterSalt::potassium_chloride).chloride_mg_per_l) &&
         ok;
}

bool add_acids() {
  const std::pair<const char*, AcidKind> acids[] = {
      {"lactic", AcidKind::lactic},       {"phosphoric", AcidKind::phosphoric},     {"citric", AcidKind::citric},
      {"malic", AcidKind::malic},         {"tartaric", AcidKind::tartaric},         {"acetic", AcidKind::acetic},
      {"sulphuric", AcidKind::sulphuric}, {"hydrochloric", AcidKind::hydrochloric},
  };
  bool ok = true;
  for (const auto& [name, kind] : acids) {
    ok = add_constant(std::string("molar_mass_") + name + "_acid", acid_molar_mass_g_per_mol(kind)) && ok;
    if (kind == AcidKind::malic) continue;  // no row for its density
    ok = add(std::string("molarity_") + name + "_acid",
             [kind = kind](const Inputs& in) {
               return acid_molarity(kind, in.at("mass_fraction"), in.at("density_kg_per_l")).value();
             }) &&
         ok;
  }
  return ok;
}

bool add_solutions() {
  const auto alone = [](const std::string& name, AcidKind kind) {
    return add("acid_solution_ph_" + name,
               [kind](const Inputs& in) { return acid_solution_ph(kind, in.at("molarity")); });
  };
  const auto salt = [](const std::string& name, AcidKind kind) {
    return add("acid_salt_ph_" + name, [kind](const Inputs& in) { return acid_salt_ph(kind, in.at("molarity")); });
  };
  return alone("acetic", AcidKind::acetic) && alone("lactic", AcidKind::lactic) &&
         alone("hydrochloric", AcidKind::hydrochloric) && alone("sulphuric", AcidKind::sulphuric) &&
         salt("tartaric", AcidKind::tartaric) && salt("citric", AcidKind::citric);
}

bool add_units() {
  using enum HardnessUnit;
  return add_conversion("german_degree_as_calcium_carbonate_mg_per_l", german_degree, calcium_carbonate_mg_per_l) &&
         add_conversion("german_degree_as_millimole_per_l", german_degree, millimole_per_l) &&
         add_conversion("german_degree_as_french_degree", german_degree, french_degree) &&
         add_conversion("german_degree_as_english_degree", german_degree, english_degree) &&
         add_conversion("french_degree_as_german_degree", french_degree, german_degree) &&
         add_conversion("french_degree_as_english_degree", french_degree, english_degree) &&
         add_conversion("english_degree_as_german_degree", english_degree, german_degree) &&
         add_conversion("english_degree_as_french_degree", english_degree, french_degree) &&
         add_conversion("millimole_as_german_degree", millimole_per_l, german_degree) &&
         add_conversion("millimole_as_calcium_carbonate_mg_per_l", millimole_per_l, calcium_carbonate_mg_per_l) &&
         add_conversion("milliequivalent_as_german_degree", milliequivalent_per_l, german_degree) &&
         add_conversion("english_degree_as_calcium_carbonate_mg_per_l", english_degree, calcium_carbonate_mg_per_l) &&
         add_conversion("us_grain_as_calcium_carbonate_mg_per_l", us_grain_per_gallon, calcium_carbonate_mg_per_l) &&
         add_conversion("milliequivalent_as_calcium_carbonate_mg_per_l", milliequivalent_per_l,
                        calcium_carbonate_mg_per_l) &&
         add_conversion("milliequivalent_as_bicarbonate_mg_per_l", milliequivalent_per_l, bicarbonate_mg_per_l);
}

// What the report reader makes of one slip: the corrected figure over the printed one.
double slip_factor(WaterIons<double> printed, ReportSlip slip) {
  WaterReport report;
  report.calcium_mg_per_l = printed.calcium_mg_per_l;
  report.magnesium_mg_per_l = printed.magnesium_mg_per_l;
  report.sodium_mg_per_l = printed.sodium_mg_per_l;
  report.chloride_mg_per_l = printed.chloride_mg_per_l;
  report.sulphate_mg_per_l = printed.sulphate_mg_per_l;
  report.nitrate_mg_per_l = printed.nitrate_mg_per_l;
  report.alkalinity = Hardness{printed.alkalinity_meq_per_l, HardnessUnit::milliequivalent_per_l};
  const WaterVerdict verdict = read_water_report(report);
  for (const WaterSuspect& suspect : verdict.reading.value().suspects) {
    if (suspect.slip == slip) return suspect.corrected / suspect.reported;
  }
  throw std::out_of_range("the slip was not found");
}

const bool registered[] = {
    add_salts(),
    add_acids(),
    add_solutions(),
    add_units(),
    add("hardness_calcium_carbonate_mg_per_l",
        [](const Inputs& in) {
          WaterIons<double> water;
          water.calcium_mg_per_l = in.at("calcium_mg_per_l");
          water.magnesium_mg_per_l = in.at("magnesium_mg_per_l");
          return hardness_converted(water_hardness_meq_per_l(water), HardnessUnit::milliequivalent_per_l,
                                    HardnessUnit::calcium_carbonate_mg_per_l);
        }),
    // Each printed water is short of anions by exactly what its slip hides: 10 mg/L of nitrogen is 44.27 mg/L of
    // nitrate, and so on.
    add("slip_nitrate_as_nitrogen_factor",
        [](const Inputs&) {
          return slip_factor({.calcium_mg_per_l = 54.35, .nitrate_mg_per_l = 10.0, .alkalinity_meq_per_l = 2.0},
                             ReportSlip::nitrate_as_nitrogen);
        }),
    add("slip_sulphate_as_sulphur_factor",
        [](const Inputs&) {
          return slip_factor({.calcium_mg_per_l = 90.0, .sulphate_mg_per_l = 40.0, .alkalinity_meq_per_l = 2.0},
                             ReportSlip::sulphate_as_sulphur);
        }),
    add("slip_alkalinity_as_calcium_carbonate_factor",
        [](const Inputs&) {
          return slip_factor({.calcium_mg_per_l = 80.0, .alkalinity_meq_per_l = 3.28},
                             ReportSlip::alkalinity_as_calcium_carbonate);
        }),
    add("charge_error_percent",
        [](const Inputs& in) {
          return water_charge_balance({in.at("calcium"), in.at("magnesium"), in.at("sodium"), in.at("potassium"),
                                       in.at("chloride"), in.at("sulphate"), in.at("nitrate"), in.at("alkalinity")})
              .error_percent;
        }),
    add("residual_alkalinity_german_degree",
        [](const Inputs& in) {
          const double meq = meq_per_l_per_unit(HardnessUnit::german_degree);
          WaterIons<double> water;
          water.alkalinity_meq_per_l = in.at("carbonate") * meq;
          water.calcium_mg_per_l = in.at("calcium") * meq * calcium_mg_per_meq;
          water.magnesium_mg_per_l = in.at("magnesium") * meq * magnesium_mg_per_meq;
          return residual_alkalinity_kolbach_meq_per_l(water) / meq;
        }),
    add_constant("sodium_metabisulphite_mg_per_mg_chlorine", sodium_metabisulphite_mg_per_mg_chlorine),
    add_constant("potassium_metabisulphite_mg_per_mg_chlorine", potassium_metabisulphite_mg_per_mg_chlorine),
};

}  // namespace

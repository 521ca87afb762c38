#include "harness.hpp"
#include "science/label_energy.hpp"

namespace {

using namespace oddgrist::science;
using outside::Inputs;

double grams(const Inputs& in, const char* name) {
  const auto found = in.find(name);
  return found == in.end() ? 0.0 : found->second;
}

EnergyCarriers<double> carriers(const Inputs& in) {
  EnergyCarriers<double> all;
  all.carbohydrate = grams(in, "carbohydrate");
  all.polyols = grams(in, "polyols");
  all.erythritol = grams(in, "erythritol");
  all.protein = grams(in, "protein");
  all.fat = grams(in, "fat");
  all.salatrim = grams(in, "salatrim");
  all.alcohol = grams(in, "alcohol");
  all.organic_acids = grams(in, "organic_acids");
  all.fibre = grams(in, "fibre");
  return all;
}

// A row names one polyol, or soluble fibre; total carbohydrate on a US label holds it.
double us_fine_kcal(const Inputs& in) {
  const std::map<std::string, double> factors = {
      {"isomalt", isomalt_kcal_per_g},
      {"lactitol", lactitol_kcal_per_g},
      {"maltitol", maltitol_kcal_per_g},
      {"mannitol", mannitol_kcal_per_g},
      {"sorbitol", sorbitol_kcal_per_g},
      {"xylitol", xylitol_kcal_per_g},
      {"hydrogenated_starch_hydrolysate", hydrogenated_starch_hydrolysate_kcal_per_g}};
  const double fibre = grams(in, "soluble_fibre");
  if (fibre > 0.0) return label_energy_us_fine_kcal(fibre, fibre, 0.0, 0.0, 0.0, 0.0, 0.0);
  const auto& [polyol, amount] = *in.begin();
  return label_energy_us_fine_kcal(amount, 0.0, 0.0, amount, factors.at(polyol), 0.0, 0.0);
}

const bool registered[] = {
    outside::add("label_energy_eu_kj", [](const Inputs& in) { return label_energy_eu_kj(carriers(in)); }),
    outside::add("label_energy_eu_kcal", [](const Inputs& in) { return label_energy_eu_kcal(carriers(in)); }),
    outside::add("label_energy_us_kcal",
                 [](const Inputs& in) {
                   return label_energy_us_kcal(grams(in, "carbohydrate"), grams(in, "protein"), grams(in, "fat"));
                 }),
    outside::add("label_energy_us_fine_kcal", us_fine_kcal),
    outside::add("label_salt_from_sodium", [](const Inputs& in) { return label_salt_from_sodium(in.at("sodium")); }),
};

}  // namespace

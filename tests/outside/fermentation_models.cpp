#include "science/fermentation_kinetics.hpp"

#include "harness.hpp"
#include "science/pitching.hpp"

namespace {

using namespace oddgrist;
using outside::Inputs;

enum class Sugar { glucose, maltose, maltotriose };

// The published start, 70, 220 and 40 mol/m3, run to an hour; the sugar left, mol/m3.
double sugar_left(science::FermentationInput input, double hour, Sugar sugar) {
  input.start = {70e-3 * science::glucose_g_per_mol, 220e-3 * science::maltose_g_per_mol,
                 40e-3 * science::maltotriose_g_per_mol};
  input.hours = hour;
  const science::FermentationSugars left = science::ferment(input).samples.back().sugars;
  if (sugar == Sugar::glucose) return left.glucose_g_l / science::glucose_g_per_mol * 1e3;
  if (sugar == Sugar::maltose) return left.maltose_g_l / science::maltose_g_per_mol * 1e3;
  return left.maltotriose_g_l / science::maltotriose_g_per_mol * 1e3;
}

double held(const Inputs& in, Sugar sugar) {
  science::FermentationInput input;
  input.course = {{0.0, in.at("temperature_c")}};
  return sugar_left(input, in.at("hour"), sugar);
}

double warmed(const Inputs& in, Sugar sugar) {
  science::FermentationInput input;
  input.course = {{0.0, 10.0}, {48.0, 10.0}, {96.0, 16.0}};
  return sugar_left(input, in.at("hour"), sugar);
}

double late_sugar(const Inputs& in, Sugar sugar) {
  science::FermentationInput input;
  input.course = {{0.0, 18.0}};
  input.late_sugars = {{96.0, 0.1 * science::glucose_g_per_mol, 0.0, 0.0}};
  return sugar_left(input, in.at("hour"), sugar);
}

double ethanol(double hexose, const Inputs& in) { return science::ferment_hexose(hexose, in.at("share")).ethanol; }

const bool registered[] = {
    outside::add("fermentation_glucose_mol_m3", [](const Inputs& in) { return held(in, Sugar::glucose); }),
    outside::add("fermentation_maltose_mol_m3", [](const Inputs& in) { return held(in, Sugar::maltose); }),
    outside::add("fermentation_maltotriose_mol_m3", [](const Inputs& in) { return held(in, Sugar::maltotriose); }),
    outside::add("fermentation_warmed_maltose_mol_m3", [](const Inputs& in) { return warmed(in, Sugar::maltose); }),
    outside::add("fermentation_warmed_maltotriose_mol_m3",
                 [](const Inputs& in) { return warmed(in, Sugar::maltotriose); }),
    outside::add("fermentation_late_glucose_mol_m3", [](const Inputs& in) { return late_sugar(in, Sugar::glucose); }),
    outside::add("fermentation_late_maltose_mol_m3", [](const Inputs& in) { return late_sugar(in, Sugar::maltose); }),
    outside::add("ethanol_per_sugar", [](const Inputs& in) { return ethanol(in.at("hexose_per_sugar"), in); }),
    outside::add("ethanol_per_maltose",
                 [](const Inputs& in) {
                   return ethanol(science::FermentationSugars{0.0, 1.0, 0.0}.hexose_g_l(), in);
                 }),
    outside::add("ethanol_per_maltotriose",
                 [](const Inputs& in) {
                   return ethanol(science::FermentationSugars{0.0, 0.0, 1.0}.hexose_g_l(), in);
                 }),
    outside::add("ethanol_mol_per_mol_glucose",
                 [](const Inputs& in) { return ethanol(science::glucose_g_per_mol, in) / science::ethanol_g_per_mol; }),
    outside::add("carbon_dioxide_per_ethanol",
                 [](const Inputs& in) {
                   const science::FermentedHexose<double> made = science::ferment_hexose(1.0, in.at("share"));
                   return made.carbon_dioxide / made.ethanol;
                 }),
    outside::add(
        "pitch_million_cells_per_ml",
        [](const Inputs& in) { return science::pitch_cells(in.at("rate"), 1.0, in.at("extract_plato")) / 1e6 / 1e3; }),
    outside::add("dry_yeast_g",
                 [](const Inputs& in) {
                   return science::dry_yeast_g(
                       science::pitch_cells(in.at("rate"), in.at("volume_l"), in.at("extract_plato")));
                 }),
};

}  // namespace

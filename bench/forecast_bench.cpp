// One whole forecast of the demo's recipe: as plain numbers, with derivatives, beside the same sums written out by hand, and the
// differential equations. The goals stand in run.sh.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <stdexcept>

#include "compose/doubt.hpp"
#include "compose/proposal.hpp"
#include "files/brief_file.hpp"
#include "process/forecast.hpp"
#include "science/alcoholometry.hpp"
#include "science/attenuation.hpp"
#include "science/balling.hpp"
#include "science/bitterness.hpp"
#include "science/carbonation.hpp"
#include "science/colour.hpp"
#include "science/density.hpp"
#include "science/fermentation_kinetics.hpp"
#include "science/mash_kinetics.hpp"

namespace {

using namespace oddgrist;
using process::Active;
using process::Component;

struct Demo {
  compose::Brief brief;
  compose::Proposal proposal;
};

const Demo& demo() {
  static const Demo demo = [] {
    auto read = files::read_brief_file(ODDGRIST_SOURCE_DIR "/examples/saltmarsh-round.toml");
    if (!read) throw std::runtime_error("cannot read the demo brief");
    Demo made{read.value(), {}};
    auto answer = compose::compose(made.brief);
    made.proposal = answer.proposals.at(0);
    return made;
  }();
  return demo;
}

process::Mixture<Active> active(const process::Mixture<double>& plain) {
  process::Mixture<Active> mixture;
  for (std::size_t i = 0; i < process::component_count; ++i) mixture.mass_kg[i] = Active(plain.mass_kg[i]);
  mixture.alkalinity_eq = Active(plain.alkalinity_eq);
  mixture.colour_load_kg_lovibond = Active(plain.colour_load_kg_lovibond);
  mixture.buffering_eq_per_ph = Active(plain.buffering_eq_per_ph);
  mixture.buffering_ph_eq = Active(plain.buffering_ph_eq);
  mixture.temperature_c = Active(plain.temperature_c);
  return mixture;
}

process::Charge<Active> active(const process::Charge<double>& plain) {
  process::Charge<Active> charge;
  charge.mash_liquor = active(plain.mash_liquor);
  charge.grist = active(plain.grist);
  charge.sparge_liquor = active(plain.sparge_liquor);
  charge.top_up = active(plain.top_up);
  for (const auto& pour : plain.kettle) charge.kettle.push_back({pour.minutes_before_end, active(pour.mixture)});
  charge.flame_out = active(plain.flame_out);
  charge.fermenter = active(plain.fermenter);
  charge.yeast = active(plain.yeast);
  charge.infused_food = active(plain.infused_food);
  charge.rest_temperature_c = Active(plain.rest_temperature_c);
  for (int i = 0; i < process::directions_per_pass && i < 26; ++i) charge.grist.mass_kg[i].derivatives()[i] = 1.0;
  charge.rest_temperature_c.derivatives()[process::directions_per_pass - 1] = 1.0;
  return charge;
}

process::Ferment ferment_of(const process::Plan<double>& plan) {
  for (const auto& step : plan.steps) {
    if (const auto* attenuate = std::get_if<process::Attenuate<double>>(&step)) return attenuate->how;
  }
  return {};
}

void ForecastPlain(benchmark::State& state) {
  const auto& plan = demo().proposal.plan;
  for (auto _ : state) benchmark::DoNotOptimize(process::forecast(plan));
}
BENCHMARK(ForecastPlain)->Unit(benchmark::kMicrosecond);

void MakePlan(benchmark::State& state) {
  const auto ferment = ferment_of(demo().proposal.plan);
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        process::make_plan(demo().brief.kit, demo().proposal.charge, ferment, demo().brief.carbonation_volumes));
  }
}
BENCHMARK(MakePlan)->Unit(benchmark::kMicrosecond);

// With 32 derivatives at once.
void ForecastWithDerivatives(benchmark::State& state) {
  const auto plan = process::make_plan(demo().brief.kit, active(demo().proposal.charge),
                                       ferment_of(demo().proposal.plan), demo().brief.carbonation_volumes);
  for (auto _ : state) benchmark::DoNotOptimize(process::forecast(plan));
}
BENCHMARK(ForecastWithDerivatives)->Unit(benchmark::kMicrosecond);

// ---- the same day by hand: the published formulas on a dozen plain numbers, no mixture, no steps

struct ByHand {
  double og = 0.0, fg = 0.0, abv = 0.0, ibu = 0.0, ebc = 0.0, litres = 0.0, ph = 0.0;
};

struct Inputs {
  double water_kg = 0.0, starch_kg = 0.0, fermentable_kg = 0.0, maltotriose_kg = 0.0, other_extract_kg = 0.0,
         grist_kg = 0.0;
  double colour_load = 0.0, trub_solids_kg = 0.0, rest_c = 66.0, boil_minutes = 60.0, ferment_c = 19.0,
         stand_minutes = 0.0;
  double conversion = 0.95, held_l_per_kg = 0.6, boil_off_l = 2.0, kettle_loss_l = 0.5, trub_l_per_kg = 6.0,
         triose_uptake = 0.9;
  std::vector<std::pair<double, double>> hops;  // minutes, alpha acid in kg
  process::Mixture<double> mash;                // for the pH, which is science's own solver
};

Inputs inputs_of(const Demo& demo) {
  const auto& charge = demo.proposal.charge;
  Inputs in;
  in.mash = charge.grist;
  add_to(in.mash, charge.mash_liquor);
  in.water_kg = in.mash[Component::water];
  in.starch_kg = in.mash[Component::starch];
  for (Component sugar : {Component::glucose, Component::fructose, Component::sucrose, Component::maltose})
    in.fermentable_kg += in.mash[sugar];
  in.maltotriose_kg = in.mash[Component::maltotriose];
  in.other_extract_kg = process::extract_kg(in.mash) - in.fermentable_kg - in.maltotriose_kg;
  in.grist_kg = total_mass_kg(charge.grist);
  in.colour_load = charge.grist.colour_load_kg_lovibond;
  for (const auto& pour : charge.kettle) {
    in.hops.emplace_back(pour.minutes_before_end, pour.mixture[Component::alpha_acid]);
    in.trub_solids_kg += pour.mixture[Component::solids];
  }
  const auto& kit = demo.brief.kit;
  in.rest_c = charge.rest_temperature_c;
  in.boil_minutes = kit.boil.in(minute);
  in.ferment_c = ferment_of(demo.proposal.plan).temperature_c;
  in.conversion = kit.conversion.in(ratio);
  in.held_l_per_kg = kit.held_by_grain.in(litre_per_kilogram);
  in.boil_off_l = kit.boil_off.in(litre_per_hour)*in.boil_minutes / 60.0;
  in.kettle_loss_l = kit.kettle_loss.in(litre);
  in.trub_l_per_kg = kit.held_by_hops.in(litre_per_kilogram);
  in.triose_uptake = ferment_of(demo.proposal.plan).yeast.maltotriose_uptake;
  return in;
}

double litres_of(double water, double extract, double ethanol, double at_c) {
  const double mass = water + extract + ethanol;
  return mass / science::beer_density_kg_per_m3(ethanol / mass, extract / mass, at_c) * 1000.0;
}

double gravity_of(double water, double extract, double ethanol) {
  const double mass = water + extract + ethanol;
  return science::specific_gravity_tabarie(ethanol / mass, extract / mass);
}

ByHand by_hand(const Inputs& in) {
  ByHand out;
  out.ph = process::mash_ph_20c(in.mash);
  const science::SugarSplit split;
  const double share = science::mash_fermentable_share(in.rest_c);
  const double hydration = split.glucose * science::glucose_per_starch + split.maltose * science::maltose_per_starch +
                           split.maltotriose * science::maltotriose_per_starch;
  const double converted = in.starch_kg * in.conversion;
  const double fermentable_starch = converted * share / (share + (1.0 - share) * hydration);
  const double sugars = fermentable_starch * hydration;
  const double triose_part = split.maltotriose * science::maltotriose_per_starch / hydration;
  double water = in.water_kg + fermentable_starch - sugars;
  double simple = in.fermentable_kg + sugars * (1.0 - triose_part);
  double triose = in.maltotriose_kg + sugars * triose_part;
  double other = in.other_extract_kg + converted - fermentable_starch;
  double colour = in.colour_load, iso = 0.0;
  const auto keep = [&](double part) {
    for (double* each : {&water, &simple, &triose, &other, &colour, &iso}) *each *= part;
  };
  keep(1.0 - in.grist_kg * in.held_l_per_kg / litres_of(water, simple + triose + other, 0.0, 65.0));
  const double before = gravity_of(water, simple + triose + other, 0.0);
  water -= in.boil_off_l * 0.9982;
  const double after = gravity_of(water, simple + triose + other, 0.0);
  for (const auto& [minutes, alpha] : in.hops)
    iso += alpha * science::utilisation_tinseth(0.5 * (before + after), minutes);
  keep(1.0 - (in.kettle_loss_l + in.trub_l_per_kg * in.trub_solids_kg) /
                 litres_of(water, simple + triose + other, 0.0, 20.0));
  out.og = gravity_of(water, simple + triose + other, 0.0);
  out.litres = litres_of(water, simple + triose + other, 0.0, 20.0);
  const double eaten = simple + triose * in.triose_uptake;
  const auto products = science::ferment_hexose(eaten * 1.05);
  const double left = triose * (1.0 - in.triose_uptake) + other;
  out.fg = gravity_of(water, left, products.ethanol);
  const double litres = litres_of(water, left, products.ethanol, 20.0);
  out.abv = products.ethanol / (science::ethanol_water_density_oiml_kg_per_m3(1.0, 20.0) / 1000.0) / litres * 100.0;
  out.ibu = iso * 1e6 / litres;
  out.ebc = science::ebc_from_srm(science::colour_morey_srm(science::malt_colour_units(colour, litres)));
  return out;
}

void SameSumsByHand(benchmark::State& state) {
  const Inputs in = inputs_of(demo());
  for (auto _ : state) {
    Inputs same = in;
    benchmark::DoNotOptimize(same);
    benchmark::DoNotOptimize(by_hand(same));
  }
  // Without the infusion, the priming and the stand the two agree only nearly; further off, they would not be the same sums.
  const ByHand hand = by_hand(in);
  const auto& model = demo().proposal.forecast;
  state.SetLabel(fmt::format("off by {:+.2f} points; {:+.2f} % vol; {:+.1f} IBU",
                             (hand.og - model.original_gravity_sg) * 1000.0, hand.abv - model.abv_percent,
                             hand.ibu - model.bitterness_ibu));
}
BENCHMARK(SameSumsByHand)->Unit(benchmark::kMicrosecond);

// ---- in time

void FermentationInTime(benchmark::State& state) {
  science::FermentationInput input;
  input.start = {15.0, 75.0, 20.0};  // g/L of glucose, maltose, maltotriose: a wort of 1.055
  for (auto _ : state) benchmark::DoNotOptimize(science::ferment(input));
}
BENCHMARK(FermentationInTime)->Unit(benchmark::kMicrosecond);

void MashInTime(benchmark::State& state) {
  const std::vector<science::TemperatureLeg> course = {science::temperature_hold(66.0, 60.0)};
  for (auto _ : state) benchmark::DoNotOptimize(science::mash_conversion_brandam({}, course));
}
BENCHMARK(MashInTime)->Unit(benchmark::kMicrosecond);

}  // namespace

#include "present/trial.hpp"

#include <algorithm>
#include <cmath>

#include <boost/math/tools/toms748_solve.hpp>

#include "process/apply.hpp"
#include "process/forecast.hpp"
#include "science/infusion.hpp"

namespace oddgrist::present {
namespace {

using process::Component;
using process::Mixture;

constexpr double density_kg_per_l(const double kg, const double litres) { return litres > 0.0 ? kg / litres : 0.0; }

Mixture<double> times(const Mixture<double>& mixture, double factor) {
  Mixture<double> scaled = mixture;
  for (double& mass : scaled.mass_kg) mass *= factor;
  scaled.alkalinity_eq *= factor;
  scaled.colour_load_kg_lovibond *= factor;
  return scaled;
}

// Sugar this yeast would still turn into alcohol and gas, kg.
double fermentable_kg(const Mixture<double>& mixture, const process::Ferment& ferment) {
  const auto moment = process::apply(process::Attenuate<double>{ferment}, mixture);
  double eaten = 0.0;
  for (double turned : moment.reacted.mass_kg) eaten += std::max(0.0, -turned);
  return eaten;
}

// The amount of water at which `miss` is 0; `miss` rises with it.
template <class Miss>
std::optional<double> root_between(Miss miss, double low, double high) {
  if (!(miss(low) <= 0.0) || !(miss(high) >= 0.0)) return std::nullopt;
  std::uintmax_t rounds = 100;
  const auto found =
      boost::math::tools::toms748_solve(miss, low, high, boost::math::tools::eps_tolerance<double>(48), rounds);
  return 0.5 * (found.first + found.second);
}

std::optional<Mixture<double>> filled_to_a_litre(Mixture<double> mixture) {
  const auto water = root_between(
      [&](double kg) {
        mixture[Component::water] = kg;
        return process::liquid_volume_l(mixture, 20.0) - 1.0;
      },
      0.0, 1.0);
  if (!water) return std::nullopt;
  mixture[Component::water] = *water;
  return mixture;
}

double ethanol_kg_per_l(double alcohol_volume_fraction) {
  return alcohol_volume_fraction * science::ethanol_density_oiml_20c_kg_per_m3 / 1000.0;
}

bool sound(const TrialPlan& plan) {
  const auto dose_fits = [&](double dose) { return dose > 0.0 && dose <= plan.glass_l; };
  return process::liquid_volume_l(plan.beer, 20.0) > 0.0 && process::liquid_volume_l(plan.liquor, 20.0) > 0.0 &&
         plan.glass_l > 0.0 && !plan.doses_l.empty() && plan.doses_l.size() <= most_trial_doses &&
         plan.carbonation_volumes >= 0.0 && std::all_of(plan.doses_l.begin(), plan.doses_l.end(), dose_fits);
}

void judge_bottle(TrialGlass& glass, const Mixture<double>& dosed, double volumes) {
  const double liquid = process::liquid_kg(dosed);
  science::SealedBottle<double> bottle;
  bottle.volumes = volumes;
  bottle.alcohol_mass_fraction = dosed[Component::ethanol] / liquid;
  bottle.extract_mass_fraction = process::extract_kg(dosed) / liquid;
  const auto pressure = science::bottle_pressure(bottle, trial_bottle_c);
  glass.bottle_gauge_bar = pressure.gauge_bar;
  glass.verdict =
      science::bottle_verdict(pressure, science::container_rating(science::Container::one_way_glass).working_gauge_bar);
}

TrialGlass glass_of(const TrialPlan& plan, double dose_l) {
  const double batch_l = process::liquid_volume_l(plan.beer, 20.0);
  const double beer_kg_per_l = density_kg_per_l(process::liquid_kg(plan.beer), batch_l);
  const double liquor_l = process::liquid_volume_l(plan.liquor, 20.0);
  const double liquor_kg_per_l = density_kg_per_l(process::liquid_kg(plan.liquor), liquor_l);
  TrialGlass glass;
  glass.dose_l = dose_l;
  glass.batch_dose_kg =
      science::scaled_dose(dose_l * liquor_kg_per_l, plan.glass_l * beer_kg_per_l, process::liquid_kg(plan.beer));
  glass.batch_dose_l = glass.batch_dose_kg / liquor_kg_per_l;
  glass.food_kg = glass.batch_dose_l * plan.food_kg_per_l;
  Mixture<double> dosed = plan.beer;
  add_to(dosed, times(plan.liquor, glass.batch_dose_l / liquor_l));
  const double dosed_l = process::liquid_volume_l(dosed, 20.0);
  glass.gravity_sg = process::apparent_gravity_sg(dosed);
  glass.gravity_rise = glass.gravity_sg - process::apparent_gravity_sg(plan.beer);
  glass.abv_percent = process::alcohol_by_volume_percent(dosed);
  glass.abv_rise = glass.abv_percent - process::alcohol_by_volume_percent(plan.beer);
  glass.fat_mg_per_l = 1e6 * dosed[Component::fat] / dosed_l;
  const double sugar_kg = fermentable_kg(dosed, plan.ferment) - fermentable_kg(plan.beer, plan.ferment);
  glass.sugar_g_per_l = std::max(0.0, 1000.0 * sugar_kg / dosed_l);
  glass.later_volumes = science::volumes_from_fermentable(glass.sugar_g_per_l);
  judge_bottle(glass, dosed, plan.carbonation_volumes + glass.later_volumes);
  return glass;
}

}  // namespace

std::optional<double> take_proposal(const compose::Brief& brief, const compose::Proposal& proposal, TrialPlan& plan) {
  plan.carbonation_volumes = brief.carbonation_volumes;
  plan.ferment.temperature_c = brief.ferment_at.in(celsius);
  if (proposal.yeast.yeast) plan.ferment.yeast = *proposal.yeast.yeast;
  const auto trace = process::forecast(proposal.plan, process::Trace::on).trace;
  for (std::size_t i = 1; i < trace.size(); ++i) {
    if (trace[i].step != "dose") continue;
    plan.beer = trace[i - 1].after;
    plan.liquor = trace[i].after;
    for (std::size_t c = 0; c < larder::component_count; ++c)
      plan.liquor.mass_kg[c] = std::max(0.0, plan.liquor.mass_kg[c] - plan.beer.mass_kg[c]);
  }
  const double liquor_l = process::liquid_volume_l(plan.liquor, 20.0);
  const double beer_l = process::liquid_volume_l(plan.beer, 20.0);
  if (!(liquor_l > 1e-6) || !(beer_l > 0.0)) return std::nullopt;
  plan.food_kg_per_l = process::total_mass_kg(proposal.charge.infused_food) / liquor_l;
  for (const compose::Addition& addition : proposal.additions) {
    if (addition.route == compose::Route::infusion)
      plan.food += (plan.food.empty() ? "" : " and ") + addition.ingredient;
  }
  return liquor_l / beer_l;
}

Trial trial_of(const TrialPlan& plan) {
  Trial trial;
  if (!sound(plan)) return trial;
  std::vector<double> doses = plan.doses_l;
  doses.push_back(0.0);
  std::sort(doses.begin(), doses.end());
  for (double dose : doses) trial.glasses.push_back(glass_of(plan, dose));
  const auto order = science::blind_order(static_cast<int>(doses.size()), plan.seed);
  for (std::size_t place = 0; place < order.size(); ++place) {
    const char letter = static_cast<char>('A' + static_cast<int>(place));
    trial.glasses[static_cast<std::size_t>(order[place])].letter = letter;
    trial.letters += letter;
  }
  return trial;
}

std::vector<double> usual_doses_l(double glass_l, std::optional<double> planned_share) {
  constexpr int steps = 5;
  if (!planned_share || !(*planned_share > 0.0)) return science::dose_ladder(0.0025 * glass_l, 0.04 * glass_l, steps);
  const double highest = std::min(2.0 * *planned_share, 1.0) * glass_l;
  return science::dose_ladder(highest / 16.0, highest, steps);
}

const TrialGlass* picked_glass(const Trial& trial, const std::string& picks) {
  std::vector<const TrialGlass*> picked;
  for (char letter : picks) {
    const auto found = std::find_if(trial.glasses.begin(), trial.glasses.end(),
                                    [&](const TrialGlass& glass) { return glass.letter == letter; });
    if (found == trial.glasses.end()) return nullptr;
    picked.push_back(&*found);
  }
  if (picked.empty()) return nullptr;
  std::sort(picked.begin(), picked.end(),
            [](const TrialGlass* a, const TrialGlass* b) { return a->dose_l < b->dose_l; });
  return picked[(picked.size() - 1) / 2];
}

std::optional<Mixture<double>> sweet_liquor(double alcohol_volume_fraction, double sucrose_kg_per_l) {
  if (!(alcohol_volume_fraction >= 0.0) || !(alcohol_volume_fraction <= 1.0) || !(sucrose_kg_per_l >= 0.0))
    return std::nullopt;
  Mixture<double> liquor;
  liquor[Component::ethanol] = ethanol_kg_per_l(alcohol_volume_fraction);
  liquor[Component::sucrose] = sucrose_kg_per_l;
  return filled_to_a_litre(liquor);
}

std::optional<Mixture<double>> beer_that_reads(double alcohol_volume_fraction, double gravity_sg) {
  if (!(alcohol_volume_fraction >= 0.0) || !(alcohol_volume_fraction <= 0.25)) return std::nullopt;
  const auto with_extract = [&](double kg) {
    Mixture<double> beer;
    beer[Component::ethanol] = ethanol_kg_per_l(alcohol_volume_fraction);
    beer[Component::dextrin] = kg;
    return filled_to_a_litre(beer);
  };
  const auto miss = [&](double kg) {
    const auto beer = with_extract(kg);
    return beer ? process::apparent_gravity_sg(*beer) - gravity_sg : 1.0;
  };
  const auto extract_kg = root_between(miss, 0.0, 0.35);
  return extract_kg ? with_extract(*extract_kg) : std::nullopt;
}

}  // namespace oddgrist::present

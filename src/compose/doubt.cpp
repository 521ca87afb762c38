#include "compose/doubt.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

#include "compose/doubt_inputs.hpp"
#include "compose/doubt_points.hpp"
#include "science/attenuation.hpp"
#include "science/carbonation.hpp"
#include "science/fermentation_kinetics.hpp"

namespace oddgrist::compose {
namespace {

using larder::Component;
using larder::Composition;
using larder::Ingredient;
using larder::IngredientKind;

constexpr std::array minerals = {Component::calcium,   Component::magnesium, Component::sodium,
                                 Component::potassium, Component::chloride,  Component::sulphate};

// --- the proposal taken apart ---------------------------------------------------------------------------------------

// Two supplies under one name count as the first of them.
const Ingredient* ingredient_of(const Brief& brief, const Proposal& proposal, const Addition& addition) {
  if (addition.kind == IngredientKind::yeast) return &proposal.yeast;
  for (const auto* list : {&brief.given, &brief.have}) {
    if ((list == &brief.given) != addition.given) continue;
    for (const Supply& supply : *list) {
      if (supply.ingredient.name == addition.ingredient && supply.ingredient.id == addition.ingredient_id)
        return &supply.ingredient;
    }
  }
  return nullptr;
}

Doubtful::Portion portion_of(const process::Charge<double>& charge, const Addition& addition, int ingredient) {
  using Charge = process::Charge<double>;
  Doubtful::Portion portion{ingredient, addition.amount.in(kilogram), &Charge::grist, 0};
  switch (addition.route) {
    case Route::mash:
      if (addition.kind == IngredientKind::salt || addition.kind == IngredientKind::acid)
        portion.where = &Charge::mash_liquor;
      break;
    case Route::flame_out: portion.where = &Charge::flame_out; break;
    case Route::fermenter:
      portion.where = addition.kind == IngredientKind::yeast ? &Charge::yeast : &Charge::fermenter;
      break;
    case Route::infusion: portion.where = &Charge::infused_food; break;
    case Route::boil:
      portion.where = nullptr;
      while (portion.kettle_pour + 1 < charge.kettle.size() &&
             charge.kettle[portion.kettle_pour].minutes_before_end != addition.minutes_before_boil_end) {
        ++portion.kettle_pour;
      }
  }
  return portion;
}

process::Mixture<double>& vessel_of(process::Charge<double>& charge, const Doubtful::Portion& portion) {
  return portion.where != nullptr ? charge.*portion.where : charge.kettle[portion.kettle_pour].mixture;
}

// A mash that makes more sugar than the rule says is one whose starch came in part as maltose already; less, in part as dextrin.
// Conversion loses some starch, not these: the part it would have lost goes to the solids.
void shift_wort_limit(process::Mixture<double>& grist, double shift, double conversion, double rest_temperature_c) {
  if (shift == 0.0 || !(conversion > 0.0)) return;
  const double share = science::starch_fermentable_share(rest_temperature_c);
  const double converted = grist[Component::starch] * conversion;
  const double changed = converted * (shift > 0.0 ? shift / (1.0 - share) : -shift / share);
  grist[Component::starch] -= changed / conversion;
  grist[Component::solids] += changed * (1.0 / conversion - 1.0);
  const double gained = shift > 0.0 ? changed * science::maltose_per_starch : changed;
  grist[shift > 0.0 ? Component::maltose : Component::dextrin] += gained;
  grist[Component::water] -= gained - changed;
}

// Fills the charge with the doubtful waters, and pours the portions on top.
void pour_into(process::Charge<double>& charge, const Doubtful& doubtful, const Setting& setting) {
  charge = doubtful.waters;
  for (auto* water : {&charge.mash_liquor, &charge.sparge_liquor, &charge.top_up}) {
    for (double& mass : water->mass_kg) mass *= setting.water_factor;
    for (Component mineral : minerals) (*water)[mineral] *= setting.minerals_factor;
    water->alkalinity_eq *= setting.water_factor * setting.alkalinity_factor;
  }
  for (std::size_t p = 0; p < doubtful.portions.size(); ++p) {
    const Doubtful::Portion& portion = doubtful.portions[p];
    // The same hops giving a tenth more are hops with a tenth more alpha acid.
    Composition made_of = setting.ingredients[static_cast<std::size_t>(portion.ingredient)];
    made_of[Component::alpha_acid] *= setting.utilisation_factor;
    made_of.colour_load_per_kg *= setting.colour_factor;
    const double misread_kg = p < setting.misread_kg.size() ? setting.misread_kg[p] : 0.0;
    add_to(vessel_of(charge, portion), made_of, portion.amount_kg * setting.scale_factor + misread_kg);
  }
  charge.rest_temperature_c += setting.rest_shift_k;
  charge.steeping = setting.steeping;
  shift_wort_limit(charge.grist, setting.wort_limit_shift, setting.kit.conversion.in(ratio), charge.rest_temperature_c);
}

// Puts what a setting changes into the steps of a plan that make_plan() made with the usual setting. What it never changes stays: the
// way of the hops to the cold wort above all, which is integrated. A beer that became warmer than planned was chilled as planned.
struct Refill {
  const Setting& setting;
  const process::Charge<double>& charge;
  process::Ferment ferment;

  void operator()(process::HeatLiquor<double>& step) const { step.liquor = charge.mash_liquor; }
  void operator()(process::MashIn<double>& step) const {
    step.grist = charge.grist;
    step.rest_temperature_c = charge.rest_temperature_c;
  }
  void operator()(process::Rest<double>& step) const {
    step.temperature_c = charge.rest_temperature_c;
    step.conversion = setting.kit.conversion.in(ratio);
  }
  void operator()(process::Drain<double>& step) const {
    step.grist_kg = total_mass_kg(charge.grist);
    step.held_l_per_kg = setting.kit.held_by_grain.in(litre_per_kilogram);
    step.sparge_liquor = charge.sparge_liquor;
  }
  void operator()(process::TopUp<double>& step) const { step.water = charge.top_up; }
  void operator()(process::Boil<double>& step) const {
    step.boil_off_l_per_h = setting.kit.boil_off.in(litre_per_hour);
    step.pours = charge.kettle;
  }
  void operator()(process::Stand<double>& step) const { step.addition = charge.flame_out; }
  void operator()(process::Transfer<double>& step) const {
    step.kettle_loss_l = setting.kit.kettle_loss.in(litre);
    step.held_l_per_kg_trub = setting.kit.held_by_hops.in(litre_per_kilogram);
  }
  void operator()(process::Pitch<double>& step) const {
    step.yeast = charge.yeast;
    step.addition = charge.fermenter;
  }
  void operator()(process::Attenuate<double>& step) const { step.how = ferment; }
  void operator()(process::Dose<double>& step) const {
    step.food = charge.infused_food;
    step.steeping = charge.steeping;
  }
  void operator()(process::Referment<double>& step) const {
    step.how = ferment;
    (*this)(step.dose);
  }
  void operator()(process::Rack<double>& step) const { step.fermenter_loss_l = setting.kit.fermenter_loss.in(litre); }
  void operator()(process::Chill<double>&) const {}
  void operator()(process::Fill<double>&) const {}
  void operator()(process::Spill<double>&) const {}
};

std::vector<double> usual_values(const Doubtful& doubtful) {
  std::vector<double> values;
  for (const Doubt& doubt : doubtful.doubts) values.push_back(doubt.usual);
  return values;
}

}  // namespace

Doubtful doubtful_of(const Brief& brief, const Proposal& proposal) {
  Doubtful doubtful;
  doubtful.waters = proposal.charge;
  doubtful.usual.kit = brief.kit;
  doubtful.usual.steeping = proposal.charge.steeping;
  for (const auto& step : proposal.plan.steps) {
    if (const auto* attenuate = std::get_if<process::Attenuate<double>>(&step)) doubtful.ferment = attenuate->how;
  }
  doubtful.usual.yeast = doubtful.ferment.yeast;
  doubtful.carbonation_volumes = brief.carbonation_volumes;
  doubtful.priming_sucrose_g = proposal.forecast.priming_sucrose_g;
  std::vector<const Ingredient*> known;
  for (const Addition& addition : proposal.additions) {
    const Ingredient* ingredient = ingredient_of(brief, proposal, addition);
    if (ingredient == nullptr) continue;
    const auto found = std::find(known.begin(), known.end(), ingredient);
    const auto slot = static_cast<std::size_t>(found - known.begin());
    if (found == known.end()) {
      known.push_back(ingredient);
      doubtful.usual.ingredients.push_back(ingredient->composition);
      add_doubts_of(doubtful, *ingredient, slot);
    }
    const auto portion = portion_of(proposal.charge, addition, static_cast<int>(slot));
    add_to(vessel_of(doubtful.waters, portion), ingredient->composition, -portion.amount_kg);
    doubtful.portions.push_back(portion);
  }
  add_weighing_doubts(doubtful, known);
  add_yeast_doubts(doubtful, proposal.yeast);
  add_kit_doubts(doubtful);
  if (total_mass_kg(proposal.charge.infused_food) > 0.0) add_steeping_doubts(doubtful);
  const auto& liquor = doubtful.waters.mash_liquor;
  double minerals_kg = 0.0;
  for (Component mineral : minerals) minerals_kg += liquor[mineral];
  add_method_doubts(doubtful, liquor.alkalinity_eq > 1e-9, minerals_kg > 1e-9);
  put_learned(doubtful, brief.learned);
  return doubtful;
}

// Sugar weighed as forecast, in a beer that came out otherwise. The forecast says what this beer would have needed.
double carbonation_at(const Doubtful& doubtful, const Setting& setting, const process::Plan<double>& plan,
                      const process::Forecast<double>& forecast) {
  if (!(forecast.packaged_volume_l > 0.0)) return 0.0;
  double volumes = doubtful.carbonation_volumes;
  if (!(forecast.priming_sucrose_g > 0.0)) {  // it holds more gas than was wished: look at the beer itself
    const auto beer = process::forecast(plan, process::Trace::on).trace.back().after;
    volumes = beer[Component::carbon_dioxide] * 1000.0 / science::carbon_dioxide_g_per_l_per_volume /
              forecast.packaged_volume_l;
  }
  constexpr double hexose_per_sucrose = 2.0 * science::glucose_g_per_mol / science::sucrose_g_per_mol;
  const double sucrose_g_per_l =
      (doubtful.priming_sucrose_g * setting.scale_factor - forecast.priming_sucrose_g) / forecast.packaged_volume_l +
      setting.left_over_sucrose_g_per_l;
  const double gas_g_per_l = science::ferment_hexose(sucrose_g_per_l * hexose_per_sucrose).carbon_dioxide;
  return volumes + gas_g_per_l / science::carbon_dioxide_g_per_l_per_volume + setting.still_gas_shift_volumes;
}

process::Charge<double> charge_at(const Doubtful& doubtful, const Setting& setting) {
  process::Charge<double> charge;
  pour_into(charge, doubtful, setting);
  return charge;
}

Rebrew::Rebrew(const Doubtful& doubtful)
    : doubtful_(doubtful),
      setting_(doubtful.usual),
      charge_(charge_at(doubtful, setting_)),
      plan_(process::make_plan(setting_.kit, charge_, doubtful.ferment, doubtful.carbonation_volumes)) {}

process::Forecast<double> Rebrew::forecast(std::span<const double> values) {
  setting_ = doubtful_.usual;
  for (std::size_t i = 0; i < doubtful_.doubts.size(); ++i) {
    if (values[i] != doubtful_.doubts[i].usual) doubtful_.doubts[i].set(setting_, values[i]);
  }
  pour_into(charge_, doubtful_, setting_);
  Refill refill{setting_, charge_, doubtful_.ferment};
  refill.ferment.yeast = setting_.yeast;
  refill.ferment.temperature_c += setting_.warmest_shift_k;
  for (auto& step : plan_.steps) std::visit(refill, step);
  return process::forecast(plan_);
}

Upshots Rebrew::upshots(std::span<const double> values) {
  const auto upcome = forecast(values);
  return {upcome.original_gravity_sg,
          upcome.final_gravity_sg,
          upcome.abv_percent,
          upcome.bitterness_ibu,
          upcome.colour_ebc,
          upcome.fermenter_volume_l,
          upcome.mash_ph,
          carbonation_at(doubtful_, setting_, plan_, upcome)};
}

Upshots upshots_of(const Doubtful& doubtful, std::span<const double> values) {
  return Rebrew(doubtful).upshots(values);
}

std::vector<Swing> swings_of(const Doubtful& doubtful) {
  std::vector<Swing> swings;
  Rebrew rebrew(doubtful);
  std::vector<double> values = usual_values(doubtful);
  Upshots total{};
  for (std::size_t i = 0; i < doubtful.doubts.size(); ++i) {
    const Doubt& doubt = doubtful.doubts[i];
    Swing swing;
    values[i] = doubt.low;
    swing.at_low = rebrew.upshots(values);
    values[i] = doubt.high;
    swing.at_high = rebrew.upshots(values);
    values[i] = doubt.usual;
    for (std::size_t u = 0; u < upshot_count; ++u) {
      const double slope = (swing.at_high[u] - swing.at_low[u]) / (doubt.high - doubt.low);
      swing.share[u] = slope * slope * variance_of(doubt);
      total[u] += swing.share[u];
    }
    swings.push_back(swing);
  }
  for (Swing& swing : swings) {
    for (std::size_t u = 0; u < upshot_count; ++u) swing.share[u] = total[u] > 0.0 ? swing.share[u] / total[u] : 0.0;
  }
  return swings;
}

std::array<Estimate, upshot_count> intervals_of(const Doubtful& doubtful, int points, int threads) {
  const Upshots usual = upshots_of(doubtful, usual_values(doubtful));
  std::array<Estimate, upshot_count> intervals;
  for (std::size_t u = 0; u < upshot_count; ++u) intervals[u] = {usual[u], usual[u], usual[u]};
  if (doubtful.doubts.empty() || points < 1) return intervals;
  std::array<std::vector<double>, upshot_count> seen;
  for (auto& column : seen) column.resize(static_cast<std::size_t>(points));
  over_points(points, threads, [&](const auto& next_stretch) {
    Rebrew rebrew(doubtful);
    Points places(doubtful.doubts);
    while (const std::optional<Stretch> stretch = next_stretch()) {
      places.go_to(stretch->first);
      for (std::size_t point = stretch->first; point < stretch->end; ++point) {
        const Upshots upshots = rebrew.upshots(places.next());
        for (std::size_t u = 0; u < upshot_count; ++u) seen[u][point] = upshots[u];
      }
    }
  });
  for (std::size_t u = 0; u < upshot_count; ++u) {
    intervals[u].low = std::min(usual[u], quantile_among(seen[u], likely_low));
    intervals[u].high = std::max(usual[u], quantile_among(seen[u], likely_high));
  }
  return intervals;
}

void estimate(const Brief& brief, Proposal& proposal, int points) {
  const auto intervals = intervals_of(doubtful_of(brief, proposal), points);
  const auto fill = [&](Estimate& into, Upshot upshot) {
    const Estimate& interval = intervals[static_cast<std::size_t>(upshot)];
    into.low = std::min(into.value, interval.low);
    into.high = std::max(into.value, interval.high);
  };
  fill(proposal.original_gravity_sg, Upshot::original_gravity);
  fill(proposal.final_gravity_sg, Upshot::final_gravity);
  fill(proposal.abv_percent, Upshot::alcohol);
  fill(proposal.bitterness_ibu, Upshot::bitterness);
  fill(proposal.colour_ebc, Upshot::colour);
  fill(proposal.fermenter_volume_l, Upshot::volume);
  fill(proposal.mash_ph, Upshot::mash_ph);
}

}  // namespace oddgrist::compose

#include "compose/doubt.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

#include <boost/math/distributions/triangular.hpp>
#include <boost/random/sobol.hpp>

#include "compose/doubt_inputs.hpp"
#include "science/attenuation.hpp"
#include "science/carbonation.hpp"
#include "science/fermentation_kinetics.hpp"

namespace oddgrist::compose {
namespace {

using larder::Component;
using larder::Composition;
using larder::Ingredient;
using larder::IngredientKind;

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

process::Charge<double> charge_with(const Doubtful& doubtful, const Setting& setting) {
  process::Charge<double> charge = doubtful.waters;
  for (auto* water : {&charge.mash_liquor, &charge.sparge_liquor, &charge.top_up}) {
    for (double& mass : water->mass_kg) mass *= setting.water_factor;
    water->alkalinity_eq *= setting.water_factor * setting.alkalinity_factor;
  }
  for (const Doubtful::Portion& portion : doubtful.portions) {
    // The same hops giving a tenth more are hops with a tenth more alpha acid.
    Composition made_of = setting.ingredients[static_cast<std::size_t>(portion.ingredient)];
    made_of[Component::alpha_acid] *= setting.utilisation_factor;
    made_of.colour_load_per_kg *= setting.colour_factor;
    add_to(vessel_of(charge, portion), made_of, portion.amount_kg * setting.scale_factor);
  }
  charge.rest_temperature_c += setting.rest_shift_k;
  charge.steeping = setting.steeping;
  shift_wort_limit(charge.grist, setting.wort_limit_shift, setting.kit.conversion.in(ratio), charge.rest_temperature_c);
  return charge;
}

// Sugar weighed as forecast, in a beer that came out otherwise. The forecast says what this beer would have needed.
double carbonation_of(const Doubtful& doubtful, const Setting& setting, const process::Plan<double>& plan,
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

std::vector<double> usual_values(const Doubtful& doubtful) {
  std::vector<double> values;
  for (const Doubt& doubt : doubtful.doubts) values.push_back(doubt.usual);
  return values;
}

boost::math::triangular triangle_of(const Doubt& doubt) { return {doubt.low, doubt.usual, doubt.high}; }

// The value below which a share `share` of the doubt's values lie.
double quantile_of(const Doubt& doubt, double share) {
  if (doubt.shape == Doubt::Shape::uniform) return doubt.low + share * (doubt.high - doubt.low);
  return boost::math::quantile(triangle_of(doubt), share);
}

double variance_of(const Doubt& doubt) {
  const double range = doubt.high - doubt.low;
  return doubt.shape == Doubt::Shape::uniform ? range * range / 12.0 : boost::math::variance(triangle_of(doubt));
}

// Linear between the sorted values.
double quantile_of_sorted(const std::vector<double>& sorted, double share) {
  const double place = share * static_cast<double>(sorted.size()) - 0.5;
  const auto below = static_cast<std::size_t>(std::clamp(place, 0.0, static_cast<double>(sorted.size() - 1)));
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return std::lerp(sorted[below], sorted[above], std::clamp(place - static_cast<double>(below), 0.0, 1.0));
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
  add_yeast_doubts(doubtful, proposal.yeast);
  add_kit_doubts(doubtful);
  if (total_mass_kg(proposal.charge.infused_food) > 0.0) add_steeping_doubts(doubtful);
  add_method_doubts(doubtful, doubtful.waters.mash_liquor.alkalinity_eq > 1e-9);
  return doubtful;
}

Upshots upshots_of(const Doubtful& doubtful, std::span<const double> values) {
  Setting setting = doubtful.usual;
  for (std::size_t i = 0; i < doubtful.doubts.size(); ++i) {
    if (values[i] != doubtful.doubts[i].usual) doubtful.doubts[i].set(setting, values[i]);
  }
  const auto charge = charge_with(doubtful, setting);
  process::Ferment ferment = doubtful.ferment;
  ferment.yeast = setting.yeast;
  ferment.temperature_c += setting.warmest_shift_k;
  const auto plan = process::make_plan(setting.kit, charge, ferment, doubtful.carbonation_volumes);
  const auto forecast = process::forecast(plan);
  return {forecast.original_gravity_sg,
          forecast.final_gravity_sg,
          forecast.abv_percent,
          forecast.bitterness_ibu,
          forecast.colour_ebc,
          forecast.fermenter_volume_l,
          forecast.mash_ph,
          carbonation_of(doubtful, setting, plan, forecast)};
}

std::vector<Swing> swings_of(const Doubtful& doubtful) {
  std::vector<Swing> swings;
  std::vector<double> values = usual_values(doubtful);
  Upshots total{};
  for (std::size_t i = 0; i < doubtful.doubts.size(); ++i) {
    const Doubt& doubt = doubtful.doubts[i];
    Swing swing;
    values[i] = doubt.low;
    swing.at_low = upshots_of(doubtful, values);
    values[i] = doubt.high;
    swing.at_high = upshots_of(doubtful, values);
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

std::array<Estimate, upshot_count> intervals_of(const Doubtful& doubtful, int points) {
  std::vector<double> values = usual_values(doubtful);
  const Upshots usual = upshots_of(doubtful, values);
  std::array<Estimate, upshot_count> intervals;
  for (std::size_t u = 0; u < upshot_count; ++u) intervals[u] = {usual[u], usual[u], usual[u]};
  if (doubtful.doubts.empty() || points < 1) return intervals;
  boost::random::sobol sequence(doubtful.doubts.size());
  const double cells = static_cast<double>(boost::random::sobol::max()) + 1.0;
  std::array<std::vector<double>, upshot_count> seen;
  for (int point = 0; point < points; ++point) {
    for (std::size_t i = 0; i < values.size(); ++i) {
      values[i] = quantile_of(doubtful.doubts[i], (static_cast<double>(sequence()) + 0.5) / cells);
    }
    const Upshots upshots = upshots_of(doubtful, values);
    for (std::size_t u = 0; u < upshot_count; ++u) seen[u].push_back(upshots[u]);
  }
  constexpr double below = 0.1, above = 0.9;
  for (std::size_t u = 0; u < upshot_count; ++u) {
    std::sort(seen[u].begin(), seen[u].end());
    intervals[u].low = std::min(usual[u], quantile_of_sorted(seen[u], below));
    intervals[u].high = std::max(usual[u], quantile_of_sorted(seen[u], above));
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

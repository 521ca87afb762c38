#include "process/package.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string_view>
#include <utility>

#include <boost/math/tools/roots.hpp>

#include "larder/catalogue.hpp"
#include "quantity/gravity.hpp"
#include "science/balling.hpp"
#include "science/density.hpp"
#include "science/fermentation_kinetics.hpp"

namespace oddgrist::process {
namespace {

constexpr double gas_g_per_volume = science::carbon_dioxide_g_per_l_per_volume;
constexpr double hexose_per_disaccharide = 2.0 * science::glucose_g_per_mol / science::sucrose_g_per_mol;
constexpr double hexose_per_maltotriose = 3.0 * science::glucose_g_per_mol / science::maltotriose_g_per_mol;

double salts_kg(const Mixture<double>& beer) {
  double sum = 0.0;
  for (Component component : {Component::calcium, Component::magnesium, Component::sodium, Component::potassium,
                              Component::chloride, Component::sulphate, Component::ash}) {
    sum += beer[component];
  }
  return sum;
}

double sugars_kg(const Mixture<double>& beer) {
  double sum = 0.0;
  for (Component component : {Component::glucose, Component::fructose, Component::sucrose, Component::maltose,
                              Component::maltotriose, Component::lactose}) {
    sum += beer[component];
  }
  // A label counts mono- and disaccharides only: Regulation (EU) No 1169/2011, Annex I (8).
  return sum - beer[Component::maltotriose];
}

double hexose_g_per_g(const larder::Composition& sugar, const larder::YeastTraits& yeast) {
  return sugar[Component::glucose] + sugar[Component::fructose] + sugar[Component::sucrose] * hexose_per_disaccharide +
         sugar[Component::maltose] * yeast.maltose_uptake * hexose_per_disaccharide +
         sugar[Component::maltotriose] * yeast.maltotriose_uptake * hexose_per_maltotriose;
}

science::SealedBottle<double> sealed(const BottleFill& fill) {
  science::SealedBottle<double> bottle;
  bottle.beer_l = fill.beer_l;
  bottle.headspace_l = fill.headspace_l;
  bottle.volumes = fill.volumes + fill.leftover_volumes;
  bottle.closed_at_c = fill.closed_at_c;
  bottle.alcohol_mass_fraction = fill.alcohol_mass_fraction;
  bottle.extract_mass_fraction = fill.extract_mass_fraction;
  return bottle;
}

bool positive(double value) { return value > 0.0 && std::isfinite(value); }

bool usable(const BottleFill& fill) {
  return positive(fill.beer_l) && positive(fill.headspace_l) && fill.headspace_l < fill.beer_l &&
         positive(fill.volumes) && fill.leftover_volumes >= 0.0 && std::isfinite(fill.leftover_volumes) &&
         science::carbonation_delange_range_c.holds(fill.closed_at_c) &&
         science::carbonation_delange_range_c.holds(fill.warmest_c) && positive(fill.ambient_bar);
}

// Air around the bottle that is thinner than at sea level presses less against the glass.
BottleReading read_bottle(const BottleFill& fill, double temperature_c) {
  const science::BottlePressure<double> pressure = science::bottle_pressure(sealed(fill), temperature_c);
  return {temperature_c, pressure.gauge_bar + science::standard_atmosphere_bar - fill.ambient_bar,
          pressure.bottle_full};
}

bool beyond(const BottleReading& reading, double rating_bar) { return reading.full || reading.gauge_bar > rating_bar; }

std::optional<double> breaks_at(const BottleFill& fill, double rating_bar) {
  const science::Range& range = science::carbonation_delange_range_c;
  if (!beyond(read_bottle(fill, range.high), rating_bar)) return std::nullopt;
  if (beyond(read_bottle(fill, range.low), rating_bar)) return range.low;
  const auto over = [&](double temperature_c) {
    return beyond(read_bottle(fill, temperature_c), rating_bar) ? 1.0 : -1.0;
  };
  const auto close = [](double low, double high) { return high - low < 0.01; };
  std::uintmax_t rounds = 60;
  return boost::math::tools::bisect(over, range.low, range.high, close, rounds).second;
}

// ---- Forcing

// A gauge pressure in a beer of the table's composition that holds as much as the true one does in this beer.
double table_gauge_bar(const Forcing& forcing, double gauge_bar) {
  const double factor =
      science::carbonation_composition_factor_estimate(forcing.alcohol_mass_percent, forcing.extract_mass_percent);
  return (gauge_bar + forcing.ambient_bar) * factor - forcing.ambient_bar;
}

double serving_gauge_bar(const Forcing& forcing, double temperature_c) {
  const double factor =
      science::carbonation_composition_factor_estimate(forcing.alcohol_mass_percent, forcing.extract_mass_percent);
  return science::carbonation_equilibrium_pressure_bar_delange(temperature_c, forcing.wanted_volumes) / factor -
         forcing.ambient_bar;
}

science::ForcingPlan<double> plan_of(const Forcing& forcing, double uptake_per_hour) {
  science::ForcingPlan<double> plan;
  plan.start_volumes = forcing.start_volumes;
  plan.beer_temperature_c = forcing.temperature_c;
  plan.high_gauge_bar = table_gauge_bar(forcing, forcing.high_gauge_bar);
  plan.serving_gauge_bar = table_gauge_bar(forcing, serving_gauge_bar(forcing, forcing.temperature_c));
  plan.uptake_per_hour = uptake_per_hour;
  plan.ambient_pressure_bar = forcing.ambient_bar;
  return plan;
}

// At some hour of a schedule that turns down after `high_hours`, for all three uptakes.
ForcedReading forced_reading(const Forcing& forcing, double high_hours, double hour) {
  const auto at = [&](double uptake) { return science::forced_volumes_at(plan_of(forcing, uptake), high_hours, hour); };
  const double usual = at(forcing.uptake.usual_per_hour);
  const std::pair<double, double> ends =
      std::minmax({usual, at(forcing.uptake.low_per_hour), at(forcing.uptake.high_per_hour)});
  return {hour, usual, ends.first, ends.second};
}

bool not_negative(double value) { return value >= 0.0 && std::isfinite(value); }

bool usable(const Forcing& forcing) {
  return positive(forcing.wanted_volumes) && not_negative(forcing.start_volumes) &&
         science::carbonation_delange_range_c.holds(forcing.temperature_c) && not_negative(forcing.high_gauge_bar) &&
         not_negative(forcing.high_hours) && positive(forcing.ambient_bar) && positive(forcing.uptake.low_per_hour) &&
         not_negative(forcing.alcohol_mass_percent) && not_negative(forcing.extract_mass_percent);
}

// Hours worth a look: quarters of the high pressure, then a week of serving pressure.
std::vector<double> schedule_hours(double high_hours) {
  std::vector<double> hours;
  if (high_hours > 0.0) hours = {0.0, 0.25 * high_hours, 0.5 * high_hours, 0.75 * high_hours};
  for (double later : {0.0, 24.0, 48.0, 96.0, 168.0}) hours.push_back(high_hours + later);
  return hours;
}

}  // namespace

std::optional<PackagedFacts> packaged_facts(const Mixture<double>& beer) {
  const double mass = liquid_kg(beer);
  const double volume = liquid_volume_l(beer, 20.0);
  if (!positive(mass) || !positive(volume)) return std::nullopt;
  const auto per_100_g = [&](double kg) { return 100.0 * kg / mass; };
  science::BeerContents<double> contents;
  contents.alcohol_g = per_100_g(beer[Component::ethanol]);
  contents.real_extract_g = per_100_g(extract_kg(beer));
  contents.sugars_g = per_100_g(sugars_kg(beer));
  contents.protein_g = per_100_g(beer[Component::protein]);
  contents.ash_g = per_100_g(salts_kg(beer));
  contents.fat_g = per_100_g(beer[Component::fat]);
  contents.sodium_g = per_100_g(beer[Component::sodium]);
  PackagedFacts facts;
  facts.density_kg_per_m3 = 1000.0 * mass / volume;
  facts.per_100_ml = science::beer_facts_per_100_ml(contents, facts.density_kg_per_m3);
  facts.kcal_asbc_per_100_ml = science::beer_energy_kcal_per_100_g_asbc(contents.alcohol_g, contents.real_extract_g) *
                               facts.density_kg_per_m3 / 1000.0;
  facts.abv_percent = alcohol_by_volume_percent(beer);
  facts.alcohol_mass_percent = contents.alcohol_g;
  facts.real_extract_mass_percent = contents.real_extract_g;
  return facts;
}

std::optional<Mixture<double>> beer_from_readings(double litres, double abv_percent, double gravity_sg) {
  if (!positive(litres) || !(abv_percent >= 0.0) || !(abv_percent <= 20.0)) return std::nullopt;
  if (!(gravity_sg >= lowest_specific_gravity) || !(gravity_sg <= highest_specific_gravity)) return std::nullopt;
  const double kg = litres * gravity_sg * science::water_density_kell_kg_per_m3(20.0) / 1000.0;
  const double ethanol_kg = litres * abv_percent / 100.0 * science::ethanol_density_oiml_20c_kg_per_m3 / 1000.0;
  // The extract that makes Tabarie's gravity: it stands there alone, so it can be solved for.
  const double without_extract = science::specific_gravity_tabarie(ethanol_kg / kg, 0.0);
  const double extract = science::plato_from_specific_gravity_asbc(gravity_sg - without_extract + 1.0) / 100.0;
  if (!(extract >= 0.0)) return std::nullopt;
  Mixture<double> beer;
  beer[Component::ethanol] = ethanol_kg;
  beer[Component::dextrin] = extract * kg;
  beer[Component::water] = kg - ethanol_kg - extract * kg;
  return beer;
}

std::vector<PrimingDose> priming_doses(double wanted_volumes, double residual_volumes,
                                       const larder::YeastTraits& yeast) {
  constexpr std::array<std::string_view, 8> usual = {
      "white-sugar", "glucose-monohydrate", "light-brown-sugar",       "honey",
      "maple-syrup", "light-treacle-syrup", "dried-malt-extract-pale", "liquid-malt-extract-pale"};
  const double missing_g_per_l = std::max(wanted_volumes - residual_volumes, 0.0) * gas_g_per_volume;
  std::vector<PrimingDose> doses;
  for (std::string_view id : usual) {
    const larder::Ingredient* sugar = larder::catalogue().find(id);
    if (sugar == nullptr) continue;
    const double hexose = hexose_g_per_g(sugar->composition, yeast);
    if (!(hexose > 0.0)) continue;
    PrimingDose dose;
    dose.name = sugar->name;
    dose.gas_g_per_g = science::ferment_hexose(hexose).carbon_dioxide;
    const double whole_g_per_g = science::ferment_hexose(hexose, 1.0).carbon_dioxide;
    dose.g_per_l = missing_g_per_l / dose.gas_g_per_g;
    dose.low_g_per_l = missing_g_per_l / (whole_g_per_g * science::priming_yield_range.high);
    dose.high_g_per_l = missing_g_per_l / (whole_g_per_g * science::priming_yield_range.low);
    doses.push_back(std::move(dose));
  }
  return doses;
}

double volumes_per_gravity_point(const Mixture<double>& beer) {
  const double litres = liquid_volume_l(beer, 20.0);
  if (!positive(litres)) return 0.0;
  // Undo the fermentation of a little maltose, and see what that does to the gravity.
  constexpr double maltose_g_per_l = 2.0;
  const double kg = maltose_g_per_l * litres / 1000.0;
  Mixture<double> before = beer;
  before[Component::maltose] += kg;
  before[Component::ethanol] -= science::fermentation_split_balling(kg).ethanol_kg;
  const double points = (apparent_gravity_sg(before) - apparent_gravity_sg(beer)) * 1000.0;
  return science::volumes_from_fermentable(maltose_g_per_l) / points;
}

std::optional<BottleForecast> bottle_forecast(const BottleFill& fill) {
  if (!usable(fill)) return std::nullopt;
  BottleForecast forecast;
  for (double temperature_c : bottle_temperatures_c) forecast.readings.push_back(read_bottle(fill, temperature_c));
  forecast.warmest = read_bottle(fill, fill.warmest_c);
  const BottleReading& at_30 = forecast.readings[2];
  const BottleReading& at_40 = forecast.readings[3];
  const double absolute_30 = at_30.gauge_bar + fill.ambient_bar;
  const double absolute_40 = at_40.gauge_bar + fill.ambient_bar;
  forecast.hot_transit_bar = absolute_40 * absolute_40 / absolute_30 - fill.ambient_bar;
  forecast.hot_transit_full = at_40.full;
  return forecast;
}

RatingVerdict judge_bottle(const BottleFill& fill, double rating_gauge_bar) {
  RatingVerdict judged;
  judged.rating_bar = rating_gauge_bar;
  const std::optional<BottleForecast> forecast = bottle_forecast(fill);
  if (!forecast || !positive(rating_gauge_bar)) return judged;
  science::BottlePressure<double> pressure;
  pressure.gauge_bar = forecast->warmest.gauge_bar;
  pressure.bottle_full = forecast->warmest.full;
  judged.verdict = science::bottle_verdict(pressure, rating_gauge_bar);
  judged.breaks_at_c = breaks_at(fill, rating_gauge_bar);
  judged.breaks_in_hot_transit = forecast->hot_transit_full || forecast->hot_transit_bar > rating_gauge_bar;
  return judged;
}

std::optional<ForcedCourse> forced_course(const Forcing& forcing) {
  if (!usable(forcing)) return std::nullopt;
  ForcedCourse course;
  course.serving_gauge_bar = serving_gauge_bar(forcing, forcing.temperature_c);
  const auto answer = [&](double uptake) {
    return science::force_carbonation(plan_of(forcing, uptake), forcing.wanted_volumes);
  };
  const science::ForcingAnswer<double> usual = answer(forcing.uptake.usual_per_hour);
  course.high_limit_volumes = usual.forgotten_limit_volumes;
  course.reachable = usual.reachable;
  course.turn_down_hours = usual.high_hours;
  course.soonest_hours = answer(forcing.uptake.high_per_hour).high_hours;
  course.latest_hours = answer(forcing.uptake.low_per_hour).high_hours;
  course.turned_down = forced_reading(forcing, forcing.high_hours, forcing.high_hours);
  const double late = forcing.high_hours + 24.0;
  course.forgotten = forced_reading(forcing, late, late);
  course.week = forced_reading(forcing, forcing.high_hours, 168.0);
  for (double hour : schedule_hours(forcing.high_hours)) {
    course.readings.push_back(forced_reading(forcing, forcing.high_hours, hour));
  }
  for (int temperature_c = 0; temperature_c <= 24; temperature_c += 4) {
    course.serving.push_back({double(temperature_c), serving_gauge_bar(forcing, temperature_c)});
  }
  return course;
}

}  // namespace oddgrist::process

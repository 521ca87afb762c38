#include "compose/design.hpp"

#include <algorithm>
#include <cmath>

#include "science/volumes.hpp"

namespace oddgrist::compose {
namespace {

using larder::Component;
using larder::IngredientKind;
using Where = Port::Where;

larder::Composition composition_of(const science::WaterIons<double>& ions) {
  larder::Composition water;
  const auto share = [](double mg_per_l) { return mg_per_l * 1e-6 / science::cold_water_kg_per_l; };
  water[Component::calcium] = share(ions.calcium_mg_per_l);
  water[Component::magnesium] = share(ions.magnesium_mg_per_l);
  water[Component::sodium] = share(ions.sodium_mg_per_l);
  water[Component::potassium] = share(ions.potassium_mg_per_l);
  water[Component::chloride] = share(ions.chloride_mg_per_l);
  water[Component::sulphate] = share(ions.sulphate_mg_per_l);
  double dissolved = 0.0;
  for (double each : water.mass_fraction) dissolved += each;
  water[Component::water] = 1.0 - dissolved;
  water.alkalinity_eq_per_kg = ions.alkalinity_meq_per_l * 1e-3 / science::cold_water_kg_per_l;
  return water;
}

bool wishes_for_water(const Brief& brief) {
  return std::any_of(brief.wishes.begin(), brief.wishes.end(),
                     [](const Wish& wish) { return wish.measure >= Measure::mash_ph; });
}

constexpr double water_step_kg = 0.1;  // a tenth of a litre, what a kettle's marks can be read to
constexpr double fat_share_for_infusion = 0.05;

Route usual_route(const Supply& supply) {
  switch (supply.ingredient.kind) {
    case IngredientKind::malt:
    case IngredientKind::adjunct: return Route::mash;
    case IngredientKind::food:
      return supply.ingredient.composition[Component::fat] > fat_share_for_infusion ? Route::infusion
                                                                                    : Route::flame_out;
    case IngredientKind::salt:
    case IngredientKind::acid: return Route::mash;
    case IngredientKind::bacterium: return Route::fermenter;
    default: return Route::boil;
  }
}

int port_index(Unknowns& unknowns, Port port) {
  for (std::size_t i = 0; i < unknowns.ports.size(); ++i) {
    if (unknowns.ports[i].where == port.where &&
        unknowns.ports[i].minutes_before_boil_end == port.minutes_before_boil_end) {
      return static_cast<int>(i);
    }
  }
  unknowns.ports.push_back(port);
  return static_cast<int>(unknowns.ports.size()) - 1;
}

// Moments a hop may go in when the brewer names none: the start of the boil, half an hour, ten minutes, flame-out.
std::vector<double> hop_minutes(const Brief& brief, const Supply& supply) {
  const double boil = brief.kit.boil.in(minute);
  std::vector<double> minutes;
  if (supply.hop_times.empty()) {
    minutes = {boil, 30.0, 10.0, 0.0};
  } else {
    for (Duration time : supply.hop_times) minutes.push_back(time.in(minute));
  }
  for (double& each : minutes) each = std::clamp(each, 0.0, boil);
  std::sort(minutes.begin(), minutes.end(), std::greater<>());
  minutes.erase(std::unique(minutes.begin(), minutes.end()), minutes.end());
  return minutes;
}

std::vector<Port> ports_for(const Brief& brief, const Supply& supply) {
  const auto boil_port = [](double minutes) {
    return minutes > 0.0 ? Port{Where::kettle, minutes} : Port{Where::flame_out, 0.0};
  };
  if (supply.ingredient.kind == IngredientKind::hop && supply.route.value_or(Route::boil) == Route::boil) {
    std::vector<Port> ports;
    for (double minutes : hop_minutes(brief, supply)) ports.push_back(boil_port(minutes));
    return ports;
  }
  switch (supply.route.value_or(usual_route(supply))) {
    case Route::mash: {
      const bool in_liquor =
          supply.ingredient.kind == IngredientKind::salt || supply.ingredient.kind == IngredientKind::acid;
      return {{in_liquor ? Where::mash_liquor : Where::grist, 0.0}};
    }
    case Route::boil:
      return {boil_port(supply.hop_times.empty() ? std::min(10.0, brief.kit.boil.in(minute))
                                                 : supply.hop_times.front().in(minute))};
    case Route::flame_out: return {{Where::flame_out, 0.0}};
    case Route::fermenter: return {{Where::fermenter, 0.0}};
    case Route::infusion: return {{Where::infusion, 0.0}};
  }
  return {};
}

// The scale's step; ten times coarser for batches beyond 60 L. "Use all" divides the whole amount into equal steps.
double weighing_step_kg(const Brief& brief, const Supply& supply) {
  double volume_l = 0.0;
  for (const Wish& wish : brief.wishes) {
    if (wish.measure == Measure::volume) volume_l = wish.high;
  }
  const double step = supply.ingredient.weighable_step_kg * (volume_l > 60.0 ? 10.0 : 1.0);
  if (supply.must && supply.must->sense == Must::Sense::all) {
    const double whole = supply.must->high.in(kilogram);
    return whole / std::max(1.0, std::round(whole / step));
  }
  return step;
}

template <class Scalar>
process::Mixture<Scalar>& mixture_at(process::Charge<Scalar>& charge, const Port& port) {
  switch (port.where) {
    case Where::mash_liquor: return charge.mash_liquor;
    case Where::grist: return charge.grist;
    case Where::sparge_liquor: return charge.sparge_liquor;
    case Where::top_up: return charge.top_up;
    case Where::flame_out: return charge.flame_out;
    case Where::fermenter: return charge.fermenter;
    case Where::infusion: return charge.infused_food;
    case Where::kettle: break;
  }
  for (auto& pour : charge.kettle) {
    if (pour.minutes_before_end == port.minutes_before_boil_end) return pour.mixture;
  }
  charge.kettle.push_back({port.minutes_before_boil_end, {}});
  return charge.kettle.back().mixture;
}

}  // namespace

Unknowns unknowns_of(const Brief& brief) {
  Unknowns unknowns;
  const auto add = [&](int supply, int water, Port port, double step, const larder::Composition& composition) {
    unknowns.variables.push_back({supply, water, port_index(unknowns, port), step, &composition});
    if (supply >= 0) unknowns.variables_of_supply[supply].push_back(static_cast<int>(unknowns.variables.size()) - 1);
  };
  const bool sparged = brief.kit.mash_method == process::MashMethod::sparged;
  const int stated = static_cast<int>(brief.waters.size());
  for (int w = 0; w < std::max(1, stated); ++w) {
    unknowns.waters.push_back(composition_of(stated > 0 ? brief.waters[w].ions : science::WaterIons<double>{}));
    const int water = stated > 0 ? w : -1;
    add(-1, water, {Where::mash_liquor, 0.0}, water_step_kg, unknowns.waters.back());
    add(-1, water, {sparged ? Where::sparge_liquor : Where::top_up, 0.0}, water_step_kg, unknowns.waters.back());
  }
  const bool treat_water = wishes_for_water(brief);
  for (const auto* list : {&brief.given, &brief.have}) {
    for (const Supply& supply : *list) {
      const IngredientKind kind = supply.ingredient.kind;
      const bool treats_water = kind == IngredientKind::salt || kind == IngredientKind::acid;
      if (kind == IngredientKind::yeast) continue;
      const bool bystander = kind == IngredientKind::fining || kind == IngredientKind::bacterium;
      if (!supply.must && (bystander || (treats_water && !treat_water))) continue;
      const int index = static_cast<int>(unknowns.supplies.size());
      unknowns.supplies.push_back(&supply);
      unknowns.is_given.push_back(list == &brief.given);
      unknowns.variables_of_supply.emplace_back();
      const double step = weighing_step_kg(brief, supply);
      for (Port port : ports_for(brief, supply)) add(index, -1, port, step, supply.ingredient.composition);
    }
  }
  return unknowns;
}

template <class Scalar>
process::Charge<Scalar> charge_of(const Unknowns& unknowns, const Design& design, const Fermentation& fermentation) {
  process::Charge<Scalar> charge;
  std::vector<Port> ports = unknowns.ports;
  std::sort(ports.begin(), ports.end(),
            [](const Port& a, const Port& b) { return a.minutes_before_boil_end > b.minutes_before_boil_end; });
  for (const Port& port : ports) {
    if (port.where == Where::kettle) charge.kettle.push_back({port.minutes_before_boil_end, {}});
  }
  for (std::size_t i = 0; i < unknowns.variables.size(); ++i) {
    const Variable& variable = unknowns.variables[i];
    if (design.amount_kg[i] == 0.0) continue;
    add_to(mixture_at(charge, unknowns.ports[variable.port]), *variable.composition, Scalar(design.amount_kg[i]));
  }
  // One side vessel: files refuses a brief that asks for two kinds. A food without a word on it goes into the same liquor.
  for (const Supply* supply : unknowns.supplies) {
    if (supply->steeping) charge.steeping = *supply->steeping;
  }
  if (fermentation.yeast != nullptr) {
    add_to(charge.yeast, fermentation.yeast->ingredient.composition, Scalar(fermentation.pitched_kg));
  }
  charge.rest_temperature_c = Scalar(design.rest_temperature_c);
  return charge;
}

template process::Charge<double> charge_of(const Unknowns&, const Design&, const Fermentation&);

process::Forecast<double> forecast_of(const Brief& brief, const Unknowns& unknowns, const Design& design,
                                      const Fermentation& fermentation, process::Trace trace) {
  const auto charge = charge_of<double>(unknowns, design, fermentation);
  return process::forecast(process::make_plan(brief.kit, charge, fermentation.how, brief.carbonation_volumes), trace);
}

namespace {

// One direction of differentiation: a component (or the colour load, or the rest temperature) at a port.
struct Direction {
  int port = -1;       // -1: rest temperature
  int component = -1;  // from component_count on: alkalinity, colour, buffering, buffering times pH
};
constexpr int load_count = 4;
constexpr int part_count = static_cast<int>(larder::component_count) + load_count;

double share_of(const larder::Composition& composition, int part) {
  switch (part - static_cast<int>(larder::component_count)) {
    case 0: return composition.alkalinity_eq_per_kg;
    case 1: return composition.colour_load_per_kg;
    case 2: return composition.buffering_eq_per_kg_ph;
    case 3: return composition.buffering_ph_eq_per_kg;
    default: return composition.mass_fraction[part];
  }
}

process::Active& part_of(process::Mixture<process::Active>& mixture, int part) {
  switch (part - static_cast<int>(larder::component_count)) {
    case 0: return mixture.alkalinity_eq;
    case 1: return mixture.colour_load_kg_lovibond;
    case 2: return mixture.buffering_eq_per_ph;
    case 3: return mixture.buffering_ph_eq;
    default: return mixture.mass_kg[part];
  }
}

std::vector<Direction> directions_of(const Unknowns& unknowns) {
  std::vector<Direction> directions{{-1, -1}};
  for (int port = 0; port < static_cast<int>(unknowns.ports.size()); ++port) {
    std::array<bool, part_count> present{};
    for (const Variable& variable : unknowns.variables) {
      if (variable.port != port) continue;
      for (int part = 0; part < part_count; ++part)
        present[part] = present[part] || share_of(*variable.composition, part) != 0.0;
    }
    for (int part = 0; part < part_count; ++part) {
      if (present[part]) directions.push_back({port, part});
    }
  }
  return directions;
}

}  // namespace

Linearisation linearise(const Brief& brief, const Unknowns& unknowns, const Design& design,
                        const Fermentation& fermentation) {
  using process::Active;
  Linearisation result;
  for (auto& row : result.per_kg) row.assign(unknowns.variables.size(), 0.0);
  const std::vector<Direction> directions = directions_of(unknowns);
  const auto charge = charge_of<Active>(unknowns, design, fermentation);
  for (std::size_t first = 0; first < directions.size(); first += process::directions_per_pass) {
    const std::size_t last = std::min(directions.size(), first + process::directions_per_pass);
    auto seeded = charge;
    for (std::size_t i = first; i < last; ++i) {
      const Direction& direction = directions[i];
      const auto slot = static_cast<Eigen::Index>(i - first);
      if (direction.port < 0) {
        seeded.rest_temperature_c.derivatives()[slot] = 1.0;
        continue;
      }
      part_of(mixture_at(seeded, unknowns.ports[direction.port]), direction.component).derivatives()[slot] = 1.0;
    }
    const auto out = gauges_of(
        process::forecast(process::make_plan(brief.kit, seeded, fermentation.how, brief.carbonation_volumes)));
    for (int g = 0; g < gauge_count; ++g) {
      result.value[g] = out[g].value();
      for (std::size_t i = first; i < last; ++i) {
        const double slope = out[g].derivatives()[static_cast<Eigen::Index>(i - first)];
        const Direction& direction = directions[i];
        if (direction.port < 0) {
          result.per_kelvin_of_rest[g] = slope;
          continue;
        }
        for (std::size_t v = 0; v < unknowns.variables.size(); ++v) {
          if (unknowns.variables[v].port == direction.port) {
            result.per_kg[g][v] += slope * share_of(*unknowns.variables[v].composition, direction.component);
          }
        }
      }
    }
  }
  return result;
}

}  // namespace oddgrist::compose

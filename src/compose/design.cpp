#include "compose/design.hpp"

#include <algorithm>
#include <cmath>

namespace oddgrist::compose {
namespace {

using larder::Component;
using larder::IngredientKind;
using Where = Port::Where;

const larder::Composition& water() {
  static const larder::Composition composition = [] {
    larder::Composition pure;
    pure[Component::water] = 1.0;
    return pure;
  }();
  return composition;
}

constexpr double water_step_kg = 0.1;        // a tenth of a litre, what a kettle's marks can be read to
constexpr double fat_share_for_infusion = 0.05;

Route usual_route(const Supply& supply) {
  switch (supply.ingredient.kind) {
    case IngredientKind::malt:
    case IngredientKind::adjunct: return Route::mash;
    case IngredientKind::food:
      return supply.ingredient.composition[Component::fat] > fat_share_for_infusion ? Route::infusion : Route::flame_out;
    default: return Route::boil;
  }
}

int port_index(Unknowns& unknowns, Port port) {
  for (std::size_t i = 0; i < unknowns.ports.size(); ++i) {
    if (unknowns.ports[i].where == port.where && unknowns.ports[i].minutes_before_boil_end == port.minutes_before_boil_end) {
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
    case Route::mash: return {{Where::grist, 0.0}};
    case Route::boil:
      return {boil_port(supply.hop_times.empty() ? std::min(10.0, brief.kit.boil.in(minute)) : supply.hop_times.front().in(minute))};
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
  const auto add = [&](const Supply& supply, int supply_index, Port port, double step, const larder::Composition& composition) {
    unknowns.variables.push_back({supply_index, port_index(unknowns, port), step, &composition});
    if (supply_index >= 0) unknowns.variables_of_supply[supply_index].push_back(static_cast<int>(unknowns.variables.size()) - 1);
    (void)supply;
  };
  const Supply none;
  add(none, -1, {Where::mash_liquor, 0.0}, water_step_kg, water());
  add(none, -1, {brief.kit.mash_method == process::MashMethod::sparged ? Where::sparge_liquor : Where::top_up, 0.0}, water_step_kg,
      water());
  for (const auto* list : {&brief.given, &brief.have}) {
    for (const Supply& supply : *list) {
      const IngredientKind kind = supply.ingredient.kind;
      const bool treats_water = kind == IngredientKind::salt || kind == IngredientKind::acid || kind == IngredientKind::fining;
      if (kind == IngredientKind::yeast || (treats_water && !supply.must)) continue;
      const int index = static_cast<int>(unknowns.supplies.size());
      unknowns.supplies.push_back(&supply);
      unknowns.is_given.push_back(list == &brief.given);
      unknowns.variables_of_supply.emplace_back();
      const double step = weighing_step_kg(brief, supply);
      for (Port port : ports_for(brief, supply)) add(supply, index, port, step, supply.ingredient.composition);
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
  int component = -1;  // component_count: colour load
};

std::vector<Direction> directions_of(const Unknowns& unknowns) {
  std::vector<Direction> directions{{-1, -1}};
  constexpr int colour = static_cast<int>(larder::component_count);
  for (int port = 0; port < static_cast<int>(unknowns.ports.size()); ++port) {
    std::array<bool, larder::component_count + 1> present{};
    for (const Variable& variable : unknowns.variables) {
      if (variable.port != port) continue;
      for (int c = 0; c < colour; ++c) present[c] = present[c] || variable.composition->mass_fraction[c] != 0.0;
      present[colour] = present[colour] || variable.composition->colour_load_per_kg != 0.0;
    }
    for (int c = 0; c <= colour; ++c) {
      if (present[c]) directions.push_back({port, c});
    }
  }
  return directions;
}

double share_of(const larder::Composition& composition, int component) {
  return component < static_cast<int>(larder::component_count) ? composition.mass_fraction[component] : composition.colour_load_per_kg;
}

}  // namespace

Linearisation linearise(const Brief& brief, const Unknowns& unknowns, const Design& design, const Fermentation& fermentation) {
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
      auto& mixture = mixture_at(seeded, unknowns.ports[direction.port]);
      Active& seed = direction.component < static_cast<int>(larder::component_count) ? mixture.mass_kg[direction.component]
                                                                                    : mixture.colour_load_kg_lovibond;
      seed.derivatives()[slot] = 1.0;
    }
    const auto out = gauges_of(process::forecast(process::make_plan(brief.kit, seeded, fermentation.how, brief.carbonation_volumes)));
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

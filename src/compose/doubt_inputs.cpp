#include "compose/doubt_inputs.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string_view>
#include <utility>

#include <fmt/format.h>

#include "larder/catalogue.hpp"

namespace oddgrist::compose {
namespace {

using larder::Component;
using larder::Composition;
using larder::Ingredient;
using larder::IngredientKind;

constexpr const char* practice = "common practice, no source";

// --- figures of an ingredient ---------------------------------------------------------------------------------------

constexpr std::array sugars = {Component::glucose, Component::fructose,    Component::sucrose,
                               Component::maltose, Component::maltotriose, Component::lactose};

double sugar_of(const Composition& made_of) {
  double sum = 0.0;
  for (Component sugar : sugars) sum += made_of[sugar];
  return sum;
}

// Husk or leaf makes room.
void put_for_solids(Composition& made_of, Component component, double value) {
  made_of[Component::solids] -= value - made_of[component];
  made_of[component] = value;
}

// Everything else makes room, each in proportion.
void put_for_all(Composition& made_of, Component component, double value) {
  const double others = 1.0 - made_of[component];
  const double factor = others > 0.0 ? (1.0 - value) / others : 0.0;
  for (double& part : made_of.mass_fraction) part *= factor;
  made_of[component] = value;
  made_of.alkalinity_eq_per_kg *= factor;
  if (component == Component::organic_acid) made_of.alkalinity_eq_per_kg = 0.0;
}

void scale_extract(Composition& made_of, double extract) {
  const double factor = extract / larder::extract_of(made_of);
  double before = 0.0, after = 0.0;
  for (std::size_t i = 0; i < larder::component_count; ++i) {
    const auto component = static_cast<Component>(i);
    if (component == Component::solids || component == Component::water || component == Component::fat) continue;
    before += made_of.mass_fraction[i];
    made_of.mass_fraction[i] *= factor;
    after += made_of.mass_fraction[i];
  }
  made_of[Component::solids] -= after - before;
}

void scale_buffering(Composition& made_of, double meq_per_kg_ph) {
  const double own_ph = made_of.buffering_ph_eq_per_kg / made_of.buffering_eq_per_kg_ph;
  made_of.buffering_eq_per_kg_ph = meq_per_kg_ph / 1000.0;
  made_of.buffering_ph_eq_per_kg = made_of.buffering_eq_per_kg_ph * own_ph;
}

// A packet's sugars: their sum has a range of its own, so one sugar's range only shifts the others.
void exchange_sugar(Composition& made_of, Component sugar, double value) {
  const double others = sugar_of(made_of) - made_of[sugar];
  const double left = std::max(0.0, sugar_of(made_of) - value);
  if (others <= 0.0) return;
  for (Component each : sugars) made_of[each] *= left / others;
  made_of[sugar] = value;
}

void scale_sugars(Composition& made_of, double value) {
  const double before = sugar_of(made_of);
  if (before <= 0.0 || before >= 1.0) return;
  const double factor = value / before, rest = (1.0 - value) / (1.0 - before);
  for (double& part : made_of.mass_fraction) part *= rest;
  for (Component sugar : sugars) made_of[sugar] *= factor / rest;
}

// How a figure of the larder is read off a composition and how it is put into one.
struct Figure {
  Topic topic = Topic::food_part;
  std::string words;
  std::string unit;
  double usual = 0.0;
  std::function<void(Composition&, double)> put;
};

std::optional<Figure> figure_of_malt(const Ingredient& malt, std::string_view name) {
  const Composition& is = malt.composition;
  if (name == "extract") return Figure{Topic::extract, "extract", "kg/kg", larder::extract_of(is), scale_extract};
  if (name == "moisture") {
    return Figure{Topic::moisture, "moisture", "kg/kg", is[Component::water],
                  [](Composition& made_of, double value) { put_for_solids(made_of, Component::water, value); }};
  }
  if (name == "ph-in-distilled-water" && is.buffering_eq_per_kg_ph > 0.0) {
    return Figure{
        Topic::grain_ph, "own mash pH", "pH", is.buffering_ph_eq_per_kg / is.buffering_eq_per_kg_ph,
        [](Composition& made_of, double ph) { made_of.buffering_ph_eq_per_kg = made_of.buffering_eq_per_kg_ph * ph; }};
  }
  if (name == "buffering-meq-per-kg-ph" && is.buffering_eq_per_kg_ph > 0.0) {
    return Figure{Topic::buffering, "buffering", "mEq/(kg pH)", is.buffering_eq_per_kg_ph * 1000.0, scale_buffering};
  }
  return std::nullopt;
}

std::optional<Figure> figure_of_food(const Ingredient& food, std::string_view name) {
  const Composition& is = food.composition;
  const auto has_sum =
      std::any_of(food.spreads.begin(), food.spreads.end(), [](const auto& each) { return each.figure == "sugars"; });
  if (name == "sugars") return Figure{Topic::food_part, "sugars", "kg/kg", sugar_of(is), scale_sugars};
  if (name == "dissolved-protein")
    name = "protein";
  else if (name == "protein" && has_sum)
    return std::nullopt;  // of the printed protein only what dissolves counts
  for (std::size_t i = 0; i < larder::component_count; ++i) {
    if (larder::component_names[i] != name) continue;
    const auto component = static_cast<Component>(i);
    const bool one_of_sum = has_sum && std::find(sugars.begin(), sugars.end(), component) != sugars.end();
    return Figure{Topic::food_part, std::string(name), "kg/kg", is.mass_fraction[i],
                  [component, one_of_sum](Composition& made_of, double value) {
                    const double eq_per_kg = made_of[Component::organic_acid] > 0.0
                                                 ? made_of.alkalinity_eq_per_kg / made_of[Component::organic_acid]
                                                 : 0.0;
                    if (one_of_sum)
                      exchange_sugar(made_of, component, value);
                    else
                      put_for_all(made_of, component, value);
                    made_of.alkalinity_eq_per_kg = eq_per_kg * made_of[Component::organic_acid];
                  }};
  }
  return std::nullopt;
}

// Nothing for a figure the forecast does not depend on (diastatic power, living cells), or that moves with another one (an acid's
// strength with its equivalents), or whose usual value is not kept (a salt's purity).
std::optional<Figure> figure_of(const Ingredient& ingredient, std::string_view name) {
  const Composition& is = ingredient.composition;
  if (name == "colour-load") {
    const bool stated = ingredient.kind == IngredientKind::malt || ingredient.kind == IngredientKind::adjunct;
    return Figure{stated ? Topic::malt_colour : Topic::food_colour, "colour", "Lovibond", is.colour_load_per_kg,
                  [](Composition& made_of, double value) { made_of.colour_load_per_kg = value; }};
  }
  if (name == "alpha-acid") {
    return Figure{Topic::alpha_acid, "alpha acid", "kg/kg", is[Component::alpha_acid],
                  [](Composition& made_of, double value) { put_for_solids(made_of, Component::alpha_acid, value); }};
  }
  if (name == "acid-eq-per-kg") {
    return Figure{Topic::acid_strength, "strength", "eq/kg", -is.alkalinity_eq_per_kg,
                  [](Composition& made_of, double value) { made_of.alkalinity_eq_per_kg = -value; }};
  }
  switch (ingredient.kind) {
    case IngredientKind::malt:
    case IngredientKind::adjunct: return figure_of_malt(ingredient, name);
    case IngredientKind::sugar:
    case IngredientKind::food: return figure_of_food(ingredient, name);
    default: return std::nullopt;
  }
}

// --- the list of doubts ---------------------------------------------------------------------------------------------

// A brewer who gives a range, or hops nobody has measured: no value in the range is likelier than another.
Doubt::Shape shape_of(const Ingredient& ingredient, const larder::Spread& spread) {
  const bool bare_range = spread.figure == "alpha-acid" && ingredient.hop && ingredient.hop->home_dried;
  return bare_range || spread.source == "the brewer's own figure" ? Doubt::Shape::uniform : Doubt::Shape::triangular;
}

void add_doubt(Doubtful& doubtful, Doubt doubt) {
  doubt.low = std::min(doubt.low, doubt.usual);
  doubt.high = std::max(doubt.high, doubt.usual);
  if (doubt.low < doubt.high) doubtful.doubts.push_back(std::move(doubt));
}

}  // namespace

void add_doubts_of(Doubtful& doubtful, const Ingredient& ingredient, std::size_t slot) {
  for (const larder::Spread& spread : ingredient.spreads) {
    const std::optional<Figure> figure = figure_of(ingredient, spread.figure);
    if (!figure) continue;
    const auto put = figure->put;
    add_doubt(doubtful, {figure->topic, figure->words + " of " + ingredient.name, ingredient.name, figure->unit,
                         spread.low, figure->usual, spread.high, shape_of(ingredient, spread), spread.source,
                         [slot, put](Setting& setting, double value) { put(setting.ingredients[slot], value); }});
  }
}

void add_yeast_doubts(Doubtful& doubtful, const Ingredient& yeast) {
  const auto add = [&](double larder::YeastTraits::*uptake, const char* words, const larder::Spread& spread) {
    add_doubt(doubtful, {Topic::uptake, std::string(words) + " of " + yeast.name, "yeast", "share", spread.low,
                         doubtful.usual.yeast.*uptake, spread.high, shape_of(yeast, spread), spread.source,
                         [uptake](Setting& setting, double value) { setting.yeast.*uptake = value; }});
  };
  for (const larder::Spread& spread : yeast.spreads) {
    if (spread.figure == "maltotriose-uptake")
      add(&larder::YeastTraits::maltotriose_uptake, "maltotriose uptake", spread);
    if (spread.figure == "dextrin-uptake") add(&larder::YeastTraits::dextrin_uptake, "dextrin uptake", spread);
  }
}

void add_kit_doubts(Doubtful& doubtful) {
  const process::Kit& kit = doubtful.usual.kit;
  const auto add = [&](Topic topic, const char* name, const char* unit, double low, double usual, double high,
                       auto set) {
    add_doubt(doubtful, {topic, name, "kit", unit, low, usual, high, Doubt::Shape::triangular, practice, set});
  };
  const double conversion = kit.conversion.in(ratio), boil_off = kit.boil_off.in(litre_per_hour);
  const double grain = kit.held_by_grain.in(litre_per_kilogram), trub = kit.held_by_hops.in(litre_per_kilogram);
  const double loss = kit.kettle_loss.in(litre);
  add(Topic::conversion, "conversion in the mash", "share", conversion - 0.04, conversion,
      std::min(0.99, conversion + 0.04),
      [](Setting& setting, double value) { setting.kit.conversion = value * ratio; });
  add(Topic::boil_off, "boil-off", "L/h", boil_off * 0.85, boil_off, boil_off * 1.15,
      [](Setting& setting, double value) { setting.kit.boil_off = value * litre_per_hour; });
  add(Topic::grain_hold, "wort the grain keeps", "L/kg", grain * 0.75, grain, grain * 1.25,
      [](Setting& setting, double value) { setting.kit.held_by_grain = value * litre_per_kilogram; });
  add(Topic::trub_hold, "wort the trub keeps", "L/kg", trub * 0.7, trub, trub * 1.3,
      [](Setting& setting, double value) { setting.kit.held_by_hops = value * litre_per_kilogram; });
  add(Topic::kettle_loss, "kettle loss", "L", loss * 0.6, loss, loss * 1.4,
      [](Setting& setting, double value) { setting.kit.kettle_loss = value * litre; });
  const double lees = kit.fermenter_loss.in(litre);
  add(Topic::lees, "beer left behind with the yeast", "L", lees * 0.6, lees, lees * 1.4,
      [](Setting& setting, double value) { setting.kit.fermenter_loss = value * litre; });
}

// A scale shows whole steps: the true mass lies anywhere within half a step of what it shows, a rectangular distribution (JCGM 100:2008,
// Guide to the expression of uncertainty in measurement, F.2.2.1). Counts only where half a step is not lost beside the scale's own
// error; how much yeast goes in moves none of the figures.
void add_weighing_doubts(Doubtful& doubtful, const std::vector<const Ingredient*>& ingredients) {
  constexpr double least_share = 0.005;
  doubtful.usual.misread_kg.assign(doubtful.portions.size(), 0.0);
  for (std::size_t p = 0; p < doubtful.portions.size(); ++p) {
    const Doubtful::Portion& portion = doubtful.portions[p];
    const Ingredient& ingredient = *ingredients[static_cast<std::size_t>(portion.ingredient)];
    const double half_step_kg = 0.5 * ingredient.weighable_step_kg;
    if (ingredient.kind == IngredientKind::yeast || half_step_kg < least_share * portion.amount_kg) continue;
    const double half_g = 1000.0 * std::min(half_step_kg, portion.amount_kg);
    if (!(half_g > 0.0)) continue;
    std::string name = "last digit of the scale, " + ingredient.name;
    if (portion.where == nullptr) {
      name += fmt::format(" at {:.0f} min", doubtful.waters.kettle[portion.kettle_pour].minutes_before_end);
    } else if (portion.where == &process::Charge<double>::flame_out) {
      name += " at flame-out";
    }
    add_doubt(doubtful, {Topic::weighing, name, ingredient.name, "g off", -half_g, 0.0, half_g, Doubt::Shape::uniform,
                         "half a step of the scale either way, JCGM 100:2008, F.2.2.1",
                         [p](Setting& setting, double value) { setting.misread_kg[p] = value / 1000.0; }});
  }
}

void add_steeping_doubts(Doubtful& doubtful) {
  const auto add = [&](const char* name, const char* unit, process::Estimated process::Steeping::*figure) {
    const process::Estimated& span = doubtful.usual.steeping.*figure;
    add_doubt(doubtful, {Topic::steeping, name, "side vessel", unit, span.low, span.usual, span.high,
                         Doubt::Shape::triangular, "estimate, no source",
                         [figure](Setting& setting, double value) { (setting.steeping.*figure).usual = value; }});
  };
  add("share the steep dissolves", "share", &process::Steeping::dissolved_share);
  add("liquor the strained food keeps", "kg/kg", &process::Steeping::held_kg_per_kg);
}

// Shifts and factors, whose usual value is "none".
void add_method_doubts(Doubtful& doubtful, bool water_has_alkalinity, bool water_has_minerals) {
  const auto add = [&](Topic topic, const char* name, const char* group, const char* unit, double low, double usual,
                       double high, const char* source, double Setting::*what) {
    add_doubt(doubtful, {topic, name, group, unit, low, usual, high, Doubt::Shape::triangular, source,
                         [what](Setting& setting, double value) { setting.*what = value; }});
  };
  add(Topic::rest_temperature, "rest temperature", "kit", "K off", -1.0, 0.0, 1.0, practice, &Setting::rest_shift_k);
  add(Topic::wort_limit, "how far the wort ferments", "method", "share off", -0.03, 0.0, 0.03,
      "spread of real mashes about the rest temperature's rule; common practice, no source",
      &Setting::wort_limit_shift);
  add(Topic::utilisation, "hop utilisation", "method", "factor", 0.85, 1.0, 1.15,
      "spread of methods and kettles about Tinseth's formula, from memory", &Setting::utilisation_factor);
  add(Topic::colour_formula, "colour formula", "method", "factor", 0.85, 1.0, 1.15,
      "scatter about Morey's formula, from memory", &Setting::colour_factor);
  add(Topic::scale, "kitchen scale", "scale", "factor", 0.99, 1.0, 1.01, practice, &Setting::scale_factor);
  add(Topic::water_measure, "water measured in", "scale", "factor", 0.98, 1.0, 1.02, practice, &Setting::water_factor);
  if (water_has_alkalinity) {
    add(Topic::alkalinity, "alkalinity of the water", "water", "factor", 0.85, 1.0, 1.15,
        "tap water changes with season and source; common practice, no source", &Setting::alkalinity_factor);
  }
  if (water_has_minerals) {
    add(Topic::water_minerals, "minerals of the water", "water", "factor", 0.85, 1.0, 1.15,
        "tap water changes with season and source; common practice, no source", &Setting::minerals_factor);
  }
  add(Topic::warmest_beer, "warmest the beer was", "package", "K off", -2.0, 0.0, 2.0, practice,
      &Setting::warmest_shift_k);
  add(Topic::left_over, "sugar left unfermented", "package", "g/L", 0.0, 0.0, 2.0,
      "a gravity point hides between two equal readings; common practice, no source",
      &Setting::left_over_sucrose_g_per_l);
  add(Topic::still_gas, "gas left in the still beer", "package", "volumes off", -0.15, 0.0, 0.05,
      "beer stood for weeks holds 0.1 to 0.2 volumes less than in balance, from memory",
      &Setting::still_gas_shift_volumes);
}

namespace {

// Shares end where they must, and nothing is kept or lost by less than nothing.
void move(Setting& setting, const Doubt& doubt, double by) {
  process::Kit& kit = setting.kit;
  const auto share = [](double value) { return std::clamp(value, 0.05, 1.0); };
  const auto amount = [](auto value, auto unit) { return std::max(0.0, value.in(unit)) * unit; };
  switch (doubt.topic) {
    case Topic::conversion: kit.conversion = share(kit.conversion.in(ratio) + by) * ratio; return;
    case Topic::boil_off: kit.boil_off = amount(kit.boil_off + by * litre_per_hour, litre_per_hour); return;
    case Topic::grain_hold:
      kit.held_by_grain = amount(kit.held_by_grain + by * litre_per_kilogram, litre_per_kilogram);
      return;
    case Topic::trub_hold:
      kit.held_by_hops = amount(kit.held_by_hops + by * litre_per_kilogram, litre_per_kilogram);
      return;
    case Topic::kettle_loss: kit.kettle_loss = amount(kit.kettle_loss + by * litre, litre); return;
    case Topic::lees: kit.fermenter_loss = amount(kit.fermenter_loss + by * litre, litre); return;
    case Topic::scale: setting.scale_factor += by; return;
    case Topic::water_measure: setting.water_factor += by; return;
    case Topic::uptake: {
      const bool dextrin = doubt.name.starts_with("dextrin");
      double& uptake = dextrin ? setting.yeast.dextrin_uptake : setting.yeast.maltotriose_uptake;
      uptake = std::clamp(uptake + by, 0.0, 1.0);
      return;
    }
    default: return;
  }
}

}  // namespace

// A triangle is the square root of six deviations wide on each side.
void put_learned(Doubtful& doubtful, const std::vector<Learned>& learned) {
  const auto find = [&](const std::string& name) {
    return std::find_if(doubtful.doubts.begin(), doubtful.doubts.end(),
                        [&](const Doubt& doubt) { return doubt.name == name; });
  };
  for (const Learned& each : learned) {
    const auto found = find(each.doubt);
    if (found == doubtful.doubts.end() || !(each.deviation > 0.0)) continue;
    Doubt& doubt = *found;
    const double half = std::sqrt(6.0) * each.deviation;
    doubt.low = std::max(0.1 * doubt.usual, doubt.usual - half);
    doubt.high = doubt.usual + half;
    if (doubt.topic == Topic::conversion) doubt.high = std::max(doubt.usual, std::min(0.99, doubt.high));
    if (doubt.topic == Topic::uptake) doubt.high = std::max(doubt.usual, std::min(1.0, doubt.high));
    doubt.shape = Doubt::Shape::triangular;
    doubt.source = each.gyles == 0 ? "nobody has brewed on this kit yet; common practice, no source"
                                   : fmt::format("learned from {} {}", each.gyles, each.gyles == 1 ? "gyle" : "gyles");
    std::vector<std::pair<Doubt, double>> moved = {{doubt, 1.0}};
    for (const Learned::Pull& pull : each.pulls) {
      const auto other = find(pull.doubt);
      if (other != doubtful.doubts.end()) moved.emplace_back(*other, pull.by);
    }
    for (auto& pair : moved) pair.first.set = nullptr;
    doubt.set = [usual = doubt.usual, moved = std::move(moved)](Setting& setting, double value) {
      for (const auto& [other, by] : moved) move(setting, other, by * (value - usual));
    };
  }
}

}  // namespace oddgrist::compose

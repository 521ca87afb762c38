#include "gyle/brewing.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <boost/math/distributions/normal.hpp>
#include <fmt/format.h>

#include "compose/doubt_points.hpp"
#include "compose/yeast_choice.hpp"
#include "larder/catalogue.hpp"
#include "science/volumes.hpp"

namespace oddgrist::gyle {
namespace {

using compose::Brief;
using compose::Recipe;
using compose::Supply;
using compose::Topic;
using larder::IngredientKind;
using Into = Recipe::Into;
using Charge = process::Charge<double>;

// --- inputs ---------------------------------------------------------------------------------------------------------

constexpr double tail_from_z = 1.6449;  // beyond it lies the outer tenth
// The ranges of a kit are those of an ordinary day. Mishaps lie outside - a coarse crush, a stuck mash, a lid left on - so the outer tenth
// reaches further; common practice, no source. Learned ranges know of them and go on as a normal distribution does: a triangle's half is the
// square root of six deviations.
constexpr double mishap_tail = 1.5, normal_tail = 0.40824829;

bool is_tailed(Topic topic) {
  return topic == Topic::conversion || topic == Topic::boil_off || topic == Topic::grain_hold ||
         topic == Topic::kettle_loss || topic == Topic::trub_hold || topic == Topic::rest_temperature;
}

// What no mishap can pass.
double bounded(const compose::Doubt& doubt, double value) {
  if (doubt.topic == Topic::rest_temperature) return std::clamp(value, -8.0, 8.0);
  if (doubt.topic == Topic::conversion) return std::clamp(value, 0.3, std::max(0.99, doubt.high));
  return std::max(value, 0.1 * doubt.usual);
}

// --- the recipe, poured ---------------------------------------------------------------------------------------------

double hot_c(Stage stage) {
  constexpr double mash_c = 65.0, near_boiling_c = 98.0, cold_c = 20.0;
  if (stage <= Stage::mash) return mash_c;
  return stage <= Stage::after_boil ? near_boiling_c : cold_c;
}

compose::Route route_of(Into into) {
  switch (into) {
    case Into::kettle: return compose::Route::boil;
    case Into::flame_out: return compose::Route::flame_out;
    case Into::fermenter: return compose::Route::fermenter;
    case Into::infusion: return compose::Route::infusion;
    default: return compose::Route::mash;
  }
}

process::Mixture<double>& vessel_for(Charge& charge, Into into, double minutes) {
  switch (into) {
    case Into::mash_liquor: return charge.mash_liquor;
    case Into::grist: return charge.grist;
    case Into::sparge_liquor: return charge.sparge_liquor;
    case Into::top_up: return charge.top_up;
    case Into::flame_out: return charge.flame_out;
    case Into::fermenter: return charge.fermenter;
    case Into::infusion: return charge.infused_food;
    case Into::kettle: break;
  }
  for (auto& pour : charge.kettle) {
    if (pour.minutes_before_end == minutes) return pour.mixture;
  }
  charge.kettle.push_back({minutes, {}});
  return charge.kettle.back().mixture;
}

std::string bare_id(const std::string& name) { return name.substr(0, name.find('#')); }

bool is_water(const std::string& name) { return name == "water" || name.starts_with("water:"); }

// Index of the water a recipe names; the first if there is none of that name.
std::size_t water_of(const Brief& brief, const std::string& what) {
  const std::string name = what == "water" ? "" : what.substr(6);
  const auto named =
      std::find_if(brief.waters.begin(), brief.waters.end(), [&](const auto& water) { return water.name == name; });
  return named == brief.waters.end() ? std::size_t{0} : static_cast<std::size_t>(named - brief.waters.begin());
}

// Everything the log names is in the brief afterwards, as far as the larder knows it.
void take_in_from_outside(Brief& brief, const Recipe& recipe, std::vector<std::string>& unknown) {
  for (const Recipe::Amount& amount : recipe.amounts) {
    if (is_water(amount.what)) continue;
    const std::string id = bare_id(amount.what);
    const auto has = [&](const std::vector<Supply>& list) {
      return std::any_of(list.begin(), list.end(), [&](const Supply& supply) { return supply.ingredient.id == id; });
    };
    if (has(brief.given) || has(brief.have)) continue;
    const larder::Ingredient* found = larder::catalogue().find(id);
    if (found == nullptr) {
      unknown.push_back(amount.what);
      continue;
    }
    Supply supply;
    supply.ingredient = *found;
    supply.route = route_of(amount.into);
    brief.have.push_back(std::move(supply));
  }
}

// Hops and sugars in the house that the recipe leaves there: 0 kg of them.
void add_what_stands_by(const Brewing& brewing, Recipe& recipe) {
  for (int s = 0; s < static_cast<int>(brewing.unknowns.supplies.size()); ++s) {
    const Supply& supply = *brewing.unknowns.supplies[static_cast<std::size_t>(s)];
    const IngredientKind kind = supply.ingredient.kind;
    if (!supply.amount || (kind != IngredientKind::hop && kind != IngredientKind::sugar)) continue;
    const std::string name = name_of_supply(brewing.unknowns, s);
    const auto is_it = [&](const Recipe::Amount& amount) { return amount.what == name; };
    if (std::none_of(recipe.amounts.begin(), recipe.amounts.end(), is_it))
      recipe.amounts.push_back({name, Into::flame_out, 0.0, 0.0});
  }
}

class Pourer {
 public:
  Pourer(Brewing& brewing, const Recipe& recipe) : brewing_(brewing), recipe_(recipe) {}

  compose::Proposal proposal() {
    const Brief& brief = *brewing_.brief;
    proposal_.name = brief.name;
    const Supply* yeast = nullptr;
    for (const Supply* each : compose::yeasts_of(brief)) {
      if (each->ingredient.id == recipe_.yeast) yeast = each;
    }
    if (yeast == nullptr && !recipe_.yeast.empty()) brewing_.unknown.push_back(recipe_.yeast);
    const compose::Fermentation fermentation = compose::ferment_with(brief, yeast);
    for (const Recipe::Amount& amount : recipe_.amounts) pour(amount);
    std::sort(proposal_.charge.kettle.begin(), proposal_.charge.kettle.end(),
              [](const auto& a, const auto& b) { return a.minutes_before_end > b.minutes_before_end; });
    for (const Supply* supply : brewing_.unknowns.supplies) {
      if (supply->steeping) proposal_.charge.steeping = *supply->steeping;
    }
    proposal_.charge.rest_temperature_c = recipe_.rest_temperature_c;
    if (yeast != nullptr) {
      proposal_.yeast = yeast->ingredient;
      add_to(proposal_.charge.yeast, yeast->ingredient.composition, recipe_.yeast_kg);
      add(yeast->ingredient, recipe_.yeast, {recipe_.yeast, Into::fermenter, 0.0, recipe_.yeast_kg}, false);
    }
    proposal_.plan = process::make_plan(brief.kit, proposal_.charge, fermentation.how, brief.carbonation_volumes);
    proposal_.forecast = process::forecast(proposal_.plan);
    return std::move(proposal_);
  }

 private:
  void pour(const Recipe::Amount& amount) {
    if (is_water(amount.what)) return pour_water(amount);
    const int s = supply_named(brewing_.unknowns, amount.what);
    if (s < 0 || amount.into == Into::sparge_liquor || amount.into == Into::top_up) return;  // named as unknown before
    const auto index = static_cast<std::size_t>(s);
    const larder::Ingredient& ingredient = brewing_.unknowns.supplies[index]->ingredient;
    add_to(vessel_for(proposal_.charge, amount.into, amount.minutes_before_boil_end), ingredient.composition,
           amount.kg);
    add(ingredient, amount.what, amount, brewing_.unknowns.is_given[index]);
  }

  // Water into a boiling kettle counts with what tops it up: the model has no place for it later, and it makes no difference.
  void pour_water(const Recipe::Amount& amount) {
    const std::size_t place = water_of(*brewing_.brief, amount.what);
    const Into into = amount.into == Into::kettle || amount.into == Into::flame_out ? Into::top_up : amount.into;
    add_to(vessel_for(proposal_.charge, into, 0.0), brewing_.unknowns.waters[place], amount.kg);
  }

  void add(const larder::Ingredient& ingredient, const std::string& name, const Recipe::Amount& amount, bool given) {
    proposal_.additions.push_back({ingredient.name, ingredient.id, ingredient.kind, amount.kg * kilogram,
                                   route_of(amount.into), amount.minutes_before_boil_end, given});
    if (std::find(brewing_.slots.begin(), brewing_.slots.end(), name) == brewing_.slots.end())
      brewing_.slots.push_back(name);
  }

  Brewing& brewing_;
  const Recipe& recipe_;
  compose::Proposal proposal_;
};

Brewing poured(const Brief& brief, const Recipe& recipe) {
  Brewing brewing;
  brewing.recipe = recipe;
  auto own = std::make_shared<Brief>(brief);
  take_in_from_outside(*own, recipe, brewing.unknown);
  brewing.brief = own;
  brewing.unknowns = compose::unknowns_of(*brewing.brief);
  brewing.demands = compose::demands_of(*brewing.brief, brewing.unknowns);
  brewing.design.amount_kg.assign(brewing.unknowns.variables.size(), 0.0);
  brewing.design.rest_temperature_c = recipe.rest_temperature_c;
  for (const Recipe::Amount& amount : recipe.amounts) {
    const int variable = variable_for(brewing, amount);
    if (variable >= 0) brewing.design.amount_kg[static_cast<std::size_t>(variable)] += amount.kg;
  }
  Recipe all = recipe;
  add_what_stands_by(brewing, all);
  const compose::Proposal proposal = Pourer(brewing, all).proposal();
  brewing.doubtful = compose::doubtful_of(*brewing.brief, proposal);
  brewing.hop_course = process::hop_course_of(brewing.brief->kit, brewing.brief->ferment_at.in(celsius));
  for (const compose::Doubt& doubt : brewing.doubtful.doubts) {
    const bool learned = std::any_of(brief.learned.begin(), brief.learned.end(),
                                     [&](const compose::Learned& each) { return each.doubt == doubt.name; });
    brewing.inputs.push_back(input_of(doubt, learned));
  }
  return brewing;
}

// A loss guessed by eye; common practice, no source.
constexpr double guessed_share = 0.35;

void add_spill(Brewing& brewing, const Gone& gone) {
  const Lost& lost = gone.lost;
  const double litres = science::cold_volume_l(lost.volume_l, hot_c(lost.stage));
  const double share = lost.deviation_l ? *lost.deviation_l / lost.volume_l : guessed_share;
  Input input;
  input.doubt.topic = Topic::water_measure;
  input.doubt.name = "liquid lost";
  input.doubt.group = "gyle";
  input.doubt.unit = "L";
  input.doubt.low = litres * std::exp(-2.0 * share);
  input.doubt.usual = litres;
  input.doubt.high = litres * std::exp(2.0 * share);
  input.doubt.source = lost.deviation_l ? "the brewer's own figure" : "a guess by eye; common practice, no source";
  input.spill = static_cast<int>(brewing.spills.size());
  brewing.inputs.push_back(std::move(input));
  brewing.spills.push_back({lost.stage, gone.seen_in_readings});
}

template <class Wanted>
std::size_t place_of(const process::Plan<double>& plan) {
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    if (std::holds_alternative<Wanted>(plan.steps[i])) return i;
  }
  return plan.steps.size();
}

std::size_t place_of_spill(const process::Plan<double>& plan, const Spilled& spilled) {
  using namespace process;
  switch (spilled.stage) {
    case Stage::planned:
    case Stage::mash: return place_of<Drain<double>>(plan);
    case Stage::before_boil: return place_of<TopUp<double>>(plan) + (spilled.seen_in_readings ? 0 : 1);
    case Stage::boil: return place_of<Boil<double>>(plan);  // most boil over as they begin to boil
    case Stage::after_boil: return place_of<Stand<double>>(plan) + (spilled.seen_in_readings ? 0 : 1);
    case Stage::fermenter: return place_of<Pitch<double>>(plan) + (spilled.seen_in_readings ? 0 : 1);
    case Stage::package: return place_of<Fill<double>>(plan);
  }
  return plan.steps.size();
}

// Takes an amount of the log out of the poured portions again.
void take_out(const Brewing& brewing, compose::Doubtful& poured, const Recipe::Amount& amount) {
  if (is_water(amount.what)) {
    const Into into = amount.into == Into::kettle || amount.into == Into::flame_out ? Into::top_up : amount.into;
    add_to(vessel_for(poured.waters, into, 0.0), brewing.unknowns.waters[water_of(*brewing.brief, amount.what)],
           -amount.kg);
    return;
  }
  const auto slot = std::find(brewing.slots.begin(), brewing.slots.end(), amount.what) - brewing.slots.begin();
  const auto* vessel = amount.into == Into::kettle ? nullptr : &vessel_for(poured.waters, amount.into, 0.0);
  for (compose::Doubtful::Portion& portion : poured.portions) {
    if (portion.ingredient != slot) continue;
    const bool here = vessel != nullptr
                          ? portion.where != nullptr && &(poured.waters.*portion.where) == vessel
                          : portion.where == nullptr && poured.waters.kettle[portion.kettle_pour].minutes_before_end ==
                                                            amount.minutes_before_boil_end;
    if (!here) continue;
    portion.amount_kg = std::max(0.0, portion.amount_kg - amount.kg);
    return;
  }
}

Brief as_it_now_is(const Brief& brief, const State& state) {
  Brief now = brief;
  now.kit.boil = state.boil_minutes * minute;
  if (state.changed.carbonation_volumes) now.carbonation_volumes = *state.changed.carbonation_volumes;
  if (state.changed.ferment_at_celsius) now.ferment_at = *state.changed.ferment_at_celsius * celsius;
  return now;
}

}  // namespace

Input input_of(const compose::Doubt& doubt, bool learned) {
  return {doubt, -1, !is_tailed(doubt.topic) ? 0.0 : learned ? normal_tail : mishap_tail};
}

double Input::value_at(double z) const {
  static const boost::math::normal normal;
  if (spill >= 0) return doubt.usual * std::exp(0.5 * std::log(doubt.high / doubt.usual) * z);
  const double inner = tail > 0.0 ? std::clamp(z, -tail_from_z, tail_from_z) : std::clamp(z, -8.0, 8.0);
  const double value = compose::Inverse(doubt)(boost::math::cdf(normal, inner));
  if (inner == z || !(tail > 0.0)) return value;
  const double half = z > 0.0 ? doubt.high - doubt.usual : doubt.usual - doubt.low;
  return bounded(doubt, value + (z - inner) * tail * std::max(half, 0.25 * (doubt.high - doubt.low)));
}

Brewing brewing_as_planned(const Brief& brief, const State& state) { return poured(brief, state.planned); }

Brewing brewing_of(const Brief& brief, const State& state) {
  Brewing brewing = poured(as_it_now_is(brief, state), state.went);
  if (state.changed.priming_sucrose_g)
    brewing.doubtful.priming_sucrose_g = *state.changed.priming_sucrose_g;
  else if (!state.changed.carbonation_volumes)  // weighed as the recipe says, whatever happened
    brewing.doubtful.priming_sucrose_g = brewing_as_planned(brief, state).doubtful.priming_sucrose_g;
  for (const Gone& gone : state.losses) add_spill(brewing, gone);
  brewing.with_additions.assign(state.added.size(), brewing.doubtful);
  for (std::size_t k = 0; k < state.added.size(); ++k) {
    brewing.with_additions[k].doubts.clear();
    for (std::size_t later = k; later < state.added.size(); ++later)
      take_out(brewing, brewing.with_additions[k], state.added[later]);
  }
  return brewing;
}

double left_in_house_kg(const Brewing& brewing, int supply) {
  const auto& stock = brewing.unknowns.supplies[static_cast<std::size_t>(supply)]->amount;
  if (!stock) return 0.0;
  double left = stock->in(kilogram);
  for (int v : brewing.unknowns.variables_of_supply[static_cast<std::size_t>(supply)])
    left -= brewing.design.amount_kg[static_cast<std::size_t>(v)];
  return std::max(0.0, left);
}

std::string name_of_supply(const compose::Unknowns& unknowns, int supply) {
  const auto& supplies = unknowns.supplies;
  const std::string& id = supplies[static_cast<std::size_t>(supply)]->ingredient.id;
  const auto namesakes = std::count_if(supplies.begin(), supplies.begin() + supply,
                                       [&](const Supply* earlier) { return earlier->ingredient.id == id; });
  return namesakes == 0 ? id : fmt::format("{}#{}", id, namesakes + 1);
}

int supply_named(const compose::Unknowns& unknowns, const std::string& name) {
  for (int s = 0; s < static_cast<int>(unknowns.supplies.size()); ++s) {
    if (name_of_supply(unknowns, s) == name) return s;
  }
  return -1;
}

int variable_for(const Brewing& brewing, const Recipe::Amount& amount) {
  const compose::Unknowns& unknowns = brewing.unknowns;
  const int supply = is_water(amount.what) ? -1 : supply_named(unknowns, amount.what);
  if (supply < 0 && !is_water(amount.what)) return -1;
  int best = -1;
  double least = 0.0;
  for (int v = 0; v < static_cast<int>(unknowns.variables.size()); ++v) {
    const compose::Variable& variable = unknowns.variables[static_cast<std::size_t>(v)];
    if (variable.supply != supply) continue;
    const compose::Port& port = unknowns.ports[static_cast<std::size_t>(variable.port)];
    double off = std::abs(port.minutes_before_boil_end - amount.minutes_before_boil_end);
    if (supply < 0) {
      const bool mash = port.where == compose::Port::Where::mash_liquor;
      off = mash == (amount.into == Into::mash_liquor) ? 0.0 : 1.0;
      if (variable.water >= 0 && amount.what.size() > 6 &&
          brewing.brief->waters[static_cast<std::size_t>(variable.water)].name != amount.what.substr(6))
        off += 10.0;
    }
    if (best < 0 || off < least) best = v, least = off;
  }
  return best;
}

compose::Setting setting_at(const Brewing& brewing, const Eigen::VectorXd& z) {
  compose::Setting setting = brewing.doubtful.usual;
  for (std::size_t i = 0; i < brewing.inputs.size(); ++i) {
    const Input& input = brewing.inputs[i];
    if (input.spill < 0) input.doubt.set(setting, input.value_at(z[static_cast<Eigen::Index>(i)]));
  }
  return setting;
}

std::vector<double> spilled_at(const Brewing& brewing, const Eigen::VectorXd& z) {
  std::vector<double> litres(brewing.spills.size());
  for (std::size_t i = 0; i < brewing.inputs.size(); ++i) {
    const Input& input = brewing.inputs[i];
    if (input.spill >= 0)
      litres[static_cast<std::size_t>(input.spill)] = input.value_at(z[static_cast<Eigen::Index>(i)]);
  }
  return litres;
}

Upcome upcome_of(const Brewing& brewing, const compose::Doubtful& poured, const compose::Setting& setting,
                 std::span<const double> spilled_l) {
  const Charge charge = compose::charge_at(poured, setting);
  process::Ferment ferment = poured.ferment;
  ferment.yeast = setting.yeast;
  ferment.temperature_c += setting.warmest_shift_k;
  auto plan = process::make_plan(setting.kit, charge, ferment, poured.carbonation_volumes, brewing.hop_course);
  for (std::size_t i = 0; i < brewing.spills.size(); ++i) {
    const auto place = plan.steps.begin() + static_cast<std::ptrdiff_t>(place_of_spill(plan, brewing.spills[i]));
    plan.steps.insert(place, process::Spill<double>{spilled_l[i]});
  }
  Upcome upcome;
  upcome.forecast = process::forecast(plan);
  upcome.carbonation_volumes = compose::carbonation_at(poured, setting, plan, upcome.forecast);
  upcome.rest_temperature_c = charge.rest_temperature_c;
  return upcome;
}

Upcome upcome_at(const Brewing& brewing, const Eigen::VectorXd& z) {
  return upcome_of(brewing, brewing.doubtful, setting_at(brewing, z), spilled_at(brewing, z));
}

Upcome upcome_before(const Brewing& brewing, const Eigen::VectorXd& z, std::size_t additions) {
  const compose::Doubtful& poured =
      additions < brewing.with_additions.size() ? brewing.with_additions[additions] : brewing.doubtful;
  return upcome_of(brewing, poured, setting_at(brewing, z), spilled_at(brewing, z));
}

Upcome upcome_as_reckoned(const Brewing& brewing) {
  std::vector<double> litres(brewing.spills.size());
  for (const Input& input : brewing.inputs) {
    if (input.spill >= 0) litres[static_cast<std::size_t>(input.spill)] = input.doubt.usual;
  }
  return upcome_of(brewing, brewing.doubtful, brewing.doubtful.usual, litres);
}

}  // namespace oddgrist::gyle

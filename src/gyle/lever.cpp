#include "gyle/lever.hpp"

#include <algorithm>
#include <cmath>

#include "science/volumes.hpp"

namespace oddgrist::gyle {
namespace {

using compose::Recipe;
using larder::IngredientKind;
using Into = Recipe::Into;
using Kind = Part::Kind;
using Charge = process::Charge<double>;

// All common practice, no source.
constexpr double longest_more_minutes = 45.0, shortest_boil_minutes = 30.0, boil_step_minutes = 5.0;
constexpr double most_sugar_kg_per_l = 0.04, most_hop_kg_per_l = 0.006, most_water_share = 0.35;
constexpr double sugar_minutes = 10.0;  // before the end: long enough to be sound, short enough not to darken
constexpr double water_step_kg = 0.1, waiting_days = 4.0;
constexpr double gas_room_volumes = 0.2, gas_danger_volumes = 1.0;
constexpr double wish_price = 100.0, fact_price = 1000.0;
constexpr double price_of_a_part = 0.3, price_of_a_minute = 0.01;

process::Mixture<double> Charge::*vessel_of(Into into) {
  switch (into) {
    case Into::flame_out: return &Charge::flame_out;
    case Into::fermenter: return &Charge::fermenter;
    case Into::infusion: return &Charge::infused_food;
    default: return nullptr;
  }
}

std::size_t at(int index) { return static_cast<std::size_t>(index); }

// The water that is reached for: the brief's first.
std::string first_water(const Brewing& brewing) {
  return brewing.brief->waters.empty() ? "water" : "water:" + brewing.brief->waters.front().name;
}

bool is_fixed(const compose::Supply& supply) { return supply.must && supply.must->sense == compose::Must::Sense::all; }

}  // namespace

double loss_at(const Brewing& brewing, const compose::Design& design, Stage stage, const Upcome& upcome) {
  double loss = compose::loss_of(brewing.demands, design, brewing.unknowns, compose::gauges_of(upcome.forecast));
  if (stage < Stage::package) return loss;
  const double wished = brewing.brief->carbonation_volumes, has = upcome.carbonation_volumes;
  loss += wish_price * std::max(0.0, std::abs(has - wished) - gas_room_volumes) / gas_room_volumes;
  return loss + fact_price * std::max(0.0, has - wished - gas_danger_volumes) / gas_room_volumes;
}

Bench::Bench(const Brewing& brewing, const State& state, Instant now, double unfinished_volumes)
    : brewing_(brewing),
      state_(state),
      boiled_(boiled_minutes(state, now)),
      unfinished_volumes_(unfinished_volumes),
      poured_(brewing.doubtful) {
  poured_.doubts.clear();
  remaining_ = std::max(0.0, state.boil_minutes - boiled_.value_or(0.0));
  volume_l_ = upcome_as_reckoned(brewing).forecast.fermenter_volume_l;
  levers_of_the_boil();
  levers_of_water();
  levers_of_sugars();
  levers_of_hops();
  levers_of_oddments();
  levers_of_the_package();
  untouched_ = poured_;
  for (const auto& portion : poured_.portions) base_kg_.push_back(portion.amount_kg);
  for (const auto& pour : poured_.waters.kettle) base_minutes_.push_back(pour.minutes_before_end);
}

void Bench::add(Lever lever) {
  if (lever.high - lever.low < lever.step * 0.999) return;
  const auto amount = [&](double minutes) {
    return Recipe::Amount{lever.supply < 0 ? "water" : name_of_supply(brewing_.unknowns, lever.supply), lever.into,
                          minutes, 0.0};
  };
  if (lever.kind != Kind::boil && lever.kind != Kind::prime && lever.kind != Kind::wait)
    lever.variable = variable_for(brewing_, amount(lever.minutes));
  if (lever.supply >= 0) lever.portion = portion_at(lever.supply, lever.into, lever.minutes);
  if (lever.kind == Kind::hop_shift) {
    Recipe::Amount from = amount(lever.from_minutes);
    from.into = lever.from_minutes > 0.0 ? Into::kettle : Into::flame_out;
    lever.from_portion = portion_at(lever.supply, from.into, lever.from_minutes);
    lever.from_variable = variable_for(brewing_, from);
  }
  levers_.push_back(lever);
}

int Bench::slot_of(int supply) const {
  const std::string name = name_of_supply(brewing_.unknowns, supply);
  const auto found = std::find(brewing_.slots.begin(), brewing_.slots.end(), name);
  return found == brewing_.slots.end() ? -1 : static_cast<int>(found - brewing_.slots.begin());
}

// The portion of the supply that goes in there, with 0 kg if there was none; -1 if nothing is known of the supply.
int Bench::portion_at(int supply, Into into, double minutes) {
  const int slot = slot_of(supply);
  if (slot < 0) return -1;
  compose::Doubtful::Portion wanted{slot, 0.0, vessel_of(into), 0};
  if (wanted.where == nullptr) {
    auto& kettle = poured_.waters.kettle;
    const auto found = std::find_if(kettle.begin(), kettle.end(),
                                    [&](const auto& pour) { return pour.minutes_before_end == minutes; });
    wanted.kettle_pour = static_cast<std::size_t>(found - kettle.begin());
    if (found == kettle.end()) kettle.push_back({minutes, {}});
  }
  for (std::size_t i = 0; i < poured_.portions.size(); ++i) {
    const auto& portion = poured_.portions[i];
    if (portion.ingredient == slot && portion.where == wanted.where && portion.kettle_pour == wanted.kettle_pour)
      return static_cast<int>(i);
  }
  poured_.portions.push_back(wanted);
  return static_cast<int>(poured_.portions.size()) - 1;
}

double Bench::planned_kg(int supply, Into into, double minutes) const {
  const std::string name = name_of_supply(brewing_.unknowns, supply);
  double kg = 0.0;
  for (const Recipe::Amount& amount : brewing_.recipe.amounts) {
    if (amount.what == name && amount.into == into && amount.minutes_before_boil_end == minutes) kg += amount.kg;
  }
  return kg;
}

void Bench::levers_of_the_boil() {
  if (state_.stage > Stage::boil) return;
  Lever lever;
  lever.kind = Kind::boil;
  lever.planned = state_.boil_minutes;
  lever.step = boil_step_minutes;
  lever.high = longest_more_minutes;
  const double shortest = std::max(shortest_boil_minutes, boiled_.value_or(0.0));
  lever.low = std::min(0.0, -boil_step_minutes * std::floor((state_.boil_minutes - shortest) / boil_step_minutes));
  add(lever);
}

void Bench::levers_of_water() {
  Lever lever;
  lever.step = water_step_kg;
  if (state_.stage <= Stage::boil) {
    lever.kind = Kind::water_in_kettle;
    lever.into = Into::top_up;
    const auto forecast = upcome_as_reckoned(brewing_).forecast;
    const auto& kit = brewing_.brief->kit;
    const double room = kit.kettle.in(litre) * (1.0 - kit.kettle_headspace.in(ratio)) - forecast.pre_boil_volume_hot_l;
    lever.high = std::clamp(room, 0.0, most_water_share * volume_l_);
    if (state_.stage <= Stage::mash) {  // what is not yet poured can also be left out
      for (const Recipe::Amount& amount : brewing_.recipe.amounts) {
        if (amount.into == Into::top_up && amount.what == first_water(brewing_)) lever.planned += amount.kg;
      }
      lever.low = -lever.planned;
    }
    add(lever);
  } else if (state_.stage <= Stage::fermenter) {
    lever.kind = Kind::water_in_fermenter;
    lever.into = Into::fermenter;
    lever.high = most_water_share * volume_l_;
    add(lever);
  }
}

void Bench::levers_of_sugars() {
  if (state_.stage > Stage::fermenter) return;
  for (int s = 0; s < static_cast<int>(brewing_.unknowns.supplies.size()); ++s) {
    const compose::Supply& supply = *brewing_.unknowns.supplies[at(s)];
    if (supply.ingredient.kind != IngredientKind::sugar || is_fixed(supply)) continue;
    Lever lever;
    lever.kind = Kind::sugar;
    lever.supply = s;
    const bool boils = state_.stage <= Stage::boil;
    lever.into = boils ? Into::kettle : Into::fermenter;
    lever.minutes = boils ? std::min(sugar_minutes, std::floor(remaining_)) : 0.0;
    lever.step = std::max(0.005, supply.ingredient.weighable_step_kg);
    lever.high = std::min(left_in_house_kg(brewing_, s), most_sugar_kg_per_l * volume_l_);
    lever.planned = planned_kg(s, lever.into, lever.minutes);
    lever.low = -lever.planned;
    add(lever);
  }
}

void Bench::add_hop(int supply, double minutes) {
  Lever lever;
  lever.kind = Kind::hop;
  lever.supply = supply;
  lever.into = minutes > 0.0 ? Into::kettle : Into::flame_out;
  lever.minutes = minutes;
  lever.step = brewing_.unknowns.supplies[at(supply)]->ingredient.weighable_step_kg;
  lever.planned = planned_kg(supply, lever.into, minutes);
  lever.low = -lever.planned;
  lever.high = std::min(left_in_house_kg(brewing_, supply), most_hop_kg_per_l * volume_l_);
  add(lever);
}

void Bench::add_shift(int supply, double from, double to) {
  Lever lever;
  lever.kind = Kind::hop_shift;
  lever.supply = supply;
  lever.into = to > 0.0 ? Into::kettle : Into::flame_out;
  lever.minutes = to;
  lever.from_minutes = from;
  lever.step = brewing_.unknowns.supplies[at(supply)]->ingredient.weighable_step_kg;
  lever.planned = planned_kg(supply, from > 0.0 ? Into::kettle : Into::flame_out, from);
  lever.high = lever.planned;
  add(lever);
}

// Once the boil is over a hop can only go into the fermenter, where it bitters nothing: worth it for what the brief wants used.
void Bench::lever_of_a_dry_hop(int supply) {
  if (!brewing_.unknowns.supplies[at(supply)]->must) return;
  Lever lever;
  lever.kind = Kind::hop;
  lever.supply = supply;
  lever.into = Into::fermenter;
  lever.planned = planned_kg(supply, lever.into, 0.0);
  lever.low = -lever.planned;
  lever.high = std::min(left_in_house_kg(brewing_, supply), most_hop_kg_per_l * volume_l_);
  const double step = brewing_.unknowns.supplies[at(supply)]->ingredient.weighable_step_kg;
  if (lever.high < step) return;
  lever.step = lever.high / std::round(lever.high / step);  // so that all of it can go in
  add(lever);
}

// More, less, sooner, later: at the planned moments that are still to come, at the earliest there still is, and ten minutes before the end.
void Bench::levers_of_hops() {
  if (state_.stage > Stage::fermenter) return;
  const double earliest = boiled_ ? std::floor(remaining_) : state_.boil_minutes;
  for (int s = 0; s < static_cast<int>(brewing_.unknowns.supplies.size()); ++s) {
    const compose::Supply& supply = *brewing_.unknowns.supplies[at(s)];
    if (supply.ingredient.kind != IngredientKind::hop || slot_of(s) < 0) continue;
    if (state_.stage > Stage::boil) {
      lever_of_a_dry_hop(s);
      continue;
    }
    std::vector<double> planned, moments;
    const std::string name = name_of_supply(brewing_.unknowns, s);
    for (const Recipe::Amount& amount : brewing_.recipe.amounts) {
      const bool in = boiled_ && amount.into == Into::kettle && amount.minutes_before_boil_end >= remaining_ &&
                      state_.stage == Stage::boil;
      if (amount.what != name || in || (amount.into != Into::kettle && amount.into != Into::flame_out)) continue;
      planned.push_back(amount.into == Into::kettle ? amount.minutes_before_boil_end : 0.0);
    }
    moments = planned;
    moments.push_back(earliest);
    if (earliest > sugar_minutes) moments.push_back(sugar_minutes);
    std::sort(moments.begin(), moments.end());
    moments.erase(std::unique(moments.begin(), moments.end()), moments.end());
    if (!is_fixed(supply) || left_in_house_kg(brewing_, s) > 0.0) {
      for (double minutes : moments) add_hop(s, minutes);
    }
    std::vector<double> targets = moments;
    if (std::find(targets.begin(), targets.end(), 0.0) == targets.end()) targets.push_back(0.0);
    for (double from : planned) {
      for (double to : targets) {
        if (to != from) add_shift(s, from, to);
      }
    }
  }
}

void Bench::levers_of_oddments() {
  if (state_.stage > Stage::fermenter) return;
  for (int s = 0; s < static_cast<int>(brewing_.unknowns.supplies.size()); ++s) {
    const compose::Supply& supply = *brewing_.unknowns.supplies[at(s)];
    Lever lever;
    lever.kind = Kind::oddment;
    lever.supply = s;
    lever.into = Into::infusion;
    lever.planned = planned_kg(s, Into::infusion, 0.0);
    if (!(lever.planned > 0.0) || is_fixed(supply)) continue;
    lever.step = supply.ingredient.weighable_step_kg;
    lever.low = -lever.planned;
    lever.high = left_in_house_kg(brewing_, s);
    if (supply.must) {
      lever.low = std::max(lever.low, supply.must->low.in(kilogram)-lever.planned);
      if (supply.must->sense != compose::Must::Sense::at_least)
        lever.high = std::max(0.0, supply.must->high.in(kilogram)-lever.planned);
    }
    lever.low = std::min(0.0, lever.low);
    add(lever);
  }
}

void Bench::levers_of_the_package() {
  if (state_.stage < Stage::package) return;
  Lever lever;
  lever.kind = Kind::prime;
  lever.planned = poured_.priming_sucrose_g;
  lever.low = -lever.planned;
  lever.high = lever.planned;
  add(lever);
  if (!(unfinished_volumes_ > 0.0)) return;
  Lever wait;
  wait.kind = Kind::wait;
  wait.step = wait.high = waiting_days;
  add(wait);
}

void Bench::believe(const std::vector<Eigen::VectorXd>& points) {
  settings_.clear();
  spilled_.clear();
  for (const Eigen::VectorXd& point : points) {
    settings_.push_back(setting_at(brewing_, point));
    spilled_.push_back(spilled_at(brewing_, point));
  }
}

double Bench::boil_minutes(const Changes& changes) const {
  double minutes = state_.boil_minutes;
  for (std::size_t i = 0; i < levers_.size(); ++i) {
    if (levers_[i].kind == Kind::boil) minutes += changes[i];
  }
  return minutes;
}

void Bench::pour(const Changes& changes, compose::Setting& setting) {
  for (std::size_t i = 0; i < base_kg_.size(); ++i) poured_.portions[i].amount_kg = base_kg_[i];
  poured_.waters.top_up = untouched_.waters.top_up;
  poured_.waters.fermenter = untouched_.waters.fermenter;
  poured_.priming_sucrose_g = untouched_.priming_sucrose_g;
  design_ = brewing_.design;
  const auto weigh = [&](int portion, int variable, double kg) {
    if (portion >= 0) poured_.portions[at(portion)].amount_kg += kg;
    if (variable >= 0) design_.amount_kg[at(variable)] += kg;
  };
  for (std::size_t i = 0; i < levers_.size(); ++i) {
    const Lever& lever = levers_[i];
    if (changes[i] == 0.0) continue;
    if (lever.kind == Kind::water_in_kettle || lever.kind == Kind::water_in_fermenter) {
      auto& vessel = lever.kind == Kind::water_in_kettle ? poured_.waters.top_up : poured_.waters.fermenter;
      add_to(vessel, brewing_.unknowns.waters.front(), changes[i]);
    } else if (lever.kind == Kind::prime) {
      poured_.priming_sucrose_g += changes[i];
    }
    weigh(lever.portion, lever.variable, changes[i]);
    weigh(lever.from_portion, lever.from_variable, -changes[i]);
  }
  const double minutes = boil_minutes(changes);
  setting.kit.boil = minutes * minute;
  for (std::size_t k = 0; k < base_minutes_.size(); ++k)
    poured_.waters.kettle[k].minutes_before_end =
        shifted_minutes(base_minutes_[k], state_.boil_minutes, minutes, boiled_);
}

Upcome Bench::upcome(const Changes& changes, std::size_t point) {
  pour(changes, settings_[point]);
  Upcome upcome = upcome_of(brewing_, poured_, settings_[point], spilled_[point]);
  if (unfinished_volumes_ > 0.0) {
    const bool waited = std::any_of(levers_.begin(), levers_.end(), [&](const Lever& lever) {
      return lever.kind == Kind::wait && changes[static_cast<std::size_t>(&lever - levers_.data())] > 0.0;
    });
    if (!waited) upcome.carbonation_volumes += unfinished_volumes_;
  }
  return upcome;
}

double Bench::loss(const Changes& changes, std::size_t point) {
  last_ = upcome(changes, point);
  return loss_at(brewing_, design_, state_.stage, last_);
}

double Bench::mean_loss(const Changes& changes, std::size_t first, std::size_t count) {
  double sum = 0.0;
  for (std::size_t i = first; i < first + count; ++i) sum += loss(changes, i);
  return sum / static_cast<double>(count) + trouble_of(changes);
}

double Bench::trouble_of(const Changes& changes) const {
  double trouble = 0.0;
  for (std::size_t i = 0; i < levers_.size(); ++i) {
    if (changes[i] == 0.0) continue;
    trouble += price_of_a_part;
    if (levers_[i].kind == Kind::boil) trouble += price_of_a_minute * std::max(0.0, changes[i]);
  }
  return trouble;
}

double Bench::money_of(const Changes& changes) const {
  double money = 0.0;
  for (std::size_t i = 0; i < levers_.size(); ++i) {
    const Lever& lever = levers_[i];
    if (lever.supply >= 0 && lever.from_portion < 0)
      money += changes[i] * brewing_.unknowns.supplies[at(lever.supply)]->cost_per_kg;
  }
  return money;
}

Part Bench::part_of(std::size_t index, const Changes& changes) const {
  const Lever& lever = levers_[index];
  // Minutes count from the end of the boil as it then is.
  const auto then = [&](double minutes) {
    return minutes > 0.0 ? shifted_minutes(minutes, state_.boil_minutes, boil_minutes(changes), boiled_) : 0.0;
  };
  Part part{lever.kind, {}, changes[index], lever.planned, lever.into, then(lever.minutes), then(lever.from_minutes)};
  if (lever.supply >= 0) part.name = brewing_.unknowns.supplies[at(lever.supply)]->ingredient.name;
  if (lever.kind == Kind::water_in_kettle || lever.kind == Kind::water_in_fermenter) {
    part.change /= science::cold_water_kg_per_l;
    part.planned /= science::cold_water_kg_per_l;
  }
  return part;
}

std::vector<What> Bench::entries_of(const Changes& changes) const {
  std::vector<What> entries;
  const double minutes = boil_minutes(changes);
  if (minutes != state_.boil_minutes) {
    Changed changed;
    changed.boil_minutes = minutes;
    entries.emplace_back(changed);
  }
  const auto moved = [&](const Lever& lever, double at_minutes, double kg) {
    const std::string name =
        lever.supply >= 0 ? name_of_supply(brewing_.unknowns, lever.supply) : first_water(brewing_);
    Into into = lever.into;
    if (into == Into::kettle || into == Into::flame_out) into = at_minutes > 0.0 ? Into::kettle : Into::flame_out;
    if (into == Into::kettle) at_minutes = shifted_minutes(at_minutes, state_.boil_minutes, minutes, boiled_);
    if (kg > 0.0) entries.emplace_back(Added{{name, into, at_minutes, kg}});
    if (kg < 0.0) entries.emplace_back(Missed{{name, into, at_minutes, -kg}});
  };
  for (std::size_t i = 0; i < levers_.size(); ++i) {
    const Lever& lever = levers_[i];
    if (changes[i] == 0.0 || lever.kind == Kind::boil || lever.kind == Kind::wait) continue;
    if (lever.kind == Kind::prime) {
      Changed changed;
      changed.priming_sucrose_g = lever.planned + changes[i];
      entries.emplace_back(changed);
      continue;
    }
    if (lever.kind == Kind::hop_shift) moved(lever, lever.from_minutes, -changes[i]);
    moved(lever, lever.minutes, changes[i]);
  }
  return entries;
}

}  // namespace oddgrist::gyle

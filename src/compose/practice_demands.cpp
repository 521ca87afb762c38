#include "compose/practice_demands.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>

namespace oddgrist::compose {
namespace {

using larder::Component;
using larder::IngredientClass;
using larder::IngredientKind;
using larder::PracticeOf;
using larder::PracticeRow;
using Where = Port::Where;

// Prices of a miss of one scale, beside a wish's 100 and a vessel's 1000.
constexpr double limit_weight = 3000.0, usual_weight = 20.0, assumed_weight = 10.0;
constexpr double nowhere = 1e9;
constexpr double late_minutes = 20.0;

const PracticeRow& row_of(PracticeOf of) { return larder::practice_table().row(of); }

bool is_grain(const larder::Ingredient& each) {
  return each.kind == IngredientKind::malt || each.kind == IngredientKind::adjunct;
}
bool is_malt_extract(const larder::Ingredient& each) { return each.ingredient_class == IngredientClass::malt_extract; }
bool is_malty(const larder::Ingredient& each) { return is_grain(each) || is_malt_extract(each); }
bool is_sugar(const larder::Ingredient& each) { return each.kind == IngredientKind::sugar && !is_malt_extract(each); }
bool is_unmalted(const larder::Ingredient& each) {
  const IngredientClass what = each.ingredient_class;
  return what == IngredientClass::raw || what == IngredientClass::flaked || what == IngredientClass::torrefied;
}

// What dissolves of a kilogram and can ferment or fill the mouth.
double extract_share(const larder::Composition& composition) {
  double sum = 0.0;
  for (Component each : {Component::starch, Component::glucose, Component::fructose, Component::sucrose,
                         Component::maltose, Component::maltotriose, Component::lactose, Component::dextrin})
    sum += composition[each];
  return sum;
}

bool any_supply(const Brief& brief, const std::function<bool(const larder::Ingredient&)>& is) {
  for (const auto* list : {&brief.given, &brief.have}) {
    if (std::any_of(list->begin(), list->end(), [&](const Supply& each) { return is(each.ingredient); })) return true;
  }
  return false;
}

// Sugar or honey that must go in ferments wholly: then there is no saying where a usual body would be, nor how much malt is usual.
bool must_use_sugar(const Brief& brief) {
  return std::any_of(brief.given.begin(), brief.given.end(),
                     [](const Supply& each) { return each.must && is_sugar(each.ingredient); });
}

const Wish* wish_of(const Brief& brief, Measure measure) {
  const auto found =
      std::find_if(brief.wishes.begin(), brief.wishes.end(), [&](const Wish& wish) { return wish.measure == measure; });
  return found == brief.wishes.end() ? nullptr : &*found;
}

// About so many thousandths of gravity for each per cent of alcohol, at an ordinary attenuation.
constexpr double points_a_percent = 7.7;

class Practice {
 public:
  Practice(const Brief& brief, const Unknowns& unknowns, Demands& demands)
      : brief_(brief), unknowns_(unknowns), demands_(demands), intent_(intent_of(brief)) {}

  void add() {
    mash();
    shares();
    fermentables();
    hops();
    minerals();
    doses();
    assumed();
  }

 private:
  using Terms = std::vector<std::pair<int, double>>;
  using Which = std::function<bool(const Supply&, const Port&)>;

  Terms terms_of(const Which& which, const std::function<double(const Supply&)>& coefficient) const {
    Terms terms;
    for (int v = 0; v < static_cast<int>(unknowns_.variables.size()); ++v) {
      const Variable& variable = unknowns_.variables[v];
      if (variable.supply < 0) continue;
      const Supply& supply = *unknowns_.supplies[variable.supply];
      if (!which(supply, unknowns_.ports[variable.port])) continue;
      const double factor = coefficient(supply);
      if (factor != 0.0) terms.emplace_back(v, factor);
    }
    return terms;
  }

  // A bound on an expression that is 0 where the row's figure is at the bound; `per`: the expression's size of one unit of the figure.
  enum class Strength { limit, usual };
  void bound(const PracticeRow& row, Strength strength, std::string words, Elastic elastic, double scale,
             PracticeRule::Figure figure, int supply = -1) {
    PracticeRule rule{row.of, supply, std::move(words), strength == Strength::limit, std::move(figure)};
    rule.low = elastic.high >= nowhere;
    if (rule.hard) {
      demands_.members.push_back({Member::Kind::practice, -1, rule.words, scale, limit_weight});
      elastic.member = static_cast<int>(demands_.members.size()) - 1;
    }
    elastic.price = (rule.hard ? limit_weight : usual_weight) / scale;
    elastic.practice = static_cast<int>(demands_.practice.size());
    demands_.practice.push_back(std::move(rule));
    demands_.elastics.push_back(std::move(elastic));
  }
  static std::string no_more(const PracticeRow& row, double high) {
    return fmt::format("{}: no more than {:.4g} {}", row.name, high, row.unit);
  }
  static std::string no_less(const PracticeRow& row, double low) {
    return fmt::format("{}: no less than {:.4g} {}", row.name, low, row.unit);
  }

  // part / whole between the row's bounds. `unit`: what a ratio of 1 is in the row's unit; `scale`: clearly off, in the part's.
  // What the brewer must use is not steered away from: they have said so, and it is told as a departure.
  void ratio(PracticeOf of, const Terms& part, const Terms& whole, double unit, double scale) {
    const PracticeRow& row = row_of(of);
    if (part.empty() && !row.usual.low && !row.limit.low) return;
    const auto difference = [&](double bound, bool without_must) {
      Elastic elastic;
      elastic.amounts = whole;
      for (auto& [v, factor] : elastic.amounts) factor *= -bound / unit;
      for (const auto& [v, factor] : part) {
        if (without_must && must_use(v)) continue;
        const auto at = std::find_if(elastic.amounts.begin(), elastic.amounts.end(),
                                     [v = v](const auto& each) { return each.first == v; });
        if (at == elastic.amounts.end())
          elastic.amounts.emplace_back(v, factor);
        else
          at->second += factor;
      }
      return elastic;
    };
    for (const Strength strength : {Strength::limit, Strength::usual}) {
      const auto& range = strength == Strength::limit ? row.limit : row.usual;
      if (range.high) {
        Elastic elastic = difference(*range.high, true);
        elastic.low = -nowhere, elastic.high = 0.0;
        bound(row, strength, no_more(row, *range.high), elastic, scale, {part, whole, -1, unit, *range.high});
      }
      if (range.low) {
        Elastic elastic = difference(*range.low, false);
        elastic.low = 0.0, elastic.high = nowhere;
        bound(row, strength, no_less(row, *range.low), elastic, scale, {part, whole, -1, unit, *range.low});
      }
    }
  }
  bool must_use(int v) const {
    const int supply = unknowns_.variables[v].supply;
    return supply >= 0 && unknowns_.supplies[supply]->must.has_value();
  }

  // Grams or milligrams in each litre of the beer that is wished.
  void per_litre(PracticeOf of, const Terms& part, double g_per_kg, double scale_in_units) {
    const PracticeRow& row = row_of(of);
    for (const Strength strength : {Strength::limit, Strength::usual}) {
      const auto& range = strength == Strength::limit ? row.limit : row.usual;
      const double kg = intent_.volume_l / g_per_kg;  // one unit
      Elastic elastic;
      elastic.amounts = part;
      if (range.high && !part.empty()) {
        elastic.low = -nowhere, elastic.high = *range.high * kg;
        if (strength == Strength::limit)
          std::erase_if(elastic.amounts, [&](const auto& each) { return must_use(each.first); });
        if (!elastic.amounts.empty())
          bound(row, strength, no_more(row, *range.high), elastic, scale_in_units * kg,
                {part, {}, -1, 1.0 / kg, *range.high});
      }
      if (range.low && !part.empty()) {
        elastic.low = *range.low * kg, elastic.high = nowhere;
        bound(row, strength, no_less(row, *range.low), elastic, scale_in_units * kg,
              {part, {}, -1, 1.0 / kg, *range.low});
      }
    }
  }

  void gauge(PracticeOf of, Gauge which, double scale) {
    const PracticeRow& row = row_of(of);
    for (const Strength strength : {Strength::limit, Strength::usual}) {
      const auto& range = strength == Strength::limit ? row.limit : row.usual;
      if (!range.high) continue;
      Elastic elastic;
      elastic.gauge = static_cast<int>(which);
      elastic.low = -nowhere, elastic.high = *range.high;
      bound(row, strength, no_more(row, *range.high), elastic, scale, {{}, {}, elastic.gauge, 1.0, *range.high});
    }
  }

  static bool in_grist(const Supply&, const Port& port) { return port.where == Where::grist; }
  static double one(const Supply&) { return 1.0; }

  void mash() {
    const Terms grist = terms_of(in_grist, one);
    if (grist.empty()) return;
    Terms liquor;
    for (int v = 0; v < static_cast<int>(unknowns_.variables.size()); ++v) {
      const Variable& variable = unknowns_.variables[v];
      if (variable.supply < 0 && unknowns_.ports[variable.port].where == Where::mash_liquor)
        liquor.emplace_back(v, 1.0);
    }
    const double typical_kg = 0.2 * intent_.volume_l;
    ratio(PracticeOf::mash_thickness, liquor, grist, 1.0, 0.1 * typical_kg);
    gauge(PracticeOf::strike_temperature, Gauge::strike_temperature, 1.0);
    const Terms starchy = terms_of(
        [](const Supply& supply, const Port& port) {
          return in_grist(supply, port) && supply.ingredient.composition[Component::starch] > 0.0;
        },
        one);
    if (starchy.empty()) return;
    const Terms power = terms_of(
        [](const Supply& supply, const Port& port) { return in_grist(supply, port); },
        [](const Supply& supply) {
          const auto& malt = supply.ingredient.malt;
          return malt && supply.ingredient.composition[Component::starch] > 0.0 ? malt->diastatic_power_wk : 0.0;
        });
    const bool added = any_supply(brief_, [](const larder::Ingredient& each) {
      return each.enzyme && each.enzyme->target == larder::EnzymeTarget::starch;
    });
    if (!added) ratio(PracticeOf::enzyme_power, power, starchy, 1.0, 10.0 * typical_kg);
    per_litre(PracticeOf::raw_grain,
              terms_of(
                  [&](const Supply& supply, const Port& port) {
                    const auto& malt = supply.ingredient.malt;
                    return in_grist(supply, port) && malt &&
                           supply.ingredient.ingredient_class == IngredientClass::raw &&
                           malt->gelatinisation_high_c > brief_.rest_high.in(celsius);
                  },
                  one),
              1000.0, 10.0);
  }

  void shares() {
    const Terms grist = terms_of(in_grist, one);
    if (grist.empty()) return;
    const double scale = 0.02 * 0.2 * intent_.volume_l;
    const auto share = [&](PracticeOf of, const std::function<bool(const larder::Ingredient&)>& is) {
      ratio(of,
            terms_of(
                [&](const Supply& supply, const Port& port) { return in_grist(supply, port) && is(supply.ingredient); },
                one),
            grist, 100.0, scale);
    };
    const auto of_class = [](IngredientClass wanted) {
      return [wanted](const larder::Ingredient& each) { return each.ingredient_class == wanted; };
    };
    share(PracticeOf::roasted_share, of_class(IngredientClass::roasted));
    share(PracticeOf::crystal_share, of_class(IngredientClass::crystal));
    share(PracticeOf::acidulated_share, of_class(IngredientClass::acidulated));
    share(PracticeOf::unmalted_share, is_unmalted);
    const PracticeRow& row = row_of(PracticeOf::grain_share);
    for (const auto& [v, factor] : grist) {
      const int s = unknowns_.variables[v].supply;
      const auto& ingredient = unknowns_.supplies[s]->ingredient;
      const double most = ingredient.malt ? ingredient.malt->most_share_of_grist : 1.0;
      if (most >= 1.0) continue;
      Elastic elastic;
      elastic.amounts = grist;
      for (auto& [each, coefficient] : elastic.amounts) coefficient = (each == v && !must_use(v) ? 1.0 : 0.0) - most;
      elastic.low = -nowhere;
      bound(row, Strength::usual, fmt::format("{} in the grist: no more than {:.0f} %", ingredient.name, 100.0 * most),
            elastic, scale, {{{v, 1.0}}, grist, -1, 100.0, 100.0 * most}, s);
    }
  }

  void fermentables() {
    const auto everywhere = [](const auto& is) {
      return [is](const Supply& supply, const Port&) { return is(supply.ingredient); };
    };
    const auto extract = [](const Supply& supply) { return extract_share(supply.ingredient.composition); };
    const Terms malts = terms_of(everywhere(is_malty), one);
    if (malts.empty()) return;
    const Terms sugars = terms_of(everywhere(is_sugar), extract);
    const Terms all = terms_of(
        [](const Supply& supply, const Port&) { return is_malty(supply.ingredient) || is_sugar(supply.ingredient); },
        extract);
    const double scale = 0.02 * 0.15 * intent_.volume_l;
    ratio(PracticeOf::sugar_share, sugars, all, 100.0, scale);
    if (!must_use_sugar(brief_)) per_litre(PracticeOf::malt_per_litre, malts, 1000.0, 5.0);
    // Sugar not at all, unless given or needed.
    Elastic none;
    for (const auto& [v, factor] : sugars) {
      if (!must_use(v)) none.amounts.emplace_back(v, factor);
    }
    none.low = -nowhere;
    none.price = 0.5 * assumed_weight / (0.1 * 0.15 * intent_.volume_l);
    if (!none.amounts.empty()) demands_.elastics.push_back(none);
  }

  // Into the boil for bitterness, late for aroma; half an hour before the end is good for neither.
  void hops() {
    const auto is_hop = [](const Supply& supply) { return supply.ingredient.kind == IngredientKind::hop; };
    const auto in_kettle = [&](const Supply& supply, const Port& port) {
      return is_hop(supply) && (port.where == Where::kettle || port.where == Where::flame_out);
    };
    const auto minutes = [](const Port& port) {
      return port.where == Where::kettle ? port.minutes_before_boil_end : 0.0;
    };
    per_litre(PracticeOf::hops_boiled,
              terms_of([&](const Supply& supply,
                           const Port& port) { return in_kettle(supply, port) && minutes(port) > late_minutes; },
                       one),
              1000.0, 1.0);
    const Terms late =
        terms_of([&](const Supply& supply,
                     const Port& port) { return in_kettle(supply, port) && minutes(port) <= late_minutes; },
                 one);
    per_litre(PracticeOf::hops_late, late, 1000.0, 1.0);
    per_litre(PracticeOf::hops_dry,
              terms_of([&](const Supply& supply,
                           const Port& port) { return is_hop(supply) && port.where == Where::fermenter; },
                       one),
              1000.0, 1.0);
    const double boil = brief_.kit.boil.in(minute);
    for (int v = 0; v < static_cast<int>(unknowns_.variables.size()); ++v) {
      const Variable& variable = unknowns_.variables[v];
      if (variable.supply < 0 || !in_kettle(*unknowns_.supplies[variable.supply], unknowns_.ports[variable.port]))
        continue;
      if (unknowns_.variables_of_supply[variable.supply].size() < 2) continue;
      const double at = minutes(unknowns_.ports[variable.port]);
      const bool neither = at > late_minutes && at < 0.7 * boil;
      if (neither) demands_.amount_cost[v] += neither_nor_points * 1000.0 / intent_.volume_l;
    }
    const PracticeRow& row = row_of(PracticeOf::hops_late);
    Elastic aroma;
    aroma.amounts = late;
    std::erase_if(aroma.amounts, [&](const auto& each) {
      const auto& hop = unknowns_.supplies[unknowns_.variables[each.first].supply]->ingredient.hop;
      return hop && hop->use == larder::HopUse::bittering;
    });
    if (aroma.amounts.empty() || !row.assumed.low || !wish_or_assumed(Measure::bitterness)) return;
    aroma.low = *row.assumed.low * intent_.volume_l / 1000.0;
    aroma.high = nowhere;
    aroma.price = late_hop_points * 1000.0 / intent_.volume_l;
    demands_.elastics.push_back(aroma);
  }

  void minerals() {
    const auto sodium = [](const Supply& supply) { return supply.ingredient.composition[Component::sodium]; };
    Terms brought = terms_of([&](const Supply& supply, const Port&) { return sodium(supply) > 1e-3; }, sodium);
    per_litre_of_all(PracticeOf::sodium, brought, 1e6, 50.0);
    per_litre_of_all(
        PracticeOf::salts,
        terms_of([](const Supply& supply, const Port&) { return supply.ingredient.kind == IngredientKind::salt; }, one),
        1000.0, 0.3);
  }
  // The same where what must be used counts too: too much salt is no better for being given.
  void per_litre_of_all(PracticeOf of, const Terms& part, double units_per_kg, double scale_in_units) {
    const PracticeRow& row = row_of(of);
    if (part.empty()) return;
    const double kg = intent_.volume_l / units_per_kg;
    for (const Strength strength : {Strength::limit, Strength::usual}) {
      const auto& range = strength == Strength::limit ? row.limit : row.usual;
      if (!range.high) continue;
      Elastic elastic;
      elastic.amounts = part;
      elastic.low = -nowhere, elastic.high = *range.high * kg;
      bound(row, strength, no_more(row, *range.high), elastic, scale_in_units * kg,
            {part, {}, -1, 1.0 / kg, *range.high});
    }
  }

  void doses() {
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      const auto& ingredient = unknowns_.supplies[s]->ingredient;
      if (!ingredient.dose) continue;
      Elastic elastic;
      for (int v : unknowns_.variables_of_supply[s]) elastic.amounts.emplace_back(v, 1.0);
      elastic.low = -nowhere;
      const auto most = [&](PracticeOf of, Strength strength, const std::optional<double>& g_per_l) {
        if (!g_per_l) return;
        const double kg = intent_.volume_l / 1000.0;
        elastic.high = *g_per_l * kg;
        bound(row_of(of), strength, fmt::format("{}: no more than {:.3g} g/L", ingredient.name, *g_per_l), elastic,
              std::max(1e-6, 0.05 * elastic.high), {elastic.amounts, {}, -1, 1.0 / kg, *g_per_l}, s);
      };
      most(PracticeOf::dose_by_safety, Strength::limit, ingredient.dose->most_by_safety_g_per_l);
      most(PracticeOf::dose_by_taste, Strength::usual, ingredient.dose->most_by_taste_g_per_l);
    }
  }

  void assumed() {
    for (const AssumedWish& wish : assumed_wishes_of(brief_)) {
      Elastic elastic;
      elastic.gauge = static_cast<int>(wish.measure);
      elastic.low = wish.low;
      elastic.high = wish.high;
      elastic.price = assumed_weight / (0.5 * (wish.high - wish.low));
      demands_.elastics.push_back(elastic);
      const double quarter = 0.25 * (wish.high - wish.low);
      elastic.low += quarter, elastic.high -= quarter;
      elastic.price *= 0.03;
      demands_.elastics.push_back(elastic);
    }
    const PracticeRow& rest = row_of(PracticeOf::rest_temperature);
    if (terms_of(in_grist, one).empty() || !rest.assumed.low || !rest.assumed.high) return;
    Elastic elastic;
    elastic.gauge = static_cast<int>(Gauge::rest_temperature);
    const double low = brief_.rest_low.in(celsius), high = brief_.rest_high.in(celsius);
    elastic.low = std::clamp(*rest.assumed.low, low, high);
    elastic.high = std::clamp(*rest.assumed.high, low, high);
    elastic.price = rest_points_a_kelvin;
    demands_.elastics.push_back(elastic);
  }

  bool wish_or_assumed(Measure measure) const {
    if (const Wish* wish = wish_of(brief_, measure)) return wish->high > 0.0;
    const auto assumed = assumed_wishes_of(brief_);
    return std::any_of(assumed.begin(), assumed.end(),
                       [&](const AssumedWish& each) { return each.measure == measure; });
  }

  // Points: half an hour a gram per litre, a gram per litre too little of late hops, a degree off the usual rest.
  static constexpr double neither_nor_points = 0.15, late_hop_points = 0.3, rest_points_a_kelvin = 0.15;

  const Brief& brief_;
  const Unknowns& unknowns_;
  Demands& demands_;
  const Intent intent_;
};

double sum_of(const std::vector<std::pair<int, double>>& terms, const Design& design) {
  double sum = 0.0;
  for (const auto& [v, factor] : terms) sum += factor * design.amount_kg[v];
  return sum;
}

double figure_of(const PracticeRule::Figure& figure, const Design& design,
                 const std::array<double, gauge_count>& gauges) {
  if (figure.gauge >= 0) return gauges[figure.gauge];
  const double whole = figure.whole.empty() ? 1.0 : sum_of(figure.whole, design);
  return whole > 0.0 ? figure.unit * sum_of(figure.part, design) / whole : 0.0;
}

constexpr double slack = 0.02;         // scales, of a limit
constexpr double worth_saying = 0.02;  // of a usual bound

bool is_left(const PracticeRule& rule, const Design& design, const std::array<double, gauge_count>& gauges) {
  // Nothing of it in the recipe: nothing to say of it.
  if (!rule.figure.whole.empty() && !(sum_of(rule.figure.whole, design) > 0.0)) return false;
  const double value = figure_of(rule.figure, design, gauges), bound = rule.figure.bound;
  const double room = worth_saying * std::abs(bound) + 1e-9;
  return rule.low ? value < bound - room : value > bound + room;
}

}  // namespace

Intent intent_of(const Brief& brief) {
  Intent intent;
  if (const Wish* volume = wish_of(brief, Measure::volume)) {
    intent.volume_l = 0.5 * (volume->low + volume->high);
    intent.most_volume_l = volume->high;
  }
  const auto& usual = row_of(PracticeOf::alcohol).assumed;
  double alcohol = usual.low && usual.high ? 0.5 * (*usual.low + *usual.high) : 5.0;
  if (const Wish* wish = wish_of(brief, Measure::alcohol)) alcohol = 0.5 * (wish->low + wish->high);
  intent.gravity_sg = 1.0 + 1e-3 * points_a_percent * alcohol;
  if (const Wish* wish = wish_of(brief, Measure::original_gravity)) intent.gravity_sg = 0.5 * (wish->low + wish->high);
  return intent;
}

std::vector<AssumedWish> assumed_wishes_of(const Brief& brief) {
  std::vector<AssumedWish> assumed;
  const auto take = [&](PracticeOf of, Measure measure, const std::function<double(double)>& at) {
    const PracticeRow& row = row_of(of);
    if (!row.assumed.low || !row.assumed.high) return;
    const double one = at(*row.assumed.low), other = at(*row.assumed.high);
    assumed.push_back({measure, std::min(one, other), std::max(one, other), &row});
  };
  const double points = 1000.0 * (intent_of(brief).gravity_sg - 1.0);
  const bool strength =
      wish_of(brief, Measure::alcohol) != nullptr || wish_of(brief, Measure::original_gravity) != nullptr;
  if (!strength) take(PracticeOf::alcohol, Measure::alcohol, [](double percent) { return percent; });
  const bool hops = any_supply(brief, [](const auto& each) { return each.kind == IngredientKind::hop; });
  const bool soured = any_supply(brief, [](const auto& each) { return each.kind == IngredientKind::bacterium; });
  if (wish_of(brief, Measure::bitterness) == nullptr && hops && !soured)
    take(PracticeOf::bitterness_per_gravity, Measure::bitterness,
         [&](double ratio) { return std::round(ratio * points); });
  if (wish_of(brief, Measure::final_gravity) == nullptr && any_supply(brief, is_malty) && !must_use_sugar(brief))
    take(PracticeOf::attenuation, Measure::final_gravity,
         [&](double percent) { return 1.0 + 1e-3 * points * (1.0 - 0.01 * percent); });
  return assumed;
}

void add_practice(const Brief& brief, const Unknowns& unknowns, Demands& demands) {
  Practice(brief, unknowns, demands).add();
}

std::vector<Departure> departures_of(const Demands& demands, const Design& design,
                                     const std::array<double, gauge_count>& gauges) {
  std::vector<Departure> departures;
  for (const PracticeRule& rule : demands.practice) {
    if (rule.hard || !is_left(rule, design, gauges)) continue;
    const PracticeRow& row = row_of(rule.of);
    const std::string words =
        fmt::format("{}; here it is {:.3g} {}", rule.words, figure_of(rule.figure, design, gauges), row.unit);
    departures.push_back({row.id, words, row.means, row.source});
  }
  return departures;
}

std::vector<std::string> broken_limits(const Demands& demands, const Unknowns& unknowns, const Design& design,
                                       const std::array<double, gauge_count>& gauges) {
  std::vector<std::string> broken;
  for (const Elastic& elastic : demands.elastics) {
    if (elastic.practice < 0 || !demands.practice[elastic.practice].hard) continue;
    if (miss_of(elastic, design, unknowns, gauges) * elastic.price > slack * limit_weight)
      broken.push_back(demands.practice[elastic.practice].words);
  }
  return broken;
}

}  // namespace oddgrist::compose

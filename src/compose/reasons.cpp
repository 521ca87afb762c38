#include "compose/reasons.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "compose/core_builder.hpp"
#include "compose/loss_terms.hpp"
#include "compose/poured.hpp"
#include "compose/search.hpp"
#include "compose/twists.hpp"
#include "compose/yeast_choice.hpp"

namespace oddgrist::compose {
namespace {

using larder::IngredientKind;
using Kind = LossTerm::Kind;

constexpr double worth_naming = 0.01;  // points
constexpr double no_worse = 1e-3;      // points; what two searches may differ by

bool limited_as_malt(IngredientKind kind) { return kind == IngredientKind::malt || kind == IngredientKind::adjunct; }

class Reasoner {
 public:
  Reasoner(const Brief& brief, const Proposal& proposal)
      : brief_(brief),
        unknowns_(unknowns_of(brief)),
        demands_(demands_of(brief, unknowns_)),
        fermentation_(fermentation_of(brief, proposal.recipe)),
        design_(design_of(brief, unknowns_, proposal.recipe, nullptr)),
        line_(linearise(brief, unknowns_, design_, fermentation_)),
        terms_(loss_terms(demands_, design_, unknowns_, line_.value)),
        loss_(loss_of(demands_, design_, unknowns_, line_.value)) {}

  Reasons run(const ReasonOptions& options) {
    Reasons reasons;
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
      if (design_.amount_kg[v] > 1e-9) reasons.one_more.push_back(one_more(static_cast<int>(v)));
    }
    reasons.left_out = left_out(options);
    return reasons;
  }

 private:
  // A hundred grams of grain, ten where there is less than half a kilogram of it, a gram of hops, food, salt or acid, a tenth of a litre of water; ten times as much beyond 60 L.
  double step_kg(int v) const {
    const Variable& variable = unknowns_.variables[v];
    const double scale = line_.value[static_cast<int>(Gauge::volume_l)] > 60.0 ? 10.0 : 1.0;
    if (variable.supply < 0) return 0.1 * scale;
    switch (unknowns_.supplies[variable.supply]->ingredient.kind) {
      case IngredientKind::malt:
      case IngredientKind::adjunct:
      case IngredientKind::sugar: return (design_.amount_kg[v] < 0.5 * scale ? 0.01 : 0.1) * scale;
      default: return 0.001 * scale;
    }
  }

  OneMore one_more(int v) const {
    const Variable& variable = unknowns_.variables[v];
    const Port& port = unknowns_.ports[variable.port];
    OneMore more;
    more.ingredient = variable.supply < 0 ? "water" : unknowns_.supplies[variable.supply]->ingredient.name;
    more.ingredient_id = variable.supply < 0 ? "water" : unknowns_.supplies[variable.supply]->ingredient.id;
    more.route = route_of(port);
    more.minutes_before_boil_end = port.minutes_before_boil_end;
    more.step_kg = step_kg(v);
    const auto change = [&](Gauge gauge) { return line_.per_kg[static_cast<int>(gauge)][v] * more.step_kg; };
    more.original_gravity_sg = change(Gauge::original_gravity);
    more.final_gravity_sg = change(Gauge::final_gravity);
    more.abv_percent = change(Gauge::alcohol);
    more.bitterness_ibu = change(Gauge::bitterness);
    more.colour_ebc = change(Gauge::colour);
    more.mash_ph = change(Gauge::mash_ph);
    more.volume_l = change(Gauge::volume_l);
    Design then = design_;
    then.amount_kg[v] += more.step_kg;
    const auto after =
        loss_terms(demands_, then, unknowns_, gauges_of(forecast_of(brief_, unknowns_, then, fermentation_)));
    for (std::size_t t = 0; t < after.size(); ++t) more.points += after[t].points - terms_[t].points;
    const auto worst = dearest_rise(terms_, after);
    if (worst && worst->kind != Kind::money && worst->kind != Kind::use) more.hurts = words_of(*worst);
    return more;
  }

  // Which term grew most from the recipe to another; none if none grew by anything worth a name.
  static std::optional<LossTerm> dearest_rise(const std::vector<LossTerm>& before, const std::vector<LossTerm>& after) {
    std::optional<LossTerm> worst;
    for (std::size_t t = 0; t < after.size(); ++t) {
      const double rise = after[t].points - before[t].points;
      if (rise >= worth_naming && (!worst || rise > worst->points)) worst = {after[t].kind, after[t].index, rise};
    }
    return worst;
  }
  std::string words_of(const LossTerm& term) const { return term_words(demands_, unknowns_, term); }

  // --- what was left out ---

  // The least that would be worth opening the bag for.
  double tried_kg(int s) const {
    const double least = demands_.least_kg[s];
    double step = 0.0;
    for (int v : unknowns_.variables_of_supply[s]) step = std::max(step, unknowns_.variables[v].step_kg);
    double kg = std::max(least, 5.0 * step);
    if (unknowns_.supplies[s]->amount) kg = std::min(kg, unknowns_.supplies[s]->amount->in(kilogram));
    return std::max(step, std::ceil(kg / step - 1e-9) * step);
  }

  bool limit_reached(IngredientKind kind) const {
    int malts = 0, hops = 0;
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      if (!is_used(design_, unknowns_, s)) continue;
      const IngredientKind other = unknowns_.supplies[s]->ingredient.kind;
      malts += limited_as_malt(other) ? 1 : 0;
      hops += other == IngredientKind::hop ? 1 : 0;
    }
    if (limited_as_malt(kind)) return malts >= brief_.most_malts;
    return kind == IngredientKind::hop && hops >= brief_.most_hops;
  }

  // The core at the recipe, its ingredients kept, and one more of them if `s` is one: how its terms would stand.
  std::optional<std::vector<LossTerm>> rebalanced(const CoreBuilder& builder, LinearCore core, int s) const {
    if (s >= 0) {
      std::vector<std::pair<int, double>> amounts;
      for (int v : unknowns_.variables_of_supply[s]) amounts.emplace_back(v, unknowns_.variables[v].step_kg);
      core.add_row(tried_kg(s), unlimited, std::move(amounts));
      core.columns[builder.use_column(s)].low = core.columns[builder.use_column(s)].high = 1.0;
      for (std::size_t m = 0; m < demands_.moments.size(); ++m) {
        if (unknowns_.variables[demands_.moments[m].variable].supply == s)
          core.columns[builder.moment_column(m)].high = 1.0;
      }
    }
    const CoreAnswer answer = solve_relaxed(core);
    if (answer.value.empty()) return std::nullopt;
    const Design then = builder.design_from(answer.value);
    auto gauges = line_.value;
    for (int g = 0; g < gauge_count; ++g) {
      for (std::size_t v = 0; v < then.amount_kg.size(); ++v)
        gauges[g] += line_.per_kg[g][v] * (then.amount_kg[v] - design_.amount_kg[v]);
      gauges[g] += line_.per_kelvin_of_rest[g] * (then.rest_temperature_c - design_.rest_temperature_c);
    }
    return loss_terms(demands_, then, unknowns_, gauges);
  }

  struct Trial {
    int supply = 0;
    double points = 0.0;
    double promise = 0.0;  // the same, if another malt or hop made room
    std::vector<LossTerm> before, after;
  };

  std::vector<Trial> trials() const {
    const CoreBuilder builder(unknowns_, demands_, Exactness::weighable);
    LinearCore core = builder.build(line_, design_, unlimited);
    builder.keep_ingredients(core, design_);
    const auto before = rebalanced(builder, core, -1).value_or(terms_);
    std::vector<Trial> list;
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      if (is_used(design_, unknowns_, s)) continue;
      Trial trial{s, 0.0, 0.0, before, rebalanced(builder, core, s).value_or(before)};
      for (std::size_t t = 0; t < before.size(); ++t) {
        const double rise = trial.after[t].points - before[t].points;
        trial.points += rise;
        trial.promise += is_limit(before[t]) ? 0.0 : rise;
      }
      list.push_back(std::move(trial));
    }
    std::stable_sort(list.begin(), list.end(), [](const Trial& a, const Trial& b) { return a.promise < b.promise; });
    return list;
  }

  bool is_limit(const LossTerm& term) const {
    if (term.kind != Kind::demand) return false;
    const Member::Kind kind = demands_.members[demands_.elastics[term.index].member].kind;
    return kind == Member::Kind::most_malts || kind == Member::Kind::most_hops;
  }

  std::vector<LeftOut> left_out(const ReasonOptions& options) const {
    std::vector<LeftOut> all;
    int checked = 0;
    for (const Trial& trial : trials()) {
      all.push_back(checked < options.most_checked ? composed_with(trial.supply) : from_slopes(trial));
      ++checked;
    }
    for (const Supply* yeast : yeasts_of(brief_)) {
      if (yeast != fermentation_.yeast) all.push_back(with_yeast(*yeast));
    }
    std::stable_sort(all.begin(), all.end(), [](const LeftOut& a, const LeftOut& b) { return a.points < b.points; });
    return all;
  }

  LeftOut named(const larder::Ingredient& ingredient, double kg) const {
    LeftOut out;
    out.ingredient = ingredient.name;
    out.ingredient_id = ingredient.id;
    out.tried_kg = kg;
    return out;
  }

  LeftOut from_slopes(const Trial& trial) const {
    const auto& ingredient = unknowns_.supplies[trial.supply]->ingredient;
    LeftOut out = named(ingredient, tried_kg(trial.supply));
    out.points = trial.points;
    explain(out, trial.before, trial.after, ingredient.kind, nullptr);
    return out;
  }

  // The best recipe with it: composed again, from this one, with at least so much of it.
  LeftOut composed_with(int s) const {
    LeftOut out = named(unknowns_.supplies[s]->ingredient, tried_kg(s));
    Demands forced = demands_;
    forced.elastics.push_back(held_at(unknowns_, s, out.tried_kg, 1e9));
    const Found found = search(brief_, unknowns_, forced, fermentation_, Exactness::weighable, &design_);
    finish(out, found, unknowns_.supplies[s]->ingredient.kind);
    return out;
  }

  LeftOut with_yeast(const Supply& yeast) const {
    Fermentation other = ferment_with(brief_, &yeast);
    Found found = search(brief_, unknowns_, demands_, other, Exactness::weighable, &design_);
    pitch_for_the_wort(brief_, unknowns_, demands_, found, other);
    LeftOut out = named(yeast.ingredient, other.pitched_kg);
    finish(out, found, IngredientKind::yeast);
    return out;
  }

  void finish(LeftOut& out, const Found& found, IngredientKind kind) const {
    const auto after = loss_terms(demands_, found.design, unknowns_, found.gauges);
    out.checked = true;
    out.points = loss_of(demands_, found.design, unknowns_, found.gauges) - loss_;
    explain(out, terms_, after, kind, &found.design);
  }

  std::string replaced(const Design& then, IngredientKind kind) const {
    for (int s = 0; s < static_cast<int>(unknowns_.supplies.size()); ++s) {
      const auto& ingredient = unknowns_.supplies[s]->ingredient;
      const bool same_limit = limited_as_malt(kind) ? limited_as_malt(ingredient.kind) : ingredient.kind == kind;
      if (same_limit && is_used(design_, unknowns_, s) && !is_used(then, unknowns_, s)) return ingredient.name;
    }
    return {};
  }

  void explain(LeftOut& out, const std::vector<LossTerm>& before, const std::vector<LossTerm>& after,
               IngredientKind kind, const Design* then) const {
    using Cause = LeftOut::Cause;
    if (out.points <= no_worse) {
      out.cause = Cause::no_worse;
      out.reason = "a recipe with it is as good; one of the two had to be taken";
      return;
    }
    const bool full = limit_reached(kind);
    const auto worst = dearest_rise(before, after);
    const std::string in_place_of = then != nullptr && full ? replaced(*then, kind) : "";
    if (full && (then == nullptr || !in_place_of.empty())) {
      out.cause = Cause::limit;
      out.reason = limited_as_malt(kind) ? fmt::format("{} malts and grains are the limit", brief_.most_malts)
                                         : fmt::format("{} hops are the limit", brief_.most_hops);
      if (!in_place_of.empty()) out.reason += fmt::format(", and in place of {} it serves less well", in_place_of);
      return;
    }
    if (!worst || worst->kind == Kind::use) {
      out.cause = Cause::not_needed;
      out.reason = kind == IngredientKind::yeast ? "it ferments no nearer to the wishes"
                                                 : "nothing it brings is missing; it would be one more thing to weigh";
      return;
    }
    if (worst->kind == Kind::money || worst->kind == Kind::packet) {
      out.cause = Cause::money;
      out.reason = "it costs more than it mends";
      return;
    }
    out.cause = Cause::hurts;
    out.reason = worst->kind == Kind::edge ? fmt::format("it pushes {} towards the edge of its range", words_of(*worst))
                                           : fmt::format("it goes against \"{}\"", words_of(*worst));
  }

  const Brief& brief_;
  const Unknowns unknowns_;
  const Demands demands_;
  const Fermentation fermentation_;
  const Design design_;
  const Linearisation line_;
  const std::vector<LossTerm> terms_;
  const double loss_;
};

}  // namespace

Reasons reasons_of(const Brief& brief, const Proposal& proposal, const ReasonOptions& options) {
  if (proposal.recipe.amounts.empty()) return {};
  return Reasoner(brief, proposal).run(options);
}

std::string_view cause_name(LeftOut::Cause cause) {
  switch (cause) {
    case LeftOut::Cause::not_needed: return "not-needed";
    case LeftOut::Cause::hurts: return "hurts";
    case LeftOut::Cause::limit: return "limit";
    case LeftOut::Cause::money: return "money";
    case LeftOut::Cause::no_worse: return "no-worse";
  }
  return "";
}

}  // namespace oddgrist::compose

#include "suite/multistart.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <nlopt.h>

#include "compose/core_builder.hpp"
#include "generated_briefs.hpp"

namespace oddgrist::bench {
namespace {

using namespace compose;
using Kind = larder::IngredientKind;

constexpr int most_evaluations = 3000;  // of one start

// The brief with a few of its ingredients: the same loss for a recipe of those, and cheap to evaluate.
Brief part_of(const Brief& brief, generated::Luck& luck) {
  Brief part = brief;
  part.have.clear();
  const auto allowed = [&](Kind kind) {
    int used = 0;
    for (const auto* list : {&part.given, &part.have}) {
      for (const Supply& supply : *list) {
        const Kind other = supply.ingredient.kind;
        const bool malt = kind == Kind::malt || kind == Kind::adjunct;
        used += malt ? (other == Kind::malt || other == Kind::adjunct) : other == kind;
      }
    }
    if (kind == Kind::malt || kind == Kind::adjunct) return brief.most_malts - used;
    if (kind == Kind::hop) return brief.most_hops - used;
    if (kind == Kind::salt || kind == Kind::acid) return 2 - used;
    return 1 - used;
  };
  std::vector<const Supply*> order;
  for (const Supply& supply : brief.have) order.push_back(&supply);
  for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[luck.below(static_cast<int>(i))]);
  // A grist begins with a malt that has enzymes.
  const auto base = std::find_if(order.begin(), order.end(), [](const Supply* supply) {
    return supply->ingredient.malt && supply->ingredient.malt->diastatic_power_wk > 150.0;
  });
  if (base != order.end()) std::rotate(order.begin(), base, base + 1);
  for (const Supply* supply : order) {
    const Kind kind = supply->ingredient.kind;
    if (kind == Kind::yeast) continue;
    const bool wanted = supply == order.front() || luck.chance(kind == Kind::sugar || kind == Kind::food ? 0.2 : 0.6);
    if (wanted && allowed(kind) > 0) part.have.push_back(*supply);
  }
  return part;
}

// One start: the amounts are counted in ordinary changes of them (Demands::usual_kg), the rest temperature in steps.
class Start {
 public:
  Start(const Task& task, Brief part, double until_ms)
      : brief_(std::move(part)),
        unknowns_(unknowns_of(brief_)),
        demands_(demands_of(brief_, unknowns_)),
        fermentation_(task.fermentation),
        until_ms_(until_ms) {}

  double run(generated::Luck& luck, nlopt_algorithm algorithm) {
    std::vector<double> x = guess(luck), low(x.size(), 0.0), high;
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) high.push_back(most(v) / demands_.usual_kg[v]);
    high.push_back((demands_.rest_high_c - demands_.rest_low_c) / rest_step_k);
    for (std::size_t i = 0; i < x.size(); ++i) x[i] = std::clamp(x[i], low[i], high[i]);
    const std::unique_ptr<nlopt_opt_s, void (*)(nlopt_opt)> opt(
        nlopt_create(algorithm, static_cast<unsigned>(x.size())), nlopt_destroy);
    opt_ = opt.get();
    nlopt_set_min_objective(
        opt_,
        [](unsigned n, const double* at, double*, void* self) {
          return static_cast<Start*>(self)->loss(std::vector<double>(at, at + n));
        },
        this);
    nlopt_set_lower_bounds(opt_, low.data());
    nlopt_set_upper_bounds(opt_, high.data());
    nlopt_set_maxeval(opt_, most_evaluations);
    nlopt_set_ftol_rel(opt_, 1e-5);
    nlopt_set_initial_step1(opt_, 0.25);
    double best = 0.0;
    nlopt_optimize(opt_, x.data(), &best);
    return stepped(x);
  }

 private:
  double most(std::size_t v) const {
    const int supply = unknowns_.variables[v].supply;
    if (supply < 0) return 12.0 * demands_.usual_kg[v];
    const auto& amount = unknowns_.supplies[supply]->amount;
    return amount ? amount->in(kilogram) : demands_.most_kg[supply];
  }
  std::vector<double> guess(generated::Luck& luck) const {
    std::vector<double> x(unknowns_.variables.size() + 1, 0.0);
    for (std::size_t v = 0; v < unknowns_.variables.size(); ++v) {
      const Variable& variable = unknowns_.variables[v];
      if (variable.supply < 0) {
        x[v] = v == 0 ? luck.between(2.2, 3.2) : 0.0;
        continue;
      }
      const Supply& supply = *unknowns_.supplies[variable.supply];
      const auto moments = static_cast<double>(unknowns_.variables_of_supply[variable.supply].size());
      x[v] = luck.between(0.0, 1.0) / moments;
      if (supply.must)
        x[v] = 0.5 * (supply.must->low.in(kilogram) + supply.must->high.in(kilogram)) / moments / demands_.usual_kg[v];
    }
    x.back() = luck.between(0.0, 1.0) * (demands_.rest_high_c - demands_.rest_low_c) / rest_step_k;
    return x;
  }
  Design design_of(const std::vector<double>& x) const {
    Design design;
    for (std::size_t v = 0; v + 1 < x.size(); ++v) {
      const double kg = x[v] * demands_.usual_kg[v];
      design.amount_kg.push_back(kg < 0.5 * unknowns_.variables[v].step_kg ? 0.0 : kg);
    }
    design.rest_temperature_c = demands_.rest_low_c + x.back() * rest_step_k;
    return design;
  }
  double loss(const Design& design) {
    const double found =
        loss_of(demands_, design, unknowns_, gauges_of(forecast_of(brief_, unknowns_, design, fermentation_)));
    return std::isfinite(found) ? found : 1e9;
  }
  double loss(const std::vector<double>& x) {
    if (busy_ms() > until_ms_) nlopt_force_stop(opt_);
    return loss(design_of(x));
  }
  // Whole steps of the scale: rounded, then each amount a step up or down or left out, as long as that helps.
  double stepped(const std::vector<double>& x) {
    Design design = design_of(x);
    for (std::size_t v = 0; v < design.amount_kg.size(); ++v)
      design.amount_kg[v] =
          std::round(design.amount_kg[v] / unknowns_.variables[v].step_kg) * unknowns_.variables[v].step_kg;
    design.rest_temperature_c = demands_.rest_low_c + std::round(x.back()) * rest_step_k;
    double best = loss(design);
    for (bool better = true; better && busy_ms() < until_ms_;) {
      better = false;
      for (std::size_t v = 0; v < design.amount_kg.size(); ++v) {
        const double now = design.amount_kg[v], step = unknowns_.variables[v].step_kg;
        double chosen = now;
        for (const double other :
             {now + step, now + 5.0 * step, std::max(0.0, now - step), std::max(0.0, now - 5.0 * step), 0.0}) {
          if (other == now) continue;
          design.amount_kg[v] = other;
          const double then = loss(design);
          if (then < best - 1e-9) best = then, chosen = other, better = true;
        }
        design.amount_kg[v] = chosen;
      }
    }
    return best;
  }

  Brief brief_;
  Unknowns unknowns_;
  Demands demands_;
  Fermentation fermentation_;
  double until_ms_;
  nlopt_opt opt_ = nullptr;
};

}  // namespace

Multistart multistart(const Task& task, double equal_ms, double longer_ms) {
  generated::Luck luck(7u);
  Multistart result;
  const double began = busy_ms();
  double best = std::numeric_limits<double>::infinity();
  result.equal.loss = best;
  result.equal.ms = equal_ms;
  while (busy_ms() - began < longer_ms) {
    const bool early = busy_ms() - began < equal_ms;
    Start start(task, part_of(task.brief, luck), began + (early ? equal_ms : longer_ms));
    best = std::min(best, start.run(luck, result.starts % 2 == 0 ? NLOPT_LN_SBPLX : NLOPT_LN_COBYLA));
    if (early) result.equal.loss = best;
    ++result.starts;
  }
  result.longer.ms = busy_ms() - began;
  result.longer.loss = best;
  return result;
}

}  // namespace oddgrist::bench

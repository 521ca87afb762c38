#include "compose/yeast_choice.hpp"

#include <algorithm>
#include <cmath>

#include "quantity/gravity.hpp"
#include "science/pitching.hpp"

namespace oddgrist::compose {
namespace {

double needed_yeast_kg(const larder::YeastTraits& yeast, double volume_l, double gravity_sg) {
  const auto& rate = yeast.lager ? science::pitch_rate_lager : science::pitch_rate_ale;
  return science::pitch_cells(rate.usual, volume_l, science::plato_from_specific_gravity_asbc(gravity_sg)) /
         yeast.cells_per_kg;
}

// As much as the wort wants, to half a gram, and no more than there is.
double pitched_kg(const Supply& supply, double volume_l, double gravity_sg) {
  const double wanted = std::ceil(needed_yeast_kg(*supply.ingredient.yeast, volume_l, gravity_sg) * 2000.0) / 2000.0;
  return supply.amount ? std::min(wanted, supply.amount->in(kilogram)) : wanted;
}

}  // namespace

std::vector<const Supply*> yeasts_of(const Brief& brief) {
  std::vector<const Supply*> yeasts;
  for (const Supply& supply : brief.given) {
    if (supply.ingredient.yeast) yeasts.push_back(&supply);
  }
  if (!yeasts.empty()) return yeasts;  // a yeast that was given is the yeast
  for (const Supply& supply : brief.have) {
    if (supply.ingredient.yeast) yeasts.push_back(&supply);
  }
  return yeasts;
}

Fermentation ferment_with(const Brief& brief, const Supply* supply) {
  Fermentation fermentation;
  if (supply == nullptr) return fermentation;
  double volume_l = 10.0, gravity_sg = 1.050;
  for (const Wish& wish : brief.wishes) {
    const double middle = 0.5 * (wish.low + wish.high);
    if (wish.measure == Measure::volume) volume_l = middle;
    if (wish.measure == Measure::original_gravity) gravity_sg = middle;
    if (wish.measure == Measure::alcohol) gravity_sg = 1.0 + 0.0077 * middle;
  }
  fermentation.yeast = supply;
  fermentation.how = {*supply->ingredient.yeast, brief.ferment_at.in(celsius)};
  fermentation.pitched_kg = pitched_kg(*supply, volume_l, gravity_sg);
  return fermentation;
}

void pitch_for_the_wort(const Brief& brief, const Unknowns& unknowns, const Demands& demands, Found& found,
                        Fermentation& fermentation) {
  if (fermentation.yeast == nullptr) return;
  fermentation.pitched_kg = pitched_kg(*fermentation.yeast, found.gauges[static_cast<int>(Gauge::volume_l)],
                                       found.gauges[static_cast<int>(Gauge::original_gravity)]);
  found.gauges = gauges_of(forecast_of(brief, unknowns, found.design, fermentation));
  found.loss = loss_of(demands, found.design, unknowns, found.gauges);
  found.bound = std::min(found.bound, found.loss);
}

}  // namespace oddgrist::compose

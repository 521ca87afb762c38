#include "process/way.hpp"

#include <algorithm>
#include <cmath>

#include "process/kit.hpp"

namespace oddgrist::process {

std::optional<Way> way_named(std::string_view id) {
  const auto* row = std::find_if(ways.begin(), ways.end(), [&](const WayRow& each) { return each.id == id; });
  if (row == ways.end()) return std::nullopt;
  return row->way;
}

bool is_malt_extract(const larder::Ingredient& ingredient) {
  return ingredient.ingredient_class == larder::IngredientClass::malt_extract ||
         (ingredient.kind == larder::IngredientKind::sugar && ingredient.id.find("malt-extract") != std::string::npos);
}

bool is_grain(const larder::Ingredient& ingredient) {
  return ingredient.kind == larder::IngredientKind::malt || ingredient.kind == larder::IngredientKind::adjunct;
}

bool needs_mash(const larder::Ingredient& ingredient) {
  return is_grain(ingredient) && (!ingredient.malt || ingredient.malt->needs_mash);
}

bool takes(std::optional<Way> way, const larder::Ingredient& ingredient) {
  if (!way) return true;
  switch (*way) {
    case Way::extract: return !is_grain(ingredient);
    case Way::steep: return !needs_mash(ingredient);
    case Way::no_malt: return !is_grain(ingredient) && !is_malt_extract(ingredient);
    default: return true;
  }
}

namespace {

constexpr double reference_kettle_l = 16.0;  // of which Kit's own figures are

}  // namespace

Kit usual_kit(Volume kettle) {
  Kit kit;
  const double times = kettle.in(litre) / reference_kettle_l;
  const double by_surface = std::cbrt(times * times);
  kit.kettle = kettle;
  kit.kettle_loss = times * kit.kettle_loss;
  kit.fermenter_loss = times * kit.fermenter_loss;
  kit.boil_off = by_surface * kit.boil_off;
  kit.kettle_heat_kj_per_k *= by_surface;
  return kit;
}

// Small pots boil off and hold back more for their size.
Volume usual_kettle_for(Volume beer) {
  const double litres = beer.in(litre);
  const double tenths = litres / 10.0;
  const double room = std::max(1.6 * litres, litres + 6.0 * std::cbrt(tenths * tenths));
  return std::ceil(2.0 * room - 1e-9) / 2.0 * litre;
}

}  // namespace oddgrist::process

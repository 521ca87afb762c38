#include "files/overrides.hpp"

#include <algorithm>

#include "files/yeast_overrides.hpp"
#include "larder/catalogue.hpp"
#include "science/colour.hpp"
#include "science/hop_storage.hpp"

namespace oddgrist::files {
namespace {

using larder::Component;
using larder::Ingredient;
using larder::IngredientKind;

constexpr std::string_view brewers_word = "the brewer's own figure";

void keep_spread(Ingredient& ingredient, std::string_view figure, double low, double high) {
  std::erase_if(ingredient.spreads, [&](const larder::Spread& spread) { return spread.figure == figure; });
  ingredient.spreads.push_back(larder::Spread{std::string(figure), low, high, std::string(brewers_word)});
}

// The leaf makes room for the alpha acid, so that the fractions still sum to 1.
void set_alpha(Ingredient& hop, double low, double high) {
  const double usual = 0.5 * (low + high);
  hop.composition[Component::solids] -= usual - hop.composition[Component::alpha_acid];
  hop.composition[Component::alpha_acid] = usual;
  larder::HopTraits traits = hop.hop.value_or(larder::HopTraits{});
  traits.alpha_low = low;
  traits.alpha_high = high;
  hop.hop = traits;
  keep_spread(hop, "alpha-acid", low, high);
}

// What is neither water nor husk grows or shrinks in proportion; the husk takes the difference. False if there is no room.
bool set_extract(Ingredient& malt, double low, double high) {
  const double before = larder::extract_of(malt.composition);
  if (before <= 0.0) return false;
  const double factor = 0.5 * (low + high) / before;
  double others = 0.0;
  larder::Composition changed = malt.composition;
  for (std::size_t i = 0; i < larder::component_count; ++i) {
    if (i == larder::index(Component::solids)) continue;
    if (i != larder::index(Component::water)) changed.mass_fraction[i] *= factor;
    others += changed.mass_fraction[i];
  }
  if (others > 1.0) return false;
  changed[Component::solids] = 1.0 - others;
  malt.composition = changed;
  keep_spread(malt, "extract", low, high);
  return true;
}

bool takes_extract(const Ingredient& ingredient) {
  return ingredient.kind == IngredientKind::malt || ingredient.kind == IngredientKind::adjunct ||
         ingredient.kind == IngredientKind::sugar;
}

void refuse_for_kind(TableReader& entry, std::string_view key, std::string_view belongs_to) {
  entry.report(entry.place_of(key), key, fmt::format("{}: this ingredient has none", entry.field(key)),
               fmt::format("Only {} may say so; leave it out", belongs_to));
}

void read_alpha(TableReader& entry, Ingredient* ingredient) {
  const Limits<FractionKind> limits{0.0 * percent, 30.0 * percent, "from 0 % to 30 %"};
  const auto alpha = entry.range<FractionKind>("alpha", limits, "3 %");
  if (ingredient == nullptr) return;
  if (alpha && ingredient->kind != IngredientKind::hop) {
    refuse_for_kind(entry, "alpha", "hops");
  } else if (alpha) {
    set_alpha(*ingredient, alpha->low.in(ratio), alpha->high.in(ratio));
  }
}

// Hops lose alpha acid in store. How fast depends on variety and packing, both unknown here: the range grows wider at the low end.
void read_age(TableReader& entry, Ingredient* ingredient) {
  const Limits<DurationKind> age_limits{0.0 * day, 3650.0 * day, "from 0 days to 10 years"};
  const Limits<TemperatureKind> store_limits{-30.0 * celsius, 40.0 * celsius, "from -30 °C to 40 °C"};
  const auto age = entry.quantity<DurationKind>("aged", age_limits, "300 days");
  const auto kept_at = entry.quantity<TemperatureKind>("kept-at", store_limits, "18 °C");
  if (ingredient == nullptr || (!age && !kept_at)) return;
  const std::string_view key = age ? "aged" : "kept-at";
  if (ingredient->kind != IngredientKind::hop || !ingredient->hop) {
    refuse_for_kind(entry, key, "hops");
  } else if (!age) {
    entry.report(entry.place_of(key), key, fmt::format("{} needs aged beside it", entry.field(key)),
                 "Say how long, aged = \"300 days\"");
  } else {
    const double store_c = kept_at ? kept_at->in(celsius) : 20.0;
    const science::HopAlphaRange fresh{ingredient->hop->alpha_low, ingredient->hop->alpha_high};
    const science::HopAlphaRange left = science::home_dried_alpha_left(fresh, store_c, age->in(day));
    set_alpha(*ingredient, left.low, left.high);
  }
}

}  // namespace

void read_overrides(TableReader& entry, Ingredient* ingredient) {
  read_alpha(entry, ingredient);
  read_age(entry, ingredient);
  read_yeast_overrides(entry, ingredient);
  const auto colour = entry.range<ColourKind>("colour", {0.0 * ebc, 2000.0 * ebc, "from 0 EBC to 2000 EBC"}, "8 EBC");
  const auto extract =
      entry.range<FractionKind>("extract", {1.0 * percent, 100.0 * percent, "from 1 % to 100 %"}, "78 %");
  if (ingredient == nullptr) return;
  if (colour && !takes_extract(*ingredient)) {
    refuse_for_kind(entry, "colour", "malts, grains and sugars");
  } else if (colour) {
    const double low = std::max(0.0, science::lovibond_from_malt_ebc(colour->low.in(ebc)));
    const double high = std::max(0.0, science::lovibond_from_malt_ebc(colour->high.in(ebc)));
    ingredient->composition.colour_load_per_kg = 0.5 * (low + high);
    keep_spread(*ingredient, "colour-load", low, high);
  }
  if (extract && !takes_extract(*ingredient)) {
    refuse_for_kind(entry, "extract", "malts, grains and sugars");
  } else if (extract && !set_extract(*ingredient, extract->low.in(ratio), extract->high.in(ratio))) {
    entry.report(entry.place_of("extract"), "extract",
                 fmt::format("{}: so much extract does not fit beside the ingredient's water", entry.field("extract")),
                 "Give the extract of the ingredient as it is weighed, not of its dry matter");
  }
}

}  // namespace oddgrist::files

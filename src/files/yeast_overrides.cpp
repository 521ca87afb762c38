#include "files/yeast_overrides.hpp"

#include <algorithm>

#include "science/yeast_uptake.hpp"

namespace oddgrist::files {
namespace {

using larder::Ingredient;

constexpr std::string_view keys[] = {"attenuation",    "temperature", "tolerance",
                                     "cells-per-gram", "diastatic",   "phenolic"};

void keep_spread(Ingredient& yeast, std::string_view figure, double low, double high) {
  std::erase_if(yeast.spreads, [&](const larder::Spread& spread) { return spread.figure == figure; });
  if (low < high) yeast.spreads.push_back(larder::Spread{std::string(figure), low, high, "the brewer's own figure"});
}

std::optional<bool> truth(TableReader& entry, std::string_view key) {
  const toml::node* node = entry.take(key);
  if (node == nullptr) return std::nullopt;
  if (const auto* value = node->as_boolean()) return value->get();
  entry.report(entry.place_of(*node), key, fmt::format("{} is neither true nor false", entry.field(key)),
               "Write true or false, without quotation marks");
  return std::nullopt;
}

// A yeast above the limit of attenuation eats dextrin, and that wants to be said in so many words.
void set_attenuation(TableReader& entry, Ingredient& ingredient, double low, double high) {
  larder::YeastTraits& yeast = *ingredient.yeast;
  if (!yeast.diastatic && 0.5 * (low + high) > science::packet_wort_limit()) {
    entry.report(entry.place_of("attenuation"), "attenuation",
                 fmt::format("{}: no yeast goes beyond {:.0f} % in ordinary wort unless it eats dextrin",
                             entry.field("attenuation"), 100.0 * science::packet_wort_limit()),
                 "Add diastatic = true if its packet says so, or correct the figure");
    return;
  }
  const auto least = science::uptakes_of_attenuation(low), most = science::uptakes_of_attenuation(high),
             usual = science::uptakes_of_attenuation(0.5 * (low + high));
  yeast.attenuation_low = low;
  yeast.attenuation_high = high;
  yeast.maltose_uptake = usual.maltose;
  yeast.maltotriose_uptake = usual.maltotriose;
  yeast.dextrin_uptake = yeast.diastatic ? usual.dextrin : 0.0;
  keep_spread(ingredient, "maltose-uptake", least.maltose, most.maltose);
  keep_spread(ingredient, "maltotriose-uptake", least.maltotriose, most.maltotriose);
  keep_spread(ingredient, "dextrin-uptake", yeast.diastatic ? least.dextrin : 0.0,
              yeast.diastatic ? most.dextrin : 0.0);
}

}  // namespace

void read_yeast_overrides(TableReader& entry, Ingredient* ingredient) {
  const auto attenuation =
      entry.range<FractionKind>("attenuation", {5.0 * percent, 100.0 * percent, "from 5 % to 100 %"}, "78 %");
  const auto temperature =
      entry.range<TemperatureKind>("temperature", {0.0 * celsius, 45.0 * celsius, "from 0 °C to 45 °C"}, "18 °C");
  const auto tolerance =
      entry.quantity<FractionKind>("tolerance", {1.0 * percent, 25.0 * percent, "from 1 % to 25 %"}, "11 %");
  const auto cells = entry.number("cells-per-gram", 1e8, 1e12, "from 1e8 to 1e12");
  const auto diastatic = truth(entry, "diastatic"), phenolic = truth(entry, "phenolic");
  if (ingredient == nullptr) return;
  if (!ingredient->yeast) {
    for (const std::string_view key : keys)
      if (entry.has(key))
        entry.report(entry.place_of(key), key, fmt::format("{}: this ingredient is no yeast", entry.field(key)),
                     "Leave it out");
    return;
  }
  larder::YeastTraits& yeast = *ingredient->yeast;
  if (diastatic) {
    yeast.diastatic = *diastatic;
    if (!*diastatic) {
      yeast.dextrin_uptake = 0.0;
      keep_spread(*ingredient, "dextrin-uptake", 0.0, 0.0);
    } else if (ingredient->mind.empty()) {
      ingredient->mind =
          "Goes on eating dextrin for weeks: bottles filled too early burst. Pack only when the gravity "
          "has stood still for three weeks, in strong bottles, and keep its gear apart.";
    }
  }
  if (phenolic) yeast.phenolic = *phenolic;
  if (attenuation) set_attenuation(entry, *ingredient, attenuation->low.in(ratio), attenuation->high.in(ratio));
  if (temperature) {
    yeast.temperature_low_c = temperature->low.in(celsius);
    yeast.temperature_high_c = temperature->high.in(celsius);
  }
  if (tolerance) yeast.tolerance_abv_percent = tolerance->in(percent);
  if (cells) {
    yeast.cells_per_kg = 1000.0 * *cells;
    keep_spread(*ingredient, "cells-per-kg", 0.0, 0.0);
  }
}

}  // namespace oddgrist::files

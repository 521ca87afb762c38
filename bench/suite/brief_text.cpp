#include "suite/brief_text.hpp"

#include <fmt/format.h>

#include "science/colour.hpp"

namespace oddgrist::bench {
namespace {

using compose::Brief;
using compose::Must;
using compose::Supply;

std::string grams(Mass mass) { return fmt::format("\"{:.10g} g\"", mass.in(gram)); }

// "pale ale malt, lot 7" is like "pale ale malt".
std::string like_of(const std::string& name) {
  const auto lot = name.find(", lot ");
  return lot == std::string::npos ? std::string() : name.substr(0, lot);
}

std::string kit_text(const process::Kit& kit) {
  std::string text = "\n[kit]\n";
  const auto line = [&](const char* key, double value, const char* unit) {
    text += fmt::format("{} = \"{:.10g} {}\"\n", key, value, unit);
  };
  line("kettle", kit.kettle.in(litre), "L");
  if (kit.fermenter > 0.0 * litre) line("fermenter", kit.fermenter.in(litre), "L");
  if (kit.mash_method == process::MashMethod::sparged) text += "mash = \"sparge\"\n";
  line("boil-off", kit.boil_off.in(litre_per_hour), "L/h");
  line("boil", kit.boil.in(minute), "min");
  line("kettle-loss", kit.kettle_loss.in(litre), "L");
  line("fermenter-loss", kit.fermenter_loss.in(litre), "L");
  line("room", kit.room.in(celsius), "°C");
  if (kit.hot_stand > 0.0 * minute) {
    line("hot-stand", kit.hot_stand.in(minute), "min");
    line("hot-stand-at", kit.hot_stand_at.in(celsius), "°C");
  }
  return text;
}

struct Key {
  compose::Measure measure;
  const char* name;
  const char* unit;  // null: a plain number
};
constexpr Key keys[] = {{compose::Measure::volume, "volume", " L"},
                        {compose::Measure::original_gravity, "original-gravity", " SG"},
                        {compose::Measure::final_gravity, "final-gravity", " SG"},
                        {compose::Measure::alcohol, "alcohol", " %"},
                        {compose::Measure::bitterness, "bitterness", " IBU"},
                        {compose::Measure::colour, "colour", " EBC"},
                        {compose::Measure::mash_ph, "mash-ph", nullptr},
                        {compose::Measure::chloride, "chloride", " mg/L"},
                        {compose::Measure::sulphate, "sulphate", " mg/L"}};

std::string want_text(const Brief& brief) {
  std::string text = "\n[want]\n", matters;
  for (const compose::Wish& wish : brief.wishes) {
    for (const Key& key : keys) {
      if (key.measure != wish.measure) continue;
      text += key.unit == nullptr ? fmt::format("{} = [{:.10g}, {:.10g}]\n", key.name, wish.low, wish.high)
                                  : fmt::format("{} = [\"{:.10g}{}\", \"{:.10g}{}\"]\n", key.name, wish.low, key.unit,
                                                wish.high, key.unit);
      if (wish.weight != 1.0) matters += fmt::format("{}{} = {:g}", matters.empty() ? "" : ", ", key.name, wish.weight);
    }
  }
  if (!matters.empty()) text += fmt::format("matters = {{ {} }}\n", matters);
  text += fmt::format("most-malts = {}\nmost-hops = {}\n", brief.most_malts, brief.most_hops);
  text +=
      fmt::format("rest = [\"{:.10g} °C\", \"{:.10g} °C\"]\n", brief.rest_low.in(celsius), brief.rest_high.in(celsius));
  return text + fmt::format("carbonation = \"{:.10g} vol\"\n", brief.carbonation_volumes);
}

std::string water_text(const compose::Water& water) {
  std::string text = fmt::format("\n[[water]]\nname = \"{}\"\n", water.name);
  if (water.amount) text += fmt::format("amount = \"{:.10g} L\"\n", water.amount->in(litre));
  const auto line = [&](const char* key, double mg_per_l) {
    if (mg_per_l > 0.0) text += fmt::format("{} = \"{:.10g} mg/L\"\n", key, mg_per_l);
  };
  line("calcium", water.ions.calcium_mg_per_l);
  line("magnesium", water.ions.magnesium_mg_per_l);
  line("sodium", water.ions.sodium_mg_per_l);
  line("chloride", water.ions.chloride_mg_per_l);
  line("sulphate", water.ions.sulphate_mg_per_l);
  line("alkalinity-as-caco3", water.ions.alkalinity_meq_per_l * 50.0);
  return text;
}

std::string supply_text(const Supply& supply) {
  std::string text = fmt::format("{{item = \"{}\"", supply.ingredient.name);
  if (supply.amount) text += ", amount = " + grams(*supply.amount);
  if (supply.must) {
    switch (supply.must->sense) {
      case Must::Sense::all: break;
      case Must::Sense::at_least:
        text += fmt::format(", use = \"at least {:.10g} g\"", supply.must->low.in(gram));
        break;
      case Must::Sense::at_most:
        text += fmt::format(", use = \"at most {:.10g} g\"", supply.must->high.in(gram));
        break;
      case Must::Sense::between:
        text +=
            fmt::format(", use = \"{:.10g} g to {:.10g} g\"", supply.must->low.in(gram), supply.must->high.in(gram));
        break;
    }
  }
  if (!supply.hop_times.empty()) text += fmt::format(", times = \"{:g} min\"", supply.hop_times.front().in(minute));
  if (supply.packet) text += ", packet = " + grams(*supply.packet);
  if (supply.cost_per_kg > 0.0) text += fmt::format(", cost = {:.10g}", supply.cost_per_kg);
  return text + "},\n";
}

std::string item_text(const larder::Ingredient& ingredient) {
  std::string text = fmt::format("{{name = \"{}\", like = \"{}\"", ingredient.name, like_of(ingredient.name));
  if (ingredient.hop) {
    text += fmt::format(", alpha = [\"{:.10g} %\", \"{:.10g} %\"]", 100.0 * ingredient.hop->alpha_low,
                        100.0 * ingredient.hop->alpha_high);
  } else if (ingredient.kind == larder::IngredientKind::malt || ingredient.kind == larder::IngredientKind::adjunct) {
    text += fmt::format(", colour = \"{:.10g} EBC\"",
                        science::malt_ebc_from_lovibond(ingredient.composition.colour_load_per_kg));
  }
  return text + "},\n";
}

}  // namespace

std::string brief_text(const compose::generated::Generated& generated) {
  const Brief& brief = generated.brief;
  std::string items, given, have, waters;
  for (const auto* list : {&brief.given, &brief.have}) {
    for (const Supply& supply : *list) {
      if (!like_of(supply.ingredient.name).empty()) items += item_text(supply.ingredient);
      (list == &brief.given ? given : have) += supply_text(supply);
    }
  }
  for (const compose::Water& water : brief.waters) waters += water_text(water);
  const std::string made =
      generated.breakage.empty() ? "around a recipe that meets it" : "to be missed: " + generated.breakage;
  std::string text = fmt::format("# Made by chance, {}. See bench/suite/README.md.\nname = \"{}\"\n", made, brief.name);
  if (!items.empty()) text += "item = [\n" + items + "]\n";
  text += "given = [\n" + given + "]\nhave = [\n" + have + "]\n";
  return text + kit_text(brief.kit) + want_text(brief) + waters;
}

}  // namespace oddgrist::bench

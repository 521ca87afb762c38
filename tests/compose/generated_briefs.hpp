// Briefs made by chance, always the same for the same seed on every machine: for ./dev bench and for property tests. A brief is made
// around a recipe drawn first (the witness), so that it is known to have an answer; a broken one then gets a demand that nothing can meet.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "compose/cautions.hpp"
#include "compose/elastic.hpp"
#include "compose/search.hpp"
#include "compose/yeast_choice.hpp"
#include "generated_rows.hpp"
#include "larder/catalogue.hpp"
#include "science/colour.hpp"

namespace oddgrist::compose::generated {

// splitmix64 (G. L. Steele, D. Lea, C. H. Flood, Fast splittable pseudorandom number generators, OOPSLA 2014), since the standard
// library's distributions differ from one library to the next.
class Luck {
 public:
  explicit Luck(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  double between(double low, double high) {
    return low + (high - low) * (static_cast<double>(next() >> 11) * 0x1.0p-53);
  }
  int below(int count) { return static_cast<int>(next() % static_cast<std::uint64_t>(count)); }
  bool chance(double share) { return between(0.0, 1.0) < share; }

 private:
  std::uint64_t state_;
};

// What is asked of the generator.
struct Shape {
  std::uint64_t seed = 1;
  int candidates = 20;  // ingredients given and in the house, yeast and water aside
  double volume_l = 10.0;
  int given = 3;
  bool sparged = false;
  bool treats_water = false;  // a tap water, salts, acids and wishes for mash pH and ions
  bool broken = false;
};

struct Generated {
  Brief brief;
  Design witness;        // meets every wish of the brief before it was broken
  std::string breakage;  // empty: not broken
};

// To so many significant digits, as a person would write it.
inline double written(double value, int digits) {
  if (value == 0.0) return 0.0;
  const double unit = std::pow(10.0, std::floor(std::log10(std::abs(value))) + 1.0 - digits);
  return unit >= 1.0 ? std::round(value / unit) * unit : std::round(value / unit) / std::round(1.0 / unit);
}
inline double to_places(double value, int places) {
  const double factor = std::pow(10.0, places);
  return std::round(value * factor) / factor;
}

class Generator {
 public:
  explicit Generator(const Shape& shape) : shape_(shape), luck_(shape.seed) {}

  Generated make() {
    for (int attempt = 0; attempt < 200; ++attempt) {
      brief_ = Brief{};
      used_.clear();
      kit();
      things();
      if (refused() || !find_witness()) continue;
      Generated result{brief_, witness_, {}};
      if (shape_.broken) result.breakage = break_it(result.brief);
      return result;
    }
    throw std::runtime_error("no brief comes of seed " + std::to_string(shape_.seed));
  }

 private:
  using Kind = larder::IngredientKind;

  void kit() {
    const double v = shape_.volume_l;
    brief_.kit.kettle = 5000.0 * litre;  // set when the witness is known
    brief_.kit.mash_method = shape_.sparged ? process::MashMethod::sparged : process::MashMethod::full_volume_bag;
    brief_.kit.boil_off = written(v * luck_.between(0.06, 0.2), 2) * litre_per_hour;
    brief_.kit.kettle_loss = written(v * luck_.between(0.01, 0.05), 2) * litre;
    brief_.kit.fermenter_loss = written(v * luck_.between(0.01, 0.05), 2) * litre;
    brief_.kit.boil = (30.0 + 15.0 * luck_.below(4)) * minute;
    brief_.kit.room = (12.0 + luck_.below(14)) * celsius;
    if (luck_.chance(0.3)) {
      brief_.kit.hot_stand = (10.0 + 5.0 * luck_.below(4)) * minute;
      brief_.kit.hot_stand_at = (75.0 + luck_.below(15)) * celsius;
    }
    brief_.wishes.push_back({Measure::volume, written(0.98 * v, 3), written(1.02 * v, 3), 1.0, {}});
    brief_.rest_low = (63.0 + luck_.below(3)) * celsius;
    brief_.rest_high = (brief_.rest_low.in(celsius) + 2.0 + luck_.below(4)) * celsius;
    brief_.carbonation_volumes = to_places(luck_.between(2.0, 2.8), 1);
    if (shape_.treats_water) brief_.wishes.push_back(any_ph());  // so that salts and acids are unknowns
    if (!shape_.treats_water && luck_.chance(0.5)) return;
    Water tap;
    tap.name = "tap";
    tap.ions.calcium_mg_per_l = std::round(luck_.between(20.0, 110.0));
    tap.ions.magnesium_mg_per_l = std::round(luck_.between(2.0, 20.0));
    tap.ions.sodium_mg_per_l = std::round(luck_.between(5.0, 40.0));
    tap.ions.chloride_mg_per_l = std::round(luck_.between(8.0, 60.0));
    tap.ions.sulphate_mg_per_l = std::round(luck_.between(8.0, 90.0));
    tap.ions.alkalinity_meq_per_l = std::round(luck_.between(20.0, 200.0)) / 50.0;
    brief_.waters.push_back(tap);
    if (luck_.chance(0.3)) {
      Water rain;
      rain.name = "rain";
      rain.amount = written(shape_.volume_l * luck_.between(0.3, 1.5), 2) * litre;
      brief_.waters.push_back(rain);
    }
  }

  static Wish any_ph() { return {Measure::mash_ph, 4.5, 6.5, 1.0, {}}; }

  // A row of this kind, under its own name, or as another lot with figures of its own once the name is taken.
  larder::Ingredient row(Kind kind) {
    const auto ids = generated::ids_of(kind);
    return lot_of(*larder::catalogue().find(ids[luck_.below(static_cast<int>(ids.size()))]));
  }
  larder::Ingredient lot_of(const larder::Ingredient& known) {
    larder::Ingredient ingredient = known;
    if (used_.insert(ingredient.id).second) return ingredient;
    const std::string lot = std::to_string(used_.size());
    ingredient.also_called.clear();
    ingredient.name += ", lot " + lot;
    ingredient.id = larder::folded_name(ingredient.name);
    std::replace(ingredient.id.begin(), ingredient.id.end(), ' ', '-');
    used_.insert(ingredient.id);
    if (ingredient.hop) {
      double& alpha = ingredient.composition[larder::Component::alpha_acid];
      const double low = to_places(alpha * luck_.between(0.65, 1.0), 3), high = to_places(low * 1.15 + 0.001, 3);
      ingredient.composition[larder::Component::solids] -= 0.5 * (low + high) - alpha;
      alpha = 0.5 * (low + high);
      ingredient.hop->alpha_low = low;
      ingredient.hop->alpha_high = high;
    } else if (ingredient.kind == Kind::malt || ingredient.kind == Kind::adjunct) {
      const double ebc_usual = science::malt_ebc_from_lovibond(ingredient.composition.colour_load_per_kg);
      const double colour_ebc = to_places(std::max(0.5, ebc_usual * luck_.between(0.7, 1.4)), 1);
      ingredient.composition.colour_load_per_kg = std::max(0.0, science::lovibond_from_malt_ebc(colour_ebc));
    }
    return ingredient;
  }

  // What one would have, or get, of it, in kg for each litre of beer.
  double usual_kg_per_l(Kind kind) {
    switch (kind) {
      case Kind::malt: return luck_.between(0.02, 0.35);
      case Kind::adjunct: return luck_.between(0.01, 0.08);
      case Kind::sugar: return luck_.between(0.005, 0.06);
      case Kind::hop: return luck_.between(0.0007, 0.006);
      case Kind::salt: return luck_.between(0.0005, 0.003);
      case Kind::acid: return luck_.between(0.001, 0.004);
      default: return luck_.between(0.002, 0.02);
    }
  }
  Mass some_of(Kind kind) { return written(1000.0 * shape_.volume_l * usual_kg_per_l(kind), 2) * gram; }

  void given(Kind kind) {
    Supply supply;
    supply.ingredient = row(kind);
    const double share = kind == Kind::malt ? 0.15 : kind == Kind::hop ? 0.35 : 1.0;
    const double all_g = written(1000.0 * shape_.volume_l * usual_kg_per_l(kind) * share + 1.0, 2);
    supply.amount = all_g * gram;
    supply.must = Must{Must::Sense::all, all_g * gram, all_g * gram};
    const int sense = luck_.below(5);
    if (sense == 2) supply.must = Must{Must::Sense::at_least, written(0.4 * all_g, 2) * gram, all_g * gram};
    if (sense == 3) supply.must = Must{Must::Sense::at_most, 0.0 * kilogram, written(0.7 * all_g, 2) * gram};
    if (sense == 4)
      supply.must = Must{Must::Sense::between, written(0.2 * all_g, 2) * gram, written(0.8 * all_g, 2) * gram};
    brief_.given.push_back(std::move(supply));
  }
  void have(larder::Ingredient ingredient, bool plenty = false) {
    Supply supply;
    const Kind kind = ingredient.kind;
    supply.ingredient = std::move(ingredient);
    if (kind != Kind::salt && kind != Kind::acid && luck_.chance(0.5))
      supply.cost_per_kg = to_places(kind == Kind::hop ? luck_.between(20.0, 80.0) : luck_.between(1.2, 8.0), 1);
    if (!plenty && luck_.chance(0.75)) {
      supply.amount = some_of(kind);
    } else if (!plenty && luck_.chance(0.5)) {
      supply.packet = written(1000.0 * shape_.volume_l * (kind == Kind::hop ? 0.003 : 0.05), 1) * gram;
    }
    brief_.have.push_back(std::move(supply));
  }

  void things() {
    constexpr Kind gifts[] = {Kind::malt, Kind::food, Kind::hop, Kind::sugar, Kind::adjunct, Kind::food};
    for (int i = 0; i < shape_.given; ++i) given(i == 0 ? Kind::food : gifts[luck_.below(6)]);
    const int others = shape_.candidates - shape_.given;
    have(lot_of(*larder::catalogue().find(luck_.chance(0.6) ? "pale-ale-malt" : "pilsner-malt")), true);
    if (others > 1) have(row(Kind::hop), true);
    int left = others - 2;
    if (shape_.treats_water) {
      for (const char* id : {"lactic-acid-80", "gypsum", "calcium-chloride-dihydrate"}) {
        if (left-- > 0) have(lot_of(*larder::catalogue().find(id)), true);
      }
    }
    for (; left > 0; --left) {
      const double draw = luck_.between(0.0, 1.0);
      have(row(draw < 0.5    ? Kind::malt
               : draw < 0.77 ? Kind::hop
               : draw < 0.86 ? Kind::adjunct
               : draw < 0.95 ? Kind::sugar
                             : Kind::food));
    }
    for (const char* id : {"neutral-ale-yeast", "english-ale-yeast"}) {
      if (id[0] == 'e' && (shape_.candidates < 60 || luck_.chance(0.7))) continue;
      Supply yeast;
      yeast.ingredient = *larder::catalogue().find(id);
      brief_.have.push_back(yeast);
    }
    const auto count = [&](auto is) {
      return static_cast<int>(std::count_if(brief_.given.begin(), brief_.given.end(),
                                            [&](const Supply& s) { return is(s.ingredient.kind); }));
    };
    brief_.most_malts = count([](Kind k) { return k == Kind::malt || k == Kind::adjunct; }) + 2 + luck_.below(3);
    brief_.most_hops = count([](Kind k) { return k == Kind::hop; }) + 1 + luck_.below(2);
  }
  bool refused() const {
    const auto cautions = cautions_of_ingredients(brief_);
    return std::any_of(cautions.begin(), cautions.end(),
                       [](const Caution& caution) { return caution.severity == Severity::refuse; });
  }

  // A recipe by chance, its water set so that the volume comes out.
  Design some_recipe(const Unknowns& unknowns, const Demands& demands, const Fermentation& fermentation) {
    Design design;
    design.amount_kg.assign(unknowns.variables.size(), 0.0);
    design.rest_temperature_c = brief_.rest_low.in(celsius) + luck_.below(3);
    const auto add = [&](int supply, double kg) {
      const auto& moments = unknowns.variables_of_supply[supply];
      const int v = moments[luck_.below(static_cast<int>(moments.size()))];
      const double step = unknowns.variables[v].step_kg;
      const auto& amount = unknowns.supplies[supply]->amount;
      double steps = std::round(std::max(kg, 1.05 * demands.least_kg[supply]) / step);
      if (amount) steps = std::min(steps, std::floor(amount->in(kilogram) / step + 1e-9));
      design.amount_kg[v] = steps * step;
    };
    const int supplies = static_cast<int>(unknowns.supplies.size()),
              given_count = static_cast<int>(brief_.given.size());
    for (int s = 0; s < given_count; ++s) {
      const Must& must = *unknowns.supplies[s]->must;
      const double low_kg = must.low.in(kilogram), high_kg = must.high.in(kilogram);
      add(s, must.sense == Must::Sense::all ? high_kg : luck_.between(low_kg, high_kg));
    }
    const double v = shape_.volume_l;
    add(given_count, v * luck_.between(0.12, 0.28));
    if (supplies > given_count + 1) add(given_count + 1, v * luck_.between(0.0006, 0.003));
    for (int more = luck_.below(3); more > 0 && supplies > given_count + 2; --more) {
      const int s = given_count + 2 + luck_.below(supplies - given_count - 2);
      const Kind kind = unknowns.supplies[s]->ingredient.kind;
      add(s, v * (kind == Kind::malt ? luck_.between(0.005, 0.05) : 0.3 * usual_kg_per_l(kind)));
    }
    design.amount_kg[0] = 1.3 * v;
    for (int round = 0; round < 6; ++round) {
      const double volume_l = forecast_of(brief_, unknowns, design, fermentation).fermenter_volume_l;
      design.amount_kg[0] = std::max(0.1, std::round(10.0 * (design.amount_kg[0] + v - volume_l)) / 10.0);
    }
    return design;
  }

  bool find_witness() {
    const Unknowns unknowns = unknowns_of(brief_);
    const Demands demands = demands_of(brief_, unknowns);
    const Fermentation fermentation = ferment_with(brief_, yeasts_of(brief_).front());
    for (int attempt = 0; attempt < 40; ++attempt) {
      witness_ = some_recipe(unknowns, demands, fermentation);
      const auto forecast = forecast_of(brief_, unknowns, witness_, fermentation);
      if (!(forecast.original_gravity_sg > 1.028 && forecast.original_gravity_sg < 1.11)) continue;
      if (misses(brief_)) continue;
      const std::vector<Wish> bare = brief_.wishes;
      wish_for(forecast);
      double room_l = forecast.pre_boil_volume_hot_l;
      if (!shape_.sparged) room_l = std::max(room_l, forecast.mash_volume_hot_l);
      brief_.kit.kettle = written(room_l / 0.95 * luck_.between(1.02, 1.5) + 0.05, 3) * litre;
      if (brief_.kit.kettle.in(litre) < 4900.0 && !misses(brief_)) return true;
      brief_.wishes = bare;
      brief_.kit.kettle = 5000.0 * litre;
    }
    return false;
  }
  bool misses(const Brief& brief) const {
    const Unknowns unknowns = unknowns_of(brief);
    const Fermentation fermentation = ferment_with(brief, yeasts_of(brief).front());
    Found found;
    found.design = witness_;
    found.gauges = gauges_of(forecast_of(brief, unknowns, witness_, fermentation));
    return missed_scales(demands_of(brief, unknowns), found, unknowns) > 0.0;
  }

  void wish(Measure measure, double value, double half, int places) {
    const double middle = value + half * luck_.between(-0.6, 0.6);
    brief_.wishes.push_back({measure,
                             to_places(std::max(0.0, middle - half), places),
                             to_places(middle + half, places),
                             luck_.chance(0.2) ? 2.0 : 1.0,
                             {}});
  }
  void wish_for(const process::Forecast<double>& forecast) {
    if (luck_.chance(0.75)) {
      wish(Measure::alcohol, forecast.abv_percent, luck_.between(0.15, 0.4), 2);
    } else {
      wish(Measure::original_gravity, forecast.original_gravity_sg, luck_.between(0.0015, 0.004), 4);
    }
    if (luck_.chance(0.6)) wish(Measure::final_gravity, forecast.final_gravity_sg, luck_.between(0.0015, 0.004), 4);
    wish(Measure::bitterness, forecast.bitterness_ibu, luck_.between(1.5, 4.0), 1);
    if (luck_.chance(0.8))
      wish(Measure::colour, forecast.colour_ebc, luck_.between(1.5, 3.0) + 0.08 * forecast.colour_ebc, 1);
    if (!shape_.treats_water) return;
    std::erase_if(brief_.wishes, [](const Wish& each) { return each.measure == Measure::mash_ph; });
    if (!(forecast.mash_ph > 4.7 && forecast.mash_ph < 6.3)) {
      brief_.wishes.push_back(any_ph());
    } else {
      wish(Measure::mash_ph, forecast.mash_ph, luck_.between(0.08, 0.15), 2);
    }
    if (luck_.chance(0.6)) wish(Measure::chloride, forecast.liquor_ions_mg_per_l[3], luck_.between(12.0, 30.0), 0);
    if (luck_.chance(0.6)) wish(Measure::sulphate, forecast.liquor_ions_mg_per_l[4], luck_.between(12.0, 30.0), 0);
  }

  Wish* wish_of(Brief& brief, Measure measure) const {
    for (Wish& each : brief.wishes) {
      if (each.measure == measure) return &each;
    }
    brief.wishes.push_back({measure, 0.0, 0.0, 1.0, {}});
    return &brief.wishes.back();
  }
  // Each of these is out of reach whatever the ingredients are.
  std::string break_it(Brief& brief) {
    const double v = shape_.volume_l;
    const auto set = [&](Measure measure, double low, double high) {
      Wish* wish = wish_of(brief, measure);
      wish->low = low;
      wish->high = high;
    };
    switch (luck_.below(6)) {
      case 0:
        brief.kit.kettle = written(v * luck_.between(0.5, 0.85), 2) * litre;
        return "a kettle smaller than the beer";
      case 1:
        set(Measure::original_gravity, 1.036, 1.04);
        set(Measure::alcohol, 7.0, 7.6);
        return "more alcohol than the original gravity holds";
      case 2: {
        Supply hops;
        hops.ingredient = lot_of(*larder::catalogue().find("magnum"));
        hops.amount = written(4.0 * v, 2) * gram;
        hops.must = Must{Must::Sense::all, *hops.amount, *hops.amount};
        hops.hop_times = {brief.kit.boil};
        brief.given.push_back(std::move(hops));
        ++brief.most_hops;
        set(Measure::bitterness, 10.0, 14.0);
        return "given bitter hops, all at the start of the boil, for a mild beer";
      }
      case 3: {
        Supply roast;
        roast.ingredient = lot_of(*larder::catalogue().find("black-malt"));
        roast.amount = written(30.0 * v, 2) * gram;
        roast.must = Must{Must::Sense::all, *roast.amount, *roast.amount};
        brief.given.push_back(std::move(roast));
        ++brief.most_malts;
        set(Measure::colour, 8.0, 12.0);
        return "given black malt for a pale beer";
      }
      case 4:
        brief.kit.fermenter = written(v * luck_.between(0.6, 0.95), 2) * litre;
        return "a fermenter too small for the beer";
      default: {
        for (Supply& supply : brief.have) {
          const Kind kind = supply.ingredient.kind;
          const bool has_extract = kind != Kind::hop && kind != Kind::yeast && kind != Kind::salt && kind != Kind::acid;
          if (!has_extract) continue;
          supply.amount = written(40.0 * v / static_cast<double>(brief.have.size()) + 1.0, 2) * gram;
          supply.packet.reset();
        }
        set(Measure::alcohol, 8.5, 9.0);
        std::erase_if(brief.wishes, [](const Wish& w) {
          return w.measure == Measure::original_gravity || w.measure == Measure::final_gravity;
        });
        return "too little in the house for so strong a beer";
      }
    }
  }

  Shape shape_;
  Luck luck_;
  Brief brief_;
  Design witness_;
  std::set<std::string> used_;
};

inline Generated generate(const Shape& shape) { return Generator(shape).make(); }

}  // namespace oddgrist::compose::generated

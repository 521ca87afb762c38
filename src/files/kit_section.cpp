#include "files/kit_section.hpp"

#include "science/vapour.hpp"
#include <algorithm>
#include <iterator>
#include <utility>

namespace oddgrist::files {
namespace {

using compose::Measure;
using compose::Wish;

// What a kettle can be. Wide enough for a saucepan and a small brewery; outside it a unit has slipped.
constexpr Limits<VolumeKind> vessel_limits{0.5 * litre, 5000.0 * litre, "from 0.5 L to 5000 L"};
constexpr Limits<VolumeKind> loss_limits{0.0 * litre, 500.0 * litre, "from 0 L to 500 L"};
constexpr Limits<DurationKind> duration_limits{0.0 * minute, 300.0 * minute, "from 0 min to 300 min"};

// Stainless steel 1.4301, 20 C: 0.50 kJ/(kg K). EN 10088-1 (from memory).
constexpr double steel_kj_per_kg_k = 0.50;

// How far from a single wished value is still as wished. Volume is a share, the rest are steps a brewer can just measure or taste
// (common practice, no source).
constexpr double volume_share = 0.02;
constexpr double gravity_step_sg = 0.002;
constexpr double alcohol_step_percent = 0.2;
constexpr double bitterness_step_ibu = 2.0;
constexpr double colour_step_ebc = 2.0;
constexpr double mash_ph_step = 0.05;
constexpr double ion_step_mg_per_l = 10.0;

// What may be wished for, by key.
constexpr std::pair<std::string_view, Measure> measure_keys[] = {
    {"volume", Measure::volume},
    {"original-gravity", Measure::original_gravity},
    {"final-gravity", Measure::final_gravity},
    {"alcohol", Measure::alcohol},
    {"bitterness", Measure::bitterness},
    {"colour", Measure::colour},
    {"mash-ph", Measure::mash_ph},
    {"calcium", Measure::calcium},
    {"magnesium", Measure::magnesium},
    {"sodium", Measure::sodium},
    {"chloride", Measure::chloride},
    {"sulphate", Measure::sulphate},
};
static_assert(std::size(measure_keys) == compose::measure_count);

template <class T, class Kind>
void read_into(TableReader& reader, std::string_view key, T& into, const Limits<Kind>& limits,
               std::string_view example) {
  if (const auto value = reader.quantity<Kind>(key, limits, example)) into = *value;
}

template <class Kind>
void read_wish(TableReader& want, std::string_view key, Measure measure, Unit<Kind> unit, const Limits<Kind>& limits,
               double margin, std::string_view example, compose::Brief& brief) {
  const auto range = want.range<Kind>(key, limits, example);
  if (!range) return;
  const double give = !range->single ? 0.0 : measure == Measure::volume ? margin * range->low.in(unit) : margin;
  const double floor = measure == Measure::original_gravity ? 1.0 : measure == Measure::final_gravity ? 0.99 : 0.0;
  Wish wish;
  wish.measure = measure;
  wish.low = std::max(floor, range->low.in(unit)-give);
  wish.high = range->high.in(unit) + give;
  wish.place = want.place_of(key);
  brief.wishes.push_back(std::move(wish));
}

void read_wishes(TableReader& want, compose::Brief& brief) {
  const auto wish = [&]<class Kind>(std::string_view key, Measure measure, Unit<Kind> unit, Limits<Kind> limits,
                                    double margin, std::string_view example) {
    read_wish(want, key, measure, unit, limits, margin, example, brief);
  };
  wish("volume", Measure::volume, litre, vessel_limits, volume_share, "10 L");
  wish("original-gravity", Measure::original_gravity, specific_gravity,
       Limits<GravityKind>{1.0 * specific_gravity, 1.2 * specific_gravity, "from 1.000 to 1.200"}, gravity_step_sg,
       "1.052");
  wish("final-gravity", Measure::final_gravity, specific_gravity,
       Limits<GravityKind>{0.99 * specific_gravity, 1.1 * specific_gravity, "from 0.990 to 1.100"}, gravity_step_sg,
       "1.012");
  wish("alcohol", Measure::alcohol, percent, Limits<FractionKind>{0.0 * percent, 20.0 * percent, "from 0 % to 20 %"},
       alcohol_step_percent, "5.0 %");
  wish("bitterness", Measure::bitterness, ibu, Limits<BitternessKind>{0.0 * ibu, 150.0 * ibu, "from 0 IBU to 150 IBU"},
       bitterness_step_ibu, "28 IBU");
  wish("colour", Measure::colour, ebc, Limits<ColourKind>{0.0 * ebc, 200.0 * ebc, "from 0 EBC to 200 EBC"},
       colour_step_ebc, "22 EBC");
  for (const Measure ion :
       {Measure::calcium, Measure::magnesium, Measure::sodium, Measure::chloride, Measure::sulphate}) {
    wish(measure_keys[static_cast<std::size_t>(ion)].first, ion, milligram_per_litre,
         Limits<ConcentrationKind>{0.0 * milligram_per_litre, 1000.0 * milligram_per_litre, "from 0 mg/L to 1000 mg/L"},
         ion_step_mg_per_l, "80 mg/L");
  }
  // A pH has no unit, so it is a plain number.
  if (const auto ph = want.number_range("mash-ph", 4.5, 6.5, "from 4.5 to 6.5")) {
    const double give = ph->first < ph->second ? 0.0 : mash_ph_step;
    brief.wishes.push_back(Wish{Measure::mash_ph, ph->first - give, ph->second + give, 1.0, want.place_of("mash-ph")});
  }
}

// matters = { alcohol = 3 }: how much a wish counts beside the others, which count 1.
void read_weights(TableReader& want, compose::Brief& brief) {
  const toml::table* table = want.table("matters");
  if (table == nullptr) return;
  TableReader matters(*table, want.field("matters"), want.place().file, want.problems());
  for (const auto& [name, measure] : measure_keys) {
    const auto weight = matters.number(name, 0.1, 100.0, "from 0.1 to 100");
    if (!weight) continue;
    bool wished = false;
    for (Wish& wish : brief.wishes) {
      if (wish.measure != measure) continue;
      wish.weight = *weight;
      wished = true;
    }
    if (!wished && !want.has(name)) {
      matters.report(matters.place_of(name), name,
                     fmt::format("{} has a weight, but there is no such wish", matters.field(name)),
                     fmt::format("Add {} = ... under [want], or leave this out", name));
    }
  }
  matters.report_unknown_keys();
}

const Wish* find_wish(const compose::Brief& brief, Measure measure) {
  for (const Wish& wish : brief.wishes) {
    if (wish.measure == measure) return &wish;
  }
  return nullptr;
}

// Contradictions that no recipe could cure.
void check_wishes(TableReader& want, const compose::Brief& brief) {
  if (!want.has("volume")) {
    want.report(want.place(), "volume", "want.volume is missing: how much beer should there be in the fermenter",
                "Write it under [want] as volume = \"10 L\"");
  }
  const Wish* original = find_wish(brief, Measure::original_gravity);
  const Wish* final_gravity = find_wish(brief, Measure::final_gravity);
  if (original != nullptr && final_gravity != nullptr && final_gravity->low > original->high) {
    want.report(final_gravity->place, "final-gravity", "want.final-gravity is above want.original-gravity",
                "Fermentation only lowers the gravity; correct one of the two");
  }
}

}  // namespace

void read_kit(TableReader& kit, compose::Brief& brief) {
  process::Kit& into = brief.kit;
  brief.kit_place = kit.place();
  if (const auto name = kit.words("name")) into.name = name->text;
  const auto mash = kit.words("mash");
  if (mash && mash->text == "sparge") into.mash_method = process::MashMethod::sparged;
  if (mash && mash->text != "sparge" && mash->text != "bag") {
    kit.report(mash->place, "mash", fmt::format("kit.mash is \"{}\"", mash->text),
               "Write \"bag\" for all the water in the mash, or \"sparge\" for grain rinsed with the rest of it");
  }
  read_into(kit, "kettle", into.kettle, vessel_limits, "16 L");
  read_into(kit, "fermenter", into.fermenter, vessel_limits, "15 L");
  read_into(kit, "headspace", into.kettle_headspace,
            Limits<FractionKind>{0.0 * percent, 50.0 * percent, "from 0 % to 50 %"}, "5 %");
  read_into(kit, "boil-off", into.boil_off,
            Limits<FlowKind>{0.0 * litre_per_hour, 500.0 * litre_per_hour, "from 0 L/h to 500 L/h"}, "2.2 L/h");
  read_into(kit, "boil", into.boil, duration_limits, "60 min");
  read_into(kit, "rest-time", into.rest, duration_limits, "60 min");
  read_into(kit, "chill-time", into.flame_out_to_cold, duration_limits, "20 min");
  read_into(kit, "hot-stand", into.hot_stand, duration_limits, "20 min");
  read_into(kit, "hot-stand-at", into.hot_stand_at,
            Limits<TemperatureKind>{40.0 * celsius, 100.0 * celsius, "from 40 °C to 100 °C"}, "80 °C");
  const Limits<VolumePerMassKind> hold{0.0 * litre_per_kilogram, 30.0 * litre_per_kilogram, "from 0 L/kg to 30 L/kg"};
  read_into(kit, "grain-holds", into.held_by_grain, hold, "0.6 L/kg");
  read_into(kit, "hops-hold", into.held_by_hops, hold, "6 L/kg");
  read_into(kit, "conversion", into.conversion,
            Limits<FractionKind>{30.0 * percent, 100.0 * percent, "from 30 % to 100 %"}, "95 %");
  read_into(kit, "kettle-loss", into.kettle_loss, loss_limits, "0.5 L");
  read_into(kit, "fermenter-loss", into.fermenter_loss, loss_limits, "0.5 L");
  if (const auto weight = kit.quantity<MassKind>("kettle-weight",
                                                 {0.0 * kilogram, 1000.0 * kilogram, "from 0 kg to 1000 kg"}, "4 kg")) {
    into.kettle_heat_kj_per_k = steel_kj_per_kg_k * weight->in(kilogram);
  }
  read_into(kit, "sparge", into.sparge, loss_limits, "5 L");
  read_into(kit, "room", into.room, Limits<TemperatureKind>{-10.0 * celsius, 50.0 * celsius, "from -10 °C to 50 °C"},
            "18 °C");
  read_into(kit, "boiling-point", into.boiling_point,
            Limits<TemperatureKind>{80.0 * celsius, 103.0 * celsius, "from 80 °C to 103 °C"}, "100 °C");
  std::optional<Length> altitude;
  if (kit.has("altitude")) {
    altitude = kit.quantity<LengthKind>(
        "altitude", Limits<LengthKind>{-400.0 * metre, 5000.0 * metre, "from -400 m to 5000 m"}, "800 m");
  }
  if (altitude && kit.has("boiling-point")) {
    kit.report(kit.place_of("altitude"), "altitude", "kit.altitude and kit.boiling-point say the same thing twice",
               "Keep the one you know better");
  } else if (altitude) {
    into.boiling_point = science::water_boiling_point_at_altitude_c(altitude->in(metre)) * celsius;
  }
  if (kit.has("sparge") && into.mash_method != process::MashMethod::sparged) {
    kit.report(kit.place_of("sparge"), "sparge", "kit.sparge keeps liquor for a sparge, but the mash is in a bag",
               "Write mash = \"sparge\", or leave sparge out");
  }
  kit.report_unknown_keys();
}

void read_want(TableReader& want, compose::Brief& brief) {
  read_wishes(want, brief);
  read_weights(want, brief);
  brief.most_malts_place = want.place_of("most-malts");
  brief.most_hops_place = want.place_of("most-hops");
  if (const auto most = want.whole_number("most-malts", 1, 20)) brief.most_malts = *most;
  if (const auto most = want.whole_number("most-hops", 0, 20)) brief.most_hops = *most;
  const Limits<TemperatureKind> rest_limits{55.0 * celsius, 75.0 * celsius, "from 55 °C to 75 °C"};
  if (const auto rest = want.range<TemperatureKind>("rest", rest_limits, "66 °C")) {
    brief.rest_low = rest->low;
    brief.rest_high = rest->high;
  }
  read_into(want, "ferment-at", brief.ferment_at,
            Limits<TemperatureKind>{2.0 * celsius, 40.0 * celsius, "from 2 °C to 40 °C"}, "19 °C");
  if (const auto gas = want.quantity<CarbonationKind>(
          "carbonation", {0.0 * volumes_co2, 6.0 * volumes_co2, "from 0 vol to 6 vol"}, "2.4 vol")) {
    brief.carbonation_volumes = gas->in(volumes_co2);
  }
  const auto units = want.words("units");
  if (units && units->text == "us") brief.us_units_first = true;
  if (units && units->text != "us" && units->text != "si") {
    want.report(units->place, "units", fmt::format("want.units is \"{}\"", units->text), "Write \"si\" or \"us\"");
  }
  check_wishes(want, brief);
  want.report_unknown_keys();
}

}  // namespace oddgrist::files

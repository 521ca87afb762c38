#include "process/mash_course.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <variant>

#include <boost/math/tools/toms748_solve.hpp>
#include <fmt/format.h>

#include "science/range.hpp"

namespace oddgrist::process {
namespace {

constexpr science::Range rest_range_c{30.0, 85.0};
constexpr science::Range rest_range_minutes{0.0, 600.0};
constexpr science::Range time_constant_range_minutes{10.0, 1e6};
// Thinner than this cannot be stirred. Common practice, no source.
constexpr double least_liquor_kg_per_kg = 1.5;

// What stops a course; thrown and caught in this file.
struct Refused {
  std::string reason, remedy;
};

double heat_capacity(const MashSetting& setting, double liquor_kg) {
  return science::mash_heat_capacity_kj_per_k(setting.grist_kg, liquor_kg, setting.kettle_heat_kj_per_k, setting.heat);
}

double sum_of(const std::vector<CourseLeg>& legs, double CourseLeg::*part) {
  double sum = 0.0;
  for (const CourseLeg& leg : legs) sum += leg.*part;
  return sum;
}

// The course so far. Every leg leaves the mash at `now_c` with `capacity` kJ/K.
class CourseBuilder {
 public:
  CourseBuilder(const MashSetting& setting, double strike_liquor_kg) : setting_(setting) {
    course_.room_c = setting.room_c;
    course_.strike_liquor_kg = strike_liquor_kg;
    course_.loss_kj_per_minute_k = heat_capacity(setting, setting.liquor_kg) / setting.time_constant_minutes;
    capacity_ = heat_capacity(setting, strike_liquor_kg);
  }

  void mash_in(double rest_c) {
    const MashSetting& s = setting_;
    const double liquor_kg = course_.strike_liquor_kg;
    course_.strike_c = s.heated_in_kettle
                           ? science::strike_temperature_in_kettle_c(s.grist_kg, s.grain_c, liquor_kg,
                                                                     s.kettle_heat_kj_per_k, rest_c, s.heat)
                           : science::strike_temperature_c(s.grist_kg, s.grain_c, liquor_kg, s.kettle_heat_kj_per_k,
                                                           s.room_c, rest_c, s.heat);
    CourseLeg leg = moment(LegKind::mash_in, course_.strike_c, rest_c);
    leg.liquor_kg = liquor_kg;
    leg.liquor_c = course_.strike_c;
    const double hot_kj_per_k =
        liquor_kg * s.heat.water_kj_per_kg_k + (s.heated_in_kettle ? s.kettle_heat_kj_per_k : 0.0);
    leg.brought_kj = science::heating_energy_kj(hot_kj_per_k, s.room_c, course_.strike_c) +
                     science::heating_energy_kj(s.grist_kg * s.heat.malt_kj_per_kg_k, s.room_c, s.grain_c) +
                     s.grist_kg * s.heat.slaking_kj_per_kg;
    add(leg);
  }

  void rest(double minutes) {
    CourseLeg leg = moment(LegKind::rest, now_c_, now_c_);
    leg.minutes = minutes;
    leg.pole_c = setting_.room_c;
    if (setting_.held) {
      leg.pole_c = now_c_;
      leg.lost_kj = course_.loss_kj_per_minute_k * (now_c_ - setting_.room_c) * minutes;
      leg.heated_kj = leg.lost_kj;
    } else {
      leg.end_c = science::temperature_newton_c(now_c_, setting_.room_c, minutes, leg.time_constant_minutes);
      leg.lost_kj = science::heating_energy_kj(capacity_, leg.end_c, now_c_);
    }
    add(leg);
  }

  void infusion(double to_c) {
    const MashSetting& s = setting_;
    const double liquor_kg = science::infusion_kg(capacity_, now_c_, to_c, s.infusion_c, s.heat);
    capacity_ += liquor_kg * s.heat.water_kj_per_kg_k;
    CourseLeg leg = moment(LegKind::infusion, now_c_, to_c);
    leg.liquor_kg = liquor_kg;
    leg.liquor_c = s.infusion_c;
    leg.brought_kj = science::heating_energy_kj(liquor_kg * s.heat.water_kj_per_kg_k, s.room_c, s.infusion_c);
    add(leg);
  }

  void decoction(double to_c, std::size_t rest) {
    const double share_of_heat = science::decoction_share(now_c_, to_c, setting_.decoction_c);
    CourseLeg leg = moment(LegKind::decoction, now_c_, to_c);
    // The kettle is not pulled along, so more of the mash has to be.
    leg.share = share_of_heat * capacity_ / (capacity_ - setting_.kettle_heat_kj_per_k);
    leg.heated_kj = science::heating_energy_kj(share_of_heat * capacity_, now_c_, setting_.decoction_c);
    if (!(leg.share < 1.0)) {
      throw Refused{fmt::format("rest {} would need {:.0f} % of the mash as a decoction", rest, 100.0 * leg.share),
                    "Put a rest in between, or take another way there"};
    }
    add(leg);
  }

  void direct(double to_c, std::size_t rest) {
    const double kj_per_minute = setting_.power_kw * setting_.heater_efficiency * 60.0;
    CourseLeg leg = moment(LegKind::direct, now_c_, to_c);
    // Where heater and loss would balance.
    leg.pole_c = setting_.room_c + kj_per_minute / course_.loss_kj_per_minute_k;
    if (!(leg.pole_c > to_c)) {
      throw Refused{
          fmt::format(
              "the heater's {:.2f} kW can never bring the mash to {:.1f} °C for rest {}: the vessel loses as much",
              setting_.power_kw, to_c, rest),
          "Use more power, cover or lag the vessel, or take another way there"};
    }
    leg.minutes = leg.time_constant_minutes * std::log1p((to_c - now_c_) / (leg.pole_c - to_c));
    leg.heated_kj = kj_per_minute * leg.minutes;
    leg.lost_kj = leg.heated_kj - science::heating_energy_kj(capacity_, now_c_, to_c);
    add(leg);
  }

  [[nodiscard]] double now_c() const { return now_c_; }
  [[nodiscard]] double liquor_kg() const { return sum_of(course_.legs, &CourseLeg::liquor_kg); }
  MashCourse take() && {
    course_.stored_kj = science::heating_energy_kj(capacity_, setting_.room_c, now_c_);
    return std::move(course_);
  }

 private:
  CourseLeg moment(LegKind kind, double from_c, double to_c) const {
    CourseLeg leg;
    leg.kind = kind;
    leg.start_minute = course_.minutes();
    leg.start_c = from_c;
    leg.end_c = to_c;
    leg.pole_c = to_c;
    leg.heat_capacity_kj_per_k = capacity_;
    leg.time_constant_minutes = capacity_ / course_.loss_kj_per_minute_k;
    return leg;
  }
  void add(const CourseLeg& leg) {
    now_c_ = leg.end_c;
    course_.legs.push_back(leg);
  }

  const MashSetting& setting_;
  MashCourse course_;
  double now_c_ = 0.0;
  double capacity_ = 0.0;
};

CourseBuilder built_with(const MashSetting& setting, double strike_liquor_kg) {
  CourseBuilder builder(setting, strike_liquor_kg);
  builder.mash_in(setting.rests.front().temperature_c);
  builder.rest(setting.rests.front().minutes);
  for (std::size_t i = 1; i < setting.rests.size(); ++i) {
    const double to_c = setting.rests[i].temperature_c;
    if (!(to_c > builder.now_c())) {
      throw Refused{fmt::format("rest {} at {:.1f} °C is not above the {:.1f} °C the mash then has", i + 1, to_c,
                                builder.now_c()),
                    "Put the rests in rising order; a mash is not cooled on purpose"};
    }
    switch (setting.step) {
      case RestStep::infusion: builder.infusion(to_c); break;
      case RestStep::decoction: builder.decoction(to_c, i + 1); break;
      case RestStep::direct: builder.direct(to_c, i + 1); break;
    }
    builder.rest(setting.rests[i].minutes);
  }
  return builder;
}

// The liquor to mash in with, so that with all infusions it is the recipe's.
double strike_liquor_kg(const MashSetting& setting) {
  if (setting.step != RestStep::infusion || setting.rests.size() < 2) return setting.liquor_kg;
  const auto surplus = [&](double kg) { return built_with(setting, kg).liquor_kg() - setting.liquor_kg; };
  const double low = least_liquor_kg_per_kg * setting.grist_kg;
  if (!(low < setting.liquor_kg) || surplus(low) > 0.0) {
    throw Refused{
        fmt::format("the infusions would leave less than {:.1f} kg of water for each kilogram of grain to mash in with",
                    least_liquor_kg_per_kg),
        "Begin with a hotter rest, leave a rest out, or use direct heat or a decoction"};
  }
  std::uintmax_t steps = 100;
  const auto bracket = boost::math::tools::toms748_solve(surplus, low, setting.liquor_kg,
                                                         boost::math::tools::eps_tolerance<double>(48), steps);
  return 0.5 * (bracket.first + bracket.second);
}

void refuse_unless(bool sound, std::string reason, std::string remedy) {
  if (!sound) throw Refused{std::move(reason), std::move(remedy)};
}

bool positive(double value) { return std::isfinite(value) && value > 0.0; }

void check_rests(const MashSetting& s) {
  refuse_unless(!s.rests.empty(), "there is no rest", "Name at least one");
  for (std::size_t i = 0; i < s.rests.size(); ++i) {
    const MashRest& rest = s.rests[i];
    refuse_unless(rest_range_c.holds(rest.temperature_c),
                  fmt::format("rest {} is outside {:.0f} to {:.0f} °C", i + 1, rest_range_c.low, rest_range_c.high),
                  "No enzyme of the mash is at work there; correct the temperature");
    refuse_unless(rest_range_minutes.holds(rest.minutes),
                  fmt::format("rest {} is longer than 10 h or less than nothing", i + 1), "Correct its time");
    refuse_unless(rest.temperature_c > s.room_c, fmt::format("rest {} is colder than the room", i + 1),
                  "Correct one of the two");
  }
}

// What lifts the mash must be hotter than where it is lifted to, and no hotter than the boil.
void check_lift(const MashSetting& s, std::string_view what, double lift_c) {
  const double hottest_c = s.rests.back().temperature_c;
  refuse_unless(lift_c > hottest_c && lift_c <= s.boiling_c,
                fmt::format("{} of {:.1f} °C to lift the mash to {:.1f} °C", what, lift_c, hottest_c),
                fmt::format("It has to lie between that and the boiling point, {:.1f} °C", s.boiling_c));
}

void check(const MashSetting& s) {
  constexpr science::Range boiling_range_c{60.0, 110.0}, room_range_c{-30.0, 50.0};
  refuse_unless(positive(s.grist_kg), "there is no grain to mash", "Add a malt, or leave the mash out");
  refuse_unless(positive(s.liquor_kg), "there is no water in the mash", "Check the volumes of the brief");
  refuse_unless(boiling_range_c.holds(s.boiling_c), "the boiling point is outside 60 to 110 °C", "Correct it");
  refuse_unless(room_range_c.holds(s.room_c) && room_range_c.holds(s.grain_c),
                "the room or the grain is outside -30 to 50 °C", "Correct its temperature");
  refuse_unless(std::isfinite(s.kettle_heat_kj_per_k) && s.kettle_heat_kj_per_k >= 0.0,
                "the kettle takes up less than no heat", "Correct its weight");
  refuse_unless(time_constant_range_minutes.holds(s.time_constant_minutes), "the mash cools within minutes, or never",
                "Check the two readings: both above the room, the later one lower");
  check_rests(s);
  if (s.rests.size() < 2) return;
  if (s.step == RestStep::infusion) check_lift(s, "infusion water", s.infusion_c);
  if (s.step == RestStep::decoction) check_lift(s, "a decoction", s.decoction_c);
  if (s.step != RestStep::direct) return;
  refuse_unless(positive(s.power_kw), "direct heat needs the power of the heater", "Say it, for instance 2.5 kW");
  refuse_unless(s.heater_efficiency > 0.0 && s.heater_efficiency <= 1.0,
                "the heater gives nothing, or more than its power", "Use a share above 0 % and up to 100 %");
}

// An exponential ramp in straight pieces of about a kelvin: off by less than a hundredth of a kelvin.
void append_ramp(std::vector<science::TemperatureLeg>& legs, const CourseLeg& leg) {
  const int pieces = std::max(1, static_cast<int>(std::ceil(leg.end_c - leg.start_c)));
  const double minutes = leg.minutes / pieces;
  for (int i = 0; i < pieces; ++i) {
    legs.push_back(science::temperature_ramp(temperature_in_leg_c(leg, i * minutes),
                                             temperature_in_leg_c(leg, (i + 1) * minutes), minutes));
  }
}

std::vector<science::TemperatureLeg> temperature_legs(const MashCourse& course) {
  std::vector<science::TemperatureLeg> legs;
  for (const CourseLeg& leg : course.legs) {
    if (!(leg.minutes > 0.0)) continue;
    if (leg.kind == LegKind::direct) {
      append_ramp(legs, leg);
    } else if (leg.end_c == leg.start_c) {
      legs.push_back(science::temperature_hold(leg.start_c, leg.minutes));
    } else {
      legs.push_back(
          science::temperature_cooling(leg.start_c, std::max(leg.pole_c, 0.0), leg.time_constant_minutes, leg.minutes));
    }
  }
  return legs;
}

const larder::Spread* spread_of(const larder::Ingredient& ingredient, std::string_view figure) {
  for (const larder::Spread& spread : ingredient.spreads) {
    if (spread.figure == figure) return &spread;
  }
  return nullptr;
}

GrainAcidity acidity_of(const MashGrain& grain) {
  const larder::Ingredient& ingredient = grain.ingredient;
  GrainAcidity acidity{ingredient.name, grain.mass_kg};
  acidity.buffering_meq_per_kg_ph = 1000.0 * ingredient.composition.buffering_eq_per_kg_ph;
  acidity.ph = ingredient.composition.buffering_ph_eq_per_kg / ingredient.composition.buffering_eq_per_kg_ph;
  acidity.spread = {acidity.ph, acidity.ph, acidity.buffering_meq_per_kg_ph, acidity.buffering_meq_per_kg_ph};
  acidity.source = ingredient.source;
  if (const auto* ph = spread_of(ingredient, "ph-in-distilled-water")) {
    acidity.spread.ph_low = ph->low;
    acidity.spread.ph_high = ph->high;
    acidity.source = ph->source;
  }
  if (const auto* buffering = spread_of(ingredient, "buffering-meq-per-kg-ph")) {
    acidity.spread.buffering_low = buffering->low;
    acidity.spread.buffering_high = buffering->high;
  }
  return acidity;
}

}  // namespace

double temperature_in_leg_c(const CourseLeg& leg, double minute) {
  if (minute <= 0.0 && leg.minutes > 0.0) return leg.start_c;
  if (minute >= leg.minutes) return leg.end_c;
  return science::temperature_newton_c(leg.start_c, leg.pole_c, minute, leg.time_constant_minutes);
}

double MashCourse::brought_kj() const { return sum_of(legs, &CourseLeg::brought_kj); }
double MashCourse::heated_kj() const { return sum_of(legs, &CourseLeg::heated_kj); }
double MashCourse::lost_kj() const { return sum_of(legs, &CourseLeg::lost_kj); }
MashCourseVerdict mash_course(const MashSetting& setting) {
  try {
    check(setting);
    MashCourse course = built_with(setting, strike_liquor_kg(setting)).take();
    refuse_unless(course.strike_c <= setting.boiling_c,
                  fmt::format("the strike water would have to be {:.1f} °C, and water boils at {:.1f} °C",
                              course.strike_c, setting.boiling_c),
                  "Use more water to the grain, warm the grain or the kettle, or begin with a cooler rest");
    return {std::move(course), "", ""};
  } catch (Refused& refused) {
    return {std::nullopt, std::move(refused.reason), std::move(refused.remedy)};
  }
}

MashSetting mash_setting(const Kit& kit, const Plan<double>& plan) {
  MashSetting setting;
  setting.boiling_c = kit.boiling_point.in(celsius);
  setting.infusion_c =
      setting.boiling_c - 2.0;  // it cools on its way from one vessel to the other; common practice, no source
  setting.decoction_c = setting.boiling_c;
  double mash_l = 0.0;
  for (const auto& step : plan.steps) {
    if (const auto* heat = std::get_if<HeatLiquor<double>>(&step)) {
      setting.liquor_kg = total_mass_kg(heat->liquor);
      mash_l += liquid_volume_l(heat->liquor, 20.0);
    }
    if (const auto* in = std::get_if<MashIn<double>>(&step)) {
      setting.grist_kg = total_mass_kg(in->grist);
      setting.kettle_heat_kj_per_k = in->kettle_heat_kj_per_k;
      setting.heated_in_kettle = in->heated_in_kettle;
      setting.room_c = setting.grain_c = in->room_c;
      mash_l += vessel_volume_l(in->grist, 20.0);
    }
    if (const auto* rest = std::get_if<Rest<double>>(&step)) setting.rests = {{rest->temperature_c, rest->minutes}};
  }
  setting.time_constant_minutes = usual_time_constant_minutes(mash_l);
  return setting;
}

CourseConversion mash_conversion(const MashCourse& course, double diastatic_power_wk, double report_every_minutes) {
  const double level = std::clamp(science::enzyme_level_from_diastatic_power(diastatic_power_wk), 0.0, 3.0);
  const auto legs = temperature_legs(course);
  CourseConversion conversion{science::mash_conversion_brandam({level, level, 0.0}, legs, report_every_minutes),
                              std::nullopt};
  double left = 1.0;
  for (const CourseLeg& leg : course.legs) left *= 1.0 - leg.share;
  if (left < 1.0)
    conversion.least = science::mash_conversion_brandam({level * left, level * left, 0.0}, legs, report_every_minutes);
  return conversion;
}

std::optional<MashAcidityReading> mash_acidity(const Mixture<double>& mash, const std::vector<MashGrain>& grains) {
  MashAcidityReading reading;
  science::MashAcidity<double> acidity;
  std::vector<science::MaltSpread> spreads;
  for (const MashGrain& grain : grains) {
    if (!(grain.mass_kg > 0.0) || !(grain.ingredient.composition.buffering_eq_per_kg_ph > 0.0)) continue;
    reading.grains.push_back(acidity_of(grain));
    const GrainAcidity& last = reading.grains.back();
    acidity.malts.push_back({last.mass_kg, last.ph, last.buffering_meq_per_kg_ph});
    spreads.push_back(last.spread);
  }
  const double volume_l = liquid_volume_l(mash, 20.0);
  if (acidity.malts.empty() || !(volume_l > 0.0)) return std::nullopt;
  if (mash.alkalinity_eq > 0.0) {
    acidity.liquors.push_back({volume_l, mash.alkalinity_eq * 1000.0 / volume_l});
  } else {
    acidity.other_acid_eq = -mash.alkalinity_eq;
  }
  acidity.calcium_eq = mash[Component::calcium] * 1e3 / science::calcium_mg_per_meq;
  acidity.magnesium_eq = mash[Component::magnesium] * 1e3 / science::magnesium_mg_per_meq;
  const std::optional<double> ph = science::mash_ph(acidity);
  if (!ph) return std::nullopt;
  reading.ph = *ph;
  reading.interval = science::mash_ph_interval(acidity, spreads);
  return reading;
}

std::optional<double> mash_diastatic_power_wk(const std::vector<MashGrain>& grains) {
  std::vector<science::EnzymeShare<double>> grist;
  for (const MashGrain& grain : grains) {
    const auto& malt = grain.ingredient.malt;
    grist.push_back({grain.mass_kg, malt ? malt->diastatic_power_wk : 0.0});
  }
  return science::diastatic_power_blend_wk<double>(grist);
}

double attenuation_limit_of_wort(const Mixture<double>& wort) {
  const double extract = extract_kg(wort);
  if (!(extract > 0.0)) return 0.0;
  double sugars = 0.0;
  for (Component sugar :
       {Component::glucose, Component::fructose, Component::sucrose, Component::maltose, Component::maltotriose})
    sugars += wort[sugar];
  return sugars / extract / real_per_apparent_attenuation;
}

}  // namespace oddgrist::process

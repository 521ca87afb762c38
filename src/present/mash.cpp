#include "present/mash.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "present/words.hpp"
#include "science/volumes.hpp"

namespace oddgrist::present {
namespace {

using process::CourseLeg;
using process::LegKind;
using process::MashSetting;
using process::RestStep;

constexpr std::size_t page_columns = 80;
constexpr std::size_t clock_columns = 12;

// A page being written.
class Page {
 public:
  explicit Page(bool us_units_first) : units(us_units_first) {}
  void heading(std::string_view words) {
    text += '\n';
    text += words;
    text += '\n';
  }
  void put(std::string_view lead, std::string_view words) {
    const auto lines = wrapped(words, page_columns - clock_columns);
    for (std::size_t i = 0; i < lines.size(); ++i) text += padded(i == 0 ? lead : "", clock_columns) + lines[i] + "\n";
  }
  [[nodiscard]] std::string heat(double celsius_value) const { return units.temperature(celsius_value * celsius); }
  [[nodiscard]] std::string water(double kg) const { return units.volume(kg / science::cold_water_kg_per_l * litre); }

  Units units;
  std::string text;
};

std::string clock_words(double minute) {
  const int whole = static_cast<int>(std::lround(minute));
  return fmt::format("{}:{:02d}", whole / 60, whole % 60);
}

std::string percent_words(double share) { return fixed(100.0 * share, 1) + " %"; }

std::string leg_words(const Page& page, const MashSetting& setting, const CourseLeg& leg) {
  switch (leg.kind) {
    case LegKind::mash_in:
      return fmt::format("mash in {} of grain with {} of water (measured cold) at {}, {}; it settles at {}",
                         page.units.mass(setting.grist_kg * kilogram), page.water(leg.liquor_kg),
                         page.heat(leg.liquor_c),
                         setting.heated_in_kettle ? "heated in the kettle" : "poured into a kettle at room temperature",
                         page.heat(leg.end_c));
    case LegKind::rest:
      if (setting.held) return fmt::format("rest {} min, held at {}", number(leg.minutes, 0), page.heat(leg.start_c));
      return fmt::format("rest {} min, by then at {}", number(leg.minutes, 0), page.heat(leg.end_c));
    case LegKind::infusion:
      return fmt::format("stir in {} of water (measured cold) that reaches the mash at {}: up to {}",
                         page.water(leg.liquor_kg), page.heat(leg.liquor_c), page.heat(leg.end_c));
    case LegKind::decoction:
      return fmt::format("return {} of the mash, pulled before and brought to {}: up to {}", percent_words(leg.share),
                         page.heat(setting.decoction_c), page.heat(leg.end_c));
    case LegKind::direct:
      return fmt::format("heat with {} kW, stirring, for {} min: up to {}", number(setting.power_kw, 2),
                         number(leg.minutes, 0), page.heat(leg.end_c));
  }
  return "";
}

void write_course(Page& page, const MashAnswer& answer) {
  const MashSetting& setting = answer.setting;
  page.heading("The course");
  for (const CourseLeg& leg : answer.course.legs)
    page.put(clock_words(leg.start_minute), leg_words(page, setting, leg));
  page.put(clock_words(answer.course.minutes()), "end of the mash");
  const bool decoction = setting.step == RestStep::decoction && setting.rests.size() > 1;
  if (decoction) page.put("", "A brewer pulls 5 to 15 % more than the heat balance says (common practice, no source).");
  if (setting.step == RestStep::infusion && setting.rests.size() > 1)
    page.put("", "All water together is the recipe's mash water, so the forecast stays as it is.");
}

void write_heat(Page& page, const MashAnswer& answer) {
  const auto& course = answer.course;
  const auto& setting = answer.setting;
  page.heading("Heat, from room temperature");
  page.put("in", fmt::format("{} kJ with water and grain, {} kJ from the heater", fixed(course.brought_kj(), 0),
                             fixed(course.heated_kj(), 0)));
  page.put("out", fmt::format("{} kJ to the room, {} kJ left in mash and kettle", fixed(course.lost_kj(), 0),
                              fixed(course.stored_kj, 0)));
  const double full_kj_per_k = course.loss_kj_per_minute_k * setting.time_constant_minutes;
  page.put("cooling", fmt::format("time constant {} h, {} ({} kJ/K in all, of which the kettle {})",
                                  fixed(setting.time_constant_minutes / 60.0, 1),
                                  answer.cooling_measured
                                      ? "from your two readings"
                                      : "a guess by batch size, common practice without a source: two readings of "
                                        "your own (--cooled) are far better",
                                  fixed(full_kj_per_k, 1), fixed(setting.kettle_heat_kj_per_k, 1)));
  if (setting.power_kw > 0.0) {
    const double hot_kj_per_k = course.strike_liquor_kg * setting.heat.water_kj_per_kg_k +
                                (setting.heated_in_kettle ? setting.kettle_heat_kj_per_k : 0.0);
    const double minutes = science::heating_minutes(hot_kj_per_k, setting.room_c, course.strike_c, setting.power_kw,
                                                    setting.heater_efficiency);
    page.put("strike", fmt::format("heating the water takes {} min with {} kW, of which {} reach it", fixed(minutes, 0),
                                   number(setting.power_kw, 2), percent_words(setting.heater_efficiency)));
  }
  constexpr double malt_uncertainty = 0.15;  // science/heat.hpp
  const double strike_uncertainty_k = malt_uncertainty * setting.heat.malt_kj_per_kg_k * setting.grist_kg *
                                      (setting.rests.front().temperature_c - setting.grain_c) /
                                      (setting.heat.water_kj_per_kg_k * course.strike_liquor_kg);
  page.put("", fmt::format("How much heat malt takes is known to 15 % (handbooks), so the strike to about {} K. Heat "
                           "lost in stirring is "
                           "not in it.",
                           fixed(strike_uncertainty_k, 1)));
}

// Rows of the kinetics worth showing: every ten minutes and the last.
std::vector<const science::MashMoment*> rows_shown(const std::vector<science::MashMoment>& moments) {
  std::vector<const science::MashMoment*> rows;
  constexpr double step_minutes = 10.0;
  double next = 0.0;
  for (const science::MashMoment& moment : moments) {
    if (moment.minute + 1e-9 < next && &moment != &moments.back()) continue;
    rows.push_back(&moment);
    next = (std::floor(moment.minute / step_minutes + 1e-9) + 1.0) * step_minutes;
  }
  return rows;
}

void write_kinetics(Page& page, const MashAnswer& answer) {
  page.heading("Starch and enzymes along the course");
  const auto cell = [](const std::string& words, std::size_t width) {
    const std::size_t taken = columns(words);
    return std::string(taken < width ? width - taken : 0, ' ') + words;
  };
  page.text += padded("min", 8) + cell("mash", 17) + cell("converted", 12) + cell("fermentable", 13) +
               cell("limit", 9) + cell("alpha", 9) + cell("beta", 9) + "\n";
  for (const science::MashMoment* row : rows_shown(answer.conversion.usual.moments)) {
    const bool any = row->minute > 0.0;
    page.text += padded(fixed(row->minute, 0), 8) + cell(page.heat(row->temperature_c), 17) +
                 cell(percent_words(1.0 - row->unconverted_starch()), 12) +
                 cell(any ? percent_words(row->fermentable_share()) : "-", 13) +
                 cell(any ? percent_words(science::mash_apparent_attenuation_limit(*row)) : "-", 9) +
                 cell(percent_words(row->alpha_active), 9) + cell(percent_words(row->beta_active), 9) + "\n";
  }
  page.put("",
           "converted: of the starch. fermentable: of what dissolved from starch. limit: of apparent attenuation, for "
           "a pale malt wort. "
           "alpha, beta: amylase dissolved and alive.");
  page.put("",
           "Kinetics of the structure of Brandam et al. (2003); its absolute yields are partly our own calibration. "
           "Good to 1 to 10 % in "
           "sugar (Koljonen et al. 1995); too fermentable above 73 °C.");
  if (answer.kinetic_limit_least) {
    page.put("", fmt::format("The decoction's enzymes die in the boil, which the table leaves out: had they never been "
                             "there, the limit would be {}.",
                             percent_words(*answer.kinetic_limit_least)));
  }
}

void write_comparison(Page& page, const MashAnswer& answer) {
  page.heading("How far it can ferment: two models");
  page.put(
      "forecast",
      fmt::format("{} apparent, by the empirical law for one rest of an hour at {}. This one the forecast uses; with "
                  "what else its grains bring (caramel, protein, salts) its wort comes to {}.",
                  percent_words(answer.empirical_limit), page.heat(answer.forecast_rest_c),
                  percent_words(answer.forecast_wort_limit)));
  const double apart = 100.0 * (answer.kinetic_limit - answer.empirical_limit);
  page.put(
      "kinetics",
      fmt::format("{} apparent, along the course above: {} points {} the empirical law. Not used by the forecast.",
                  percent_words(answer.kinetic_limit), fixed(std::abs(apart), 1), apart < 0.0 ? "below" : "above"));
  if (std::abs(apart) > 3.0) {
    page.put("",
             "Malts of one kind differ by some 3 points: this is more. If you mash so, expect the final gravity to "
             "lean towards the kinetics.");
  }
}

void write_acidity(Page& page, const MashAnswer& answer) {
  page.heading("pH of the mash");
  if (!answer.acidity) {
    page.put("", "Not known: no grain with a known acidity.");
    return;
  }
  const auto& acidity = *answer.acidity;
  const double rest_c = answer.setting.rests.front().temperature_c;
  std::string words = fmt::format("{} read at {}", fixed(acidity.ph, 2), page.heat(20.0));
  if (acidity.interval) {
    words += fmt::format(", between {} and {} if every malt is off the same way", fixed(acidity.interval->low, 2),
                         fixed(acidity.interval->high, 2));
  }
  words += fmt::format("; {} if read at {}. ", fixed(science::mash_ph_at_temperature(acidity.ph, rest_c), 2),
                       page.heat(rest_c));
  words += science::mash_ph_wanted.holds(acidity.ph) ? "Within" : "Outside";
  words += fmt::format(" {} to {} (common practice, no source).", fixed(science::mash_ph_wanted.low, 1),
                       fixed(science::mash_ph_wanted.high, 1));
  page.put("pH", words);
  for (const process::GrainAcidity& grain : acidity.grains) {
    page.put("", fmt::format("{}: pH {} to {} in distilled water, {} to {} mEq/(kg pH)", grain.name,
                             number(grain.spread.ph_low, 2), number(grain.spread.ph_high, 2),
                             number(grain.spread.buffering_low, 0), number(grain.spread.buffering_high, 0)));
  }
  std::vector<std::string> sources;
  for (const process::GrainAcidity& grain : acidity.grains) {
    if (std::find(sources.begin(), sources.end(), grain.source) == sources.end()) sources.push_back(grain.source);
  }
  for (const std::string& source : sources) page.put("malt from", source);
}

}  // namespace

std::string enzyme_words(science::EnzymeVerdict verdict) {
  switch (verdict) {
    case science::EnzymeVerdict::enough: return "enough to convert the whole grist";
    case science::EnzymeVerdict::slow: return "enough, but slow: give it time, and test for starch";
    case science::EnzymeVerdict::too_little: return "too little: starch may be left; use more pale malt";
  }
  return "";
}

std::string mash_text(const MashAnswer& answer, const std::string& name, bool us_units_first) {
  Page page(us_units_first);
  for (const std::string& line : wrapped("Mash: " + name, page_columns)) page.text += line + "\n";
  write_course(page, answer);
  write_heat(page, answer);
  write_kinetics(page, answer);
  write_comparison(page, answer);
  write_acidity(page, answer);
  page.heading("Enzymes of the grist");
  page.put(
      "power",
      fmt::format(
          "{} WK in the mean of the grist: {} (below {} too little, from {} comfortable; common practice, no source).",
          fixed(answer.diastatic_power_wk, 0), enzyme_words(answer.enzymes),
          fixed(science::diastatic_power_least_wk, 0), fixed(science::diastatic_power_comfortable_wk, 0)));
  return std::move(page.text);
}

}  // namespace oddgrist::present

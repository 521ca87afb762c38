#include "present/doubt.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include <fmt/format.h>

#include "compose/doubt_indices.hpp"
#include "compose/elastic.hpp"
#include "compose/robust.hpp"
#include "quantity/quantity.hpp"

namespace oddgrist::present {
namespace {

using compose::Doubt;
using compose::Estimate;
using compose::Swing;
using compose::Topic;
using compose::Upshot;

constexpr std::array shown = {Upshot::original_gravity, Upshot::bitterness, Upshot::colour, Upshot::mash_ph,
                              Upshot::carbonation};
constexpr double least_share_shown = 0.01;

std::string with_sign(double value, int decimals) {
  const std::string text = fixed(value, decimals);
  if (text.find_first_of("123456789") == std::string::npos) return fixed(0.0, decimals);
  return text.front() == '-' ? text : "+" + text;
}

// How a difference in this upshot is shown: in what, times what, to how many decimals.
struct Scale {
  const char* unit;
  double factor;
  int decimals;
};

Scale scale_of(Upshot upshot, bool us_first) {
  switch (upshot) {
    case Upshot::original_gravity:
    case Upshot::final_gravity: return {" points", 1000.0, 1};
    case Upshot::alcohol: return {" % vol", 1.0, 1};
    case Upshot::bitterness: return {" IBU", 1.0, 0};
    case Upshot::colour: return us_first ? Scale{" SRM", (1.0 * ebc).in(srm), 1} : Scale{" EBC", 1.0, 1};
    case Upshot::volume: return us_first ? Scale{" US gal", (1.0 * litre).in(us_gallon), 2} : Scale{" L", 1.0, 1};
    case Upshot::mash_ph: return {"", 1.0, 2};
    case Upshot::carbonation: return {" vol", 1.0, 2};
  }
  return {"", 1.0, 2};
}

std::string row(const Doubt& doubt, Upshot upshot, const Swing& swing, double usual, bool us_first) {
  constexpr std::size_t name_columns = 32, range_columns = 18, effect_columns = 19;
  const auto u = static_cast<std::size_t>(upshot);
  const std::string effect = effect_words(upshot, swing.at_low[u] - usual, swing.at_high[u] - usual, us_first);
  std::string text;
  bool first = true;
  for (const std::string& line : wrapped(doubt.name, name_columns)) {
    text += "  " + padded(line, name_columns);
    if (first) {
      text += fmt::format(" {} {} {:>4.0f} %", padded(range_words(doubt, us_first), range_columns),
                          padded(effect, effect_columns), 100.0 * swing.share[u]);
    }
    first = false;
    text.erase(text.find_last_not_of(' ') + 1);
    text += '\n';
  }
  return text;
}

std::string section(const compose::Doubtful& doubtful, const std::vector<Swing>& swings, const Estimate& estimate,
                    Upshot upshot, bool us_first) {
  const auto u = static_cast<std::size_t>(upshot);
  std::vector<std::size_t> order(swings.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return swings[a].share[u] > swings[b].share[u]; });
  if (order.empty() || !(estimate.value > 0.0) || !(swings[order.front()].share[u] > 0.0)) return {};
  std::string name(upshot_name(upshot));
  name.front() = static_cast<char>(name.front() - 'a' + 'A');
  std::string low = upshot_words(upshot, estimate.low, us_first);
  if (low.find(' ') != std::string::npos) low.erase(low.find(' '));  // the unit stands behind the high end
  std::string text = fmt::format("{} {}, likely {} to {}\n", name, upshot_words(upshot, estimate.value, us_first), low,
                                 upshot_words(upshot, estimate.high, us_first));
  for (std::size_t i = 0; i < std::min(doubt_rows, order.size()); ++i) {
    const Swing& swing = swings[order[i]];
    if (swing.share[u] < least_share_shown) break;
    text += row(doubtful.doubts[order[i]], upshot, swing, estimate.value, us_first);
  }
  const std::string advice = "Measure first: " + measure_first(doubtful.doubts[order.front()]);
  for (const std::string& line : wrapped(advice, doubt_columns - 4)) text += "    " + line + '\n';
  return text + '\n';
}

std::string from_to(double low, double high, int decimals, std::string_view unit) {
  return fmt::format("{} to {}{}", number(low, decimals), number(high, decimals), unit);
}

// "28", "fewer than 1", "more than 99": none and all would say more than a forecast can.
std::string in_a_hundred(double chance) {
  if (chance < 0.01) return "fewer than 1";
  if (chance > 0.99) return "more than 99";
  return fixed(100.0 * chance, 0);
}

std::string off_words(double low, double high, int decimals, std::string_view unit) {
  if (std::abs(low + high) < 1e-9) return fmt::format("± {}{}", number(high, decimals), unit);
  return fmt::format("{} to {}{}", with_sign(low, decimals), with_sign(high, decimals), unit);
}

}  // namespace

std::string_view upshot_name(Upshot upshot) {
  switch (upshot) {
    case Upshot::original_gravity: return "original gravity";
    case Upshot::final_gravity: return "final gravity";
    case Upshot::alcohol: return "alcohol";
    case Upshot::bitterness: return "bitterness";
    case Upshot::colour: return "colour";
    case Upshot::volume: return "volume";
    case Upshot::mash_ph: return "mash pH";
    case Upshot::carbonation: return "carbonation";
  }
  return "?";
}

std::string upshot_words(Upshot upshot, double value, bool us_first) {
  if (upshot == Upshot::original_gravity || upshot == Upshot::final_gravity) return fixed(value, 3);
  const Scale scale = scale_of(upshot, us_first);
  return fixed(value * scale.factor, scale.decimals) + scale.unit;
}

std::string effect_words(Upshot upshot, double at_low, double at_high, bool us_first) {
  const Scale scale = scale_of(upshot, us_first);
  return fmt::format("{} to {}{}", with_sign(at_low * scale.factor, scale.decimals),
                     with_sign(at_high * scale.factor, scale.decimals), scale.unit);
}

std::string range_words(const Doubt& doubt, bool us_first) {
  const std::string& unit = doubt.unit;
  if (unit == "kg/kg" && doubt.topic != Topic::steeping) {
    return from_to(100.0 * doubt.low, 100.0 * doubt.high, doubt.high < 0.3 ? 1 : 0, " %");
  }
  if (unit == "share") return from_to(100.0 * doubt.low, 100.0 * doubt.high, 0, " %");
  if (unit == "factor") return off_words(100.0 * (doubt.low - 1.0), 100.0 * (doubt.high - 1.0), 0, " %");
  if (unit == "share off") return off_words(100.0 * doubt.low, 100.0 * doubt.high, 0, " points");
  if (unit == "K off") {
    if (us_first) return off_words(1.8 * doubt.low, 1.8 * doubt.high, 1, " °F");
    return off_words(doubt.low, doubt.high, 1, " °C");
  }
  if (unit == "volumes off") return off_words(doubt.low, doubt.high, 2, " vol");
  if (unit == "g off") return off_words(doubt.low, doubt.high, doubt.high < 0.3 ? 2 : 1, " g");
  if (unit == "pH") return from_to(doubt.low, doubt.high, 2, "");
  if (unit == "Lovibond") return from_to(doubt.low, doubt.high, doubt.high < 10.0 ? 1 : 0, " °L");
  if (unit == "mEq/(kg pH)") return from_to(doubt.low, doubt.high, 0, " mEq");
  return from_to(doubt.low, doubt.high, doubt.high < 1.0 ? 2 : 1, " " + unit);
}

std::string measure_first(const Doubt& doubt) {
  switch (doubt.topic) {
    case Topic::alpha_acid:
      return fmt::format(
          "the alpha acid of {}. A hop laboratory tells it from a handful; failing that, boil a few grams in a little "
          "wort "
          "and taste it beside a hop whose alpha acid you know.",
          doubt.group);
    case Topic::extract:
    case Topic::moisture:
    case Topic::conversion:
      return "gravity and volume in the kettle before the boil, stirred and cooled; they show what the grain gave "
             "while there is still time "
             "to add water or to boil on. An iodine test tells whether the mash is done.";
    case Topic::boil_off:
      return "how much your kettle boils off: boil plain water for half an hour once and measure what is gone. On the "
             "day, read the volume "
             "halfway through the boil.";
    case Topic::grain_hold:
      return "the volume in the kettle once the grain is out and squeezed; top up to the forecast.";
    case Topic::kettle_loss:
    case Topic::trub_hold:
      return "what stays in the kettle after the transfer, with a jug; it is much the same next time.";
    case Topic::rest_temperature:
      return "the thermometer: in melting ice it shows 0 °C (32 °F). Then the mash in three places.";
    case Topic::wort_limit:
    case Topic::uptake:
      return "how far it can ferment: keep a glass of the wort warm with plenty of yeast and read it when it stops.";
    case Topic::grain_ph:
    case Topic::buffering:
    case Topic::acid_strength:
      return "mash pH ten minutes in, in a cooled sample with a freshly calibrated meter; better, the day before, in a "
             "small mash of the "
             "same grist and water.";
    case Topic::alkalinity: return "the alkalinity of the water as it runs that day, with a drop test.";
    case Topic::malt_colour:
      return fmt::format("the colour of {}: it stands on the analysis of the lot, which the seller can give you.",
                         doubt.group);
    case Topic::food_colour:
      return fmt::format(
          "the colour of {}: stir a weighed spoonful into as much water as the beer will be to it, and hold it beside "
          "a pale beer.",
          doubt.group);
    case Topic::colour_formula:
      return "colour itself, in a clear cold sample before the yeast goes in; formulas differ by more than a malt "
             "does.";
    case Topic::utilisation:
      return "bitterness of one finished beer of yours in a laboratory; it shows what your boil makes of hops.";
    case Topic::food_part:
    case Topic::steeping:
      return fmt::format("the liquor of {} before it goes in: its volume, and its gravity if it holds no spirit.",
                         doubt.group);
    case Topic::scale: return "the scale: a litre of cold water weighs 998 g.";
    case Topic::water_measure: return "the water by weight, a litre to 998 g, rather than by the marks of a bucket.";
    case Topic::weighing:
      return fmt::format("{} on a scale with smaller steps; one that shows hundredths of a gram costs little.",
                         doubt.group);
    case Topic::water_minerals:
      return "the hardness of the water as it runs that day, with a drop test, and the conductivity if you can.";
    case Topic::lees: return "how much clear beer there is to draw off, before the priming sugar is weighed.";
    case Topic::left_over:
      return "final gravity, twice, three days apart and warm; and beforehand a glass of the wort with plenty of "
             "yeast, which "
             "shows where the end is. Bottle only when the beer stands there.";
    case Topic::warmest_beer: return "the warmest the beer became from the height of the ferment on; note it.";
    case Topic::still_gas:
      return "nothing easily; bottle within days of the end of the ferment, and do not let the beer splash.";
  }
  return "?";
}

std::string measuring_words(const compose::Measuring& measuring) {
  using compose::Gauging;
  const std::string& of = measuring.of;
  switch (measuring.by) {
    case Gauging::hydrometer_before_boil: return "gravity and volume in the kettle before the boil";
    case Gauging::plain_water_boiled: return "what the kettle boils off, tried once with plain water";
    case Gauging::jug_after_transfer: return "what stays in the kettle after a transfer, with a jug";
    case Gauging::thermometer_in_ice: return "the thermometer, in melting ice";
    case Gauging::glass_fermented_out: return "how far it ferments, in a warm glass of the wort with plenty of yeast";
    case Gauging::meter_in_mash: return "mash pH, in a small mash of the same grist and water";
    case Gauging::water_drop_test: return "the water as it runs that day, with a drop test";
    case Gauging::malt_analysis: return fmt::format("the colour of {}, from the analysis of the lot", of);
    case Gauging::spoon_in_water: return fmt::format("the colour of {}, a weighed spoonful in water", of);
    case Gauging::colour_in_glass: return "colour, in a clear cold sample of the wort";
    case Gauging::hop_analysis:
      return fmt::format("the alpha acid of {}, in a laboratory or by a tea beside a hop that is known", of);
    case Gauging::beer_analysis: return "bitterness of one finished beer of yours, in a laboratory";
    case Gauging::liquor_strained:
      return of.empty() ? "what a small steep of the food gives, by volume and gravity"
                        : fmt::format("{}, dissolved in a known volume and read with hydrometer or refractometer", of);
    case Gauging::scale_checked: return "the scale, with a litre of cold water (998 g)";
    case Gauging::water_weighed: return "the water by weight, not by the marks of a bucket";
    case Gauging::finer_scale: return "the small amounts, on a scale with smaller steps";
    case Gauging::warmest_noted: return "the warmest the beer becomes";
    case Gauging::lees_measured: return "the clear beer there is to draw off";
  }
  return "?";
}

namespace {

bool is_wished(const compose::Brief& brief, Upshot upshot) {
  return std::any_of(brief.wishes.begin(), brief.wishes.end(), [&](const compose::Wish& wish) {
    return compose::measure_name(wish.measure) == upshot_name(upshot);
  });
}

// "bitterness ± 3 IBU instead of ± 10", with one more digit if they would read alike.
std::string narrowing_words(Upshot upshot, const Estimate& interval, double narrowing, bool us_first) {
  const Scale scale = scale_of(upshot, us_first);
  const double half = 0.5 * (interval.high - interval.low) * scale.factor, left = half * (1.0 - narrowing);
  const int decimals = scale.decimals + (fixed(left, scale.decimals) == fixed(half, scale.decimals) ? 1 : 0);
  return fmt::format("{} ± {}{} instead of ± {}", upshot_name(upshot), fixed(left, decimals), scale.unit,
                     fixed(half, decimals));
}

// What would be gained by knowing, for what was wished.
std::string measurings_text(const compose::Brief& brief, const compose::Doubtful& doubtful,
                            const std::array<Estimate, compose::upshot_count>& intervals) {
  constexpr std::size_t most = 4;
  constexpr double least_narrowing = 0.05;
  std::string text;
  std::size_t place = 0;
  for (const compose::Measuring& measuring : measurings_of(brief, doubtful, intervals)) {
    std::string gains;
    for (std::size_t u = 0; u < compose::upshot_count && place < most; ++u) {
      const auto upshot = static_cast<Upshot>(u);
      if (measuring.narrowing[u] < least_narrowing || !is_wished(brief, upshot)) continue;
      gains += gains.empty() ? "" : ", ";
      gains += narrowing_words(upshot, intervals[u], measuring.narrowing[u], brief.us_units_first);
    }
    if (gains.empty()) continue;
    const auto lines =
        wrapped(fmt::format("{}. {}: {}.", ++place, measuring_words(measuring), gains), doubt_columns - 5);
    for (std::size_t i = 0; i < lines.size(); ++i) text += (i == 0 ? "  " : "     ") + lines[i] + '\n';
  }
  return text.empty() ? text : "Worth measuring, for what was wished; if it were then known exactly:\n" + text;
}

std::string chance_text(const compose::Brief& brief, const compose::Proposal& proposal) {
  if (brief.wishes.empty()) return {};
  const compose::Chance chance = chance_of(brief, proposal);
  std::string each;
  for (std::size_t w = 0; w < brief.wishes.size(); ++w) {
    each += fmt::format("{}{} {}", w == 0 ? "" : ", ", compose::measure_name(brief.wishes[w].measure),
                        in_a_hundred(chance.each[w]));
  }
  return fmt::format("Of 100 such brews {} come out as wished in everything; one by one: {}.", in_a_hundred(chance.all),
                     each);
}

}  // namespace

std::string steady_text(const compose::Steady& steady) {
  if (!steady.changed) {
    return fmt::format("\nSteady: none of {} recipes near it keeps every wish more often; {} of 100 such brews do.\n",
                       steady.tried, in_a_hundred(steady.now.all));
  }
  return fmt::format("\nSteady: {} of 100 such brews keep every wish; of the recipe best on paper, {}.\n",
                     in_a_hundred(steady.now.all), in_a_hundred(steady.before.all));
}

std::string doubt_text(const compose::Brief& brief, const compose::Proposal& proposal) {
  const compose::Doubtful doubtful = doubtful_of(brief, proposal);
  const auto swings = swings_of(doubtful);
  const auto intervals = intervals_of(doubtful, doubt_points);
  std::string text;
  const auto paragraph = [&](const std::string& words) {
    for (const std::string& line : wrapped(words, doubt_columns)) text += line + '\n';
  };
  paragraph("What moves it most: " + proposal.name);
  paragraph(
      fmt::format("Likely: 8 brews in 10, all {} inputs uncertain at once. A row: one input alone from its low to its "
                  "high end, what that "
                  "does to the figure, and its share of all the doubt in it.",
                  doubtful.doubts.size()));
  paragraph(chance_text(brief, proposal));
  text += '\n';
  for (Upshot upshot : shown)
    text += section(doubtful, swings, intervals[static_cast<std::size_t>(upshot)], upshot, brief.us_units_first);
  text += measurings_text(brief, doubtful, intervals);
  text.erase(text.find_last_not_of('\n') + 1);
  return text + '\n';
}

}  // namespace oddgrist::present

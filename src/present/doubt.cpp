#include "present/doubt.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include <fmt/format.h>

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

std::string doubt_text(const compose::Brief& brief, const compose::Proposal& proposal) {
  const compose::Doubtful doubtful = doubtful_of(brief, proposal);
  const auto swings = swings_of(doubtful);
  const auto intervals = intervals_of(doubtful);
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
  text += '\n';
  for (Upshot upshot : shown)
    text += section(doubtful, swings, intervals[static_cast<std::size_t>(upshot)], upshot, brief.us_units_first);
  text.erase(text.find_last_not_of('\n') + 1);
  return text + '\n';
}

}  // namespace oddgrist::present

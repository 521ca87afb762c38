#include "present/wishes.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>

#include "present/words.hpp"
#include "quantity/gravity.hpp"
#include "quantity/number.hpp"

namespace oddgrist::present {
namespace {

using compose::Estimate;
using compose::Measure;
using compose::Proposal;
using compose::Wish;

// How a measure is named and printed, in its base unit and, where it has one, in a second.
struct MeasureWords {
  std::string_view name;
  std::string_view unit;
  int decimals = 0;
  std::string_view second_unit = {};
  int second_decimals = 0;
  double (*second)(double base) = nullptr;
  bool second_is_us = false;  // and so stands first for a brewer who thinks in US units
};

double us_gallons(double litres) { return (litres * litre).in(us_gallon); }
double plato(double sg) { return plato_of(sg * specific_gravity); }
double srm_colour(double ebc_units) { return (ebc_units * ebc).in(srm); }

MeasureWords words_of(Measure measure) {
  switch (measure) {
    case Measure::volume: return {"volume", "L", 1, "US gal", 2, us_gallons, true};
    case Measure::original_gravity: return {"original gravity", "SG", 3, "°P", 1, plato, false};
    case Measure::final_gravity: return {"final gravity", "SG", 3, "°P", 1, plato, false};
    case Measure::alcohol: return {"alcohol", "% vol", 1};
    case Measure::bitterness: return {"bitterness", "IBU", 0};
    case Measure::colour: return {"colour", "EBC", 0, "SRM", 0, srm_colour, true};
    case Measure::mash_ph: return {"mash pH at 20 °C", "", 2};
    case Measure::calcium: return {"calcium in the liquor", "mg/L", 0};
    case Measure::magnesium: return {"magnesium in the liquor", "mg/L", 0};
    case Measure::sodium: return {"sodium in the liquor", "mg/L", 0};
    case Measure::chloride: return {"chloride in the liquor", "mg/L", 0};
    case Measure::sulphate: return {"sulphate in the liquor", "mg/L", 0};
  }
  return {};
}

double forecast_of(const Proposal& proposal, Measure measure) {
  switch (measure) {
    case Measure::volume: return proposal.forecast.fermenter_volume_l;
    case Measure::original_gravity: return proposal.forecast.original_gravity_sg;
    case Measure::final_gravity: return proposal.forecast.final_gravity_sg;
    case Measure::alcohol: return proposal.forecast.abv_percent;
    case Measure::bitterness: return proposal.forecast.bitterness_ibu;
    case Measure::colour: return proposal.forecast.colour_ebc;
    case Measure::mash_ph: return proposal.forecast.mash_ph;
    default:
      return proposal.forecast.liquor_ions_mg_per_l[static_cast<int>(measure) - static_cast<int>(Measure::calcium)];
  }
}

Estimate range_of(const Proposal& proposal, Measure measure) {
  switch (measure) {
    case Measure::volume: return proposal.fermenter_volume_l;
    case Measure::original_gravity: return proposal.original_gravity_sg;
    case Measure::final_gravity: return proposal.final_gravity_sg;
    case Measure::alcohol: return proposal.abv_percent;
    case Measure::bitterness: return proposal.bitterness_ibu;
    case Measure::colour: return proposal.colour_ebc;
    case Measure::mash_ph: return proposal.mash_ph;
    default: break;
  }
  const double exactly = forecast_of(proposal, measure);
  return {exactly, exactly, exactly};
}

// The number a reader sees: exactly what `fixed` prints.
double as_printed(double value, int decimals) {
  return std::isfinite(value) ? number_of_digits(fixed(value, decimals)) : value;
}

// Enough decimals to print a bound as it was wished: 25 and 12.5 and 1.0565 each come out whole. A bound that came from another
// unit has no end of decimals and is rounded to one more than usual.
int decimals_for(double value, int decimals) {
  for (int more = 0; more <= 2; ++more) {
    if (std::abs(as_printed(value, decimals + more) - value) <= 1e-9) return decimals + more;
  }
  return decimals + 1;
}

// A pH has no unit.
std::string spaced(std::string_view unit) {
  std::string text;
  if (!unit.empty()) text.append(" ").append(unit);
  return text;
}

std::string from_to(double low, double high, int low_decimals, int high_decimals) {
  const std::string from = fixed(low, low_decimals);
  const std::string to = fixed(high, high_decimals);
  return from == to ? from : from + " to " + to;
}

// "9.8 to 10.2 L (2.59 to 2.69 US gal)"; one number where both ends print alike. A wish is printed exactly, a forecast rounded.
enum class Digits { rounded, exact };
std::string told(const MeasureWords& words, double low, double high, Digits digits, bool us_first) {
  const int low_decimals = digits == Digits::exact ? decimals_for(low, words.decimals) : words.decimals;
  const int high_decimals = digits == Digits::exact ? decimals_for(high, words.decimals) : words.decimals;
  const std::string first = from_to(low, high, low_decimals, high_decimals) + spaced(words.unit);
  if (words.second == nullptr) return first;
  const std::string second =
      from_to(words.second(low), words.second(high), words.second_decimals, words.second_decimals) + " " +
      std::string(words.second_unit);
  return us_first && words.second_is_us ? second + " (" + first + ")" : first + " (" + second + ")";
}

// "yes", or by how much not.
std::string verdict(double value, const Wish& wish, const MeasureWords& words) {
  constexpr double slack = 1e-9;
  const double shown = as_printed(value, words.decimals);
  if (!std::isfinite(shown)) return "not known";
  const double under = wish.low - shown;
  const double over = shown - wish.high;
  const double miss = std::max(under, over);
  if (miss <= slack) return "yes";
  int decimals = words.decimals;
  while (decimals < 6 && as_printed(miss, decimals) <= 0.0) ++decimals;
  return "NO, " + fixed(miss, decimals) + spaced(words.unit) + (under > over ? " too low" : " too high");
}

std::string forecast_words(const Proposal& proposal, Measure measure, bool us_first) {
  const MeasureWords words = words_of(measure);
  const double value = forecast_of(proposal, measure);
  const Estimate& range = range_of(proposal, measure);
  std::string line = std::string(words.name) + " " + told(words, value, value, Digits::rounded, us_first);
  if (range.low < range.high) line += ", likely " + told(words, range.low, range.high, Digits::rounded, us_first);
  return line;
}

}  // namespace

std::vector<std::string> wish_lines(const compose::Brief& brief, const compose::Proposal& proposal) {
  const bool us_first = brief.us_units_first;
  std::vector<std::string> lines;
  for (const Wish& wish : brief.wishes) {
    const MeasureWords words = words_of(wish.measure);
    lines.push_back(forecast_words(proposal, wish.measure, us_first) + ", wished " +
                    told(words, wish.low, wish.high, Digits::exact, us_first) + ": " +
                    verdict(forecast_of(proposal, wish.measure), wish, words));
  }
  for (const Measure measure : {Measure::volume, Measure::original_gravity, Measure::final_gravity, Measure::alcohol,
                                Measure::bitterness, Measure::colour}) {
    const bool wished = std::any_of(brief.wishes.begin(), brief.wishes.end(),
                                    [&](const Wish& wish) { return wish.measure == measure; });
    if (!wished) lines.push_back(forecast_words(proposal, measure, us_first) + ", no wish");
  }
  return lines;
}

}  // namespace oddgrist::present

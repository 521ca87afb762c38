#include "quantity/units.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "quantity/gravity.hpp"

namespace oddgrist {
namespace {

constexpr double most = 1e9;  // in base units: beyond anything brewed

constexpr std::string_view too_much = "is far beyond anything brewed";

// clang-format off
constexpr auto kinds = std::to_array<KindRow>({
    {KindId::mass,             "a mass",                "kg|g|lb",                0.0,     most, "a mass cannot be negative", too_much, true},
    {KindId::volume,           "a volume",              "L|US gal|imp gal",       0.0,     most, "a volume cannot be negative", too_much, true},
    {KindId::temperature,      "a temperature",         "°C|°F",                  -273.15, most, "this is below absolute zero, -273.15 °C", too_much, false},
    {KindId::temperature_rise, "a temperature rise",    "K|°F",                   -most,   most, too_much, too_much, false},
    {KindId::duration,         "a duration",            "min|h|day",              0.0,     most, "a duration cannot be negative", too_much, true},
    {KindId::pressure,         "a pressure",            "bar|kPa|psi",            0.0,     most, "a pressure cannot be negative", too_much, false},
    {KindId::gravity,          "a gravity",             "SG|°P",                  lowest_specific_gravity, highest_specific_gravity,
                               "the scale is only good from 0.980 to 1.200 SG (-5.3 to 43.9 °P)", "is outside the scale, which is only good from 0.980 to 1.200 SG (-5.3 to 43.9 °P)", false},
    {KindId::colour,           "a colour",              "EBC|SRM",                0.0,     most, "a colour cannot be negative", too_much, false},
    {KindId::bitterness,       "a bitterness",          "IBU",                    0.0,     most, "a bitterness cannot be negative", too_much, false},
    {KindId::carbonation,      "a carbonation",         "vol",                    0.0,     most, "a carbonation cannot be negative", too_much, false},
    {KindId::concentration,    "a concentration",       "mg/L|g/L|ppm",           0.0,     most, "a concentration cannot be negative", too_much, false},
    {KindId::fraction,         "a share",               "%",                      0.0,     most, "a share cannot be negative", too_much, false},
    {KindId::energy,           "an energy",             "kJ|kcal",                0.0,     most, "an energy cannot be negative", too_much, false},
    {KindId::power,            "a power",               "W|kW",                   0.0,     most, "a power cannot be negative", too_much, false},
    {KindId::flow,             "a flow",                "L/h|US gal/h",           0.0,     most, "a flow cannot be negative", too_much, false},
    {KindId::volume_per_mass,  "a volume for each mass","L/kg|US qt/lb",          0.0,     most, "a volume for each mass cannot be negative", too_much, false},
    {KindId::length,           "a length",              "m|cm|in",                0.0,     most, "a length cannot be negative", too_much, true},
});

// Sources of the ratios, named once. Titles and sections are cited from memory; the sizes agree with GNU units (tests).
constexpr std::string_view si = "BIPM, The International System of Units (SI Brochure), 9th edition, 2019";
constexpr std::string_view yard_pound = "International yard and pound agreement, 1959: 1 lb = 0.45359237 kg, 1 in = 0.0254 m; 16 oz = 1 lb";
constexpr std::string_view us_measure = "NIST Handbook 44, Appendix C: US gallon = 231 cubic inches = 3.785411784 L = 4 qt = 8 pt = 128 fl oz";
constexpr std::string_view imp_measure = "UK Weights and Measures Act 1985, Schedule 1: gallon = 4.54609 L = 4 qt = 8 pt = 160 fl oz";
constexpr std::string_view fahrenheit_scale = "NIST Special Publication 811, Appendix B.8: t/°C = (t/°F - 32)/1.8";
constexpr std::string_view psi_source = "NIST Special Publication 811, Appendix B.8: lbf/in2 = 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)2";
constexpr std::string_view asbc_plato = "ASBC Methods of Analysis, wort tables, as a cubic: see gravity.hpp";
constexpr std::string_view brix = "Brix is sucrose by mass, and the Plato scale is that of sucrose solutions: numerically the same here; a "
                                  "refractometer's reading of wort wants its own correction first";
constexpr std::string_view colour_430 = "EBC = 25 A430 (EBC Analytica 9.6), SRM = 12.7 A430 (ASBC Beer-10A): EBC/SRM = 25/12.7";
constexpr std::string_view lovibond = "SRM = 1.3546 °L - 0.76 for malt, common among maltsters, from memory; a fit, not a definition";
constexpr std::string_view by_name = "The unit is the method's own: IBU by ASBC Beer-23 / EBC 9.8; vol = litres of CO2 at 0 °C, 1 atm in a litre";
constexpr std::string_view in_water = "ppm by mass in water of 1 kg/L: read as mg/L, the habit of water reports";
constexpr std::string_view calorie = "Thermochemical calorie, 4.184 J: NIST Special Publication 811, Appendix B.8";
constexpr ExactRatio none{0, 1};

constexpr auto metric = UnitFamily::metric;
constexpr auto us = UnitFamily::us;
constexpr auto imperial = UnitFamily::imperial;
constexpr auto seldom = UnitFamily::seldom;
constexpr auto own = UnitFamily::scale_of_its_own;

// Larger units first within a family: a conversion offers the first one that gives a readable number.
constexpr auto units = std::to_array<UnitRow>({
    // kind, family, symbol, JSON suffix, ratio to the base unit, offset, digits, decimals, spellings, source
    {KindId::mass, metric, "kg", "_kg", {1, 1},                      none, 3, 2, "kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes", si},
    {KindId::mass, metric, "g", "_g",   {1, 1000},                   none, 3, 2, "gr|gram|grams|gramme|grammes", si},
    {KindId::mass, metric, "mg", "_mg", {1, 1000000},                none, 3, 0, "milligram|milligrams|milligramme|milligrammes", si},
    {KindId::mass, us, "lb", "_lb",     {45359237, 100000000},       none, 3, 2, "lbs|pound|pounds", yard_pound},
    {KindId::mass, us, "oz", "_oz",     {45359237, 1600000000},      none, 3, 2, "ounce|ounces", yard_pound},

    {KindId::volume, metric, "L", "_l",   {1, 1},                    none, 3, 1, "l|litre|litres|liter|liters", si},
    {KindId::volume, seldom, "cL", "_cl", {1, 100},                  none, 3, 1, "centilitre|centilitres|centiliter|centiliters", si},
    {KindId::volume, metric, "mL", "_ml", {1, 1000},                 none, 3, 1, "cc|millilitre|millilitres|milliliter|milliliters", si},
    {KindId::volume, us, "US gal", "_us_gal",      {473176473, 125000000},   none, 3, 2, "usgal|us gallon|us gallons", us_measure},
    {KindId::volume, us, "US qt", "_us_qt",        {473176473, 500000000},   none, 3, 2, "us quart|us quarts", us_measure},
    {KindId::volume, seldom, "US pt", "_us_pt",        {473176473, 1000000000},  none, 3, 2, "us pint|us pints", us_measure},
    {KindId::volume, us, "US fl oz", "_us_fl_oz",  {473176473, 16000000000}, none, 3, 2, "us floz|us fluid ounce|us fluid ounces", us_measure},
    {KindId::volume, imperial, "imp gal", "_imp_gal",     {454609, 100000},   none, 3, 2, "imp gallon|imp gallons|imperial gal|imperial gallon|imperial gallons|uk gal|uk gallon|uk gallons", imp_measure},
    {KindId::volume, seldom, "imp qt", "_imp_qt",       {454609, 400000},   none, 3, 2, "imp quart|imp quarts|imperial quart|imperial quarts|uk qt|uk quart|uk quarts", imp_measure},
    {KindId::volume, imperial, "imp pt", "_imp_pt",       {454609, 800000},   none, 3, 2, "imp pint|imp pints|imperial pint|imperial pints|uk pt|uk pint|uk pints", imp_measure},
    {KindId::volume, imperial, "imp fl oz", "_imp_fl_oz", {454609, 16000000}, none, 3, 2, "imp floz|imp fluid ounce|imp fluid ounces|imperial fl oz|imperial fluid ounce|imperial fluid ounces|uk fl oz|uk fluid ounce|uk fluid ounces", imp_measure},

    {KindId::temperature, own, "°C", "_c", {1, 1}, none,        3, 1, "C|c|℃|degC|deg C|degree C|degrees C|celsius|degree celsius|degrees celsius", si},
    {KindId::temperature, own, "°F", "_f", {5, 9}, {-160, 9},   3, 1, "F|f|℉|degF|deg F|degree F|degrees F|fahrenheit|degree fahrenheit|degrees fahrenheit", fahrenheit_scale},
    {KindId::temperature, own, "K", "_k",  {1, 1}, {-5463, 20}, 5, 2, "kelvin|kelvins", si},
    {KindId::temperature_rise, own, "K", "_k_rise",  {1, 1}, none, 3, 1, "kelvin|kelvins|°C|C|c|℃|degC|deg C|degrees C", si},
    {KindId::temperature_rise, own, "°F", "_f_rise", {5, 9}, none, 3, 1, "F|f|℉|degF|deg F|degrees F", fahrenheit_scale},

    {KindId::duration, own, "day", "_day", {1440, 1}, none, 3, 1, "d|days", si},
    {KindId::duration, own, "h", "_h",     {60, 1},   none, 3, 1, "hr|hrs|hour|hours", si},
    {KindId::duration, own, "min", "_min", {1, 1},    none, 3, 1, "mins|minute|minutes", si},
    {KindId::duration, own, "s", "_s",     {1, 60},   none, 3, 0, "sec|secs|second|seconds", si},

    {KindId::pressure, own, "bar", "_bar", {1, 1},   none, 3, 2, "bars", si},
    {KindId::pressure, own, "kPa", "_kpa", {1, 100}, none, 3, 1, "kilopascal|kilopascals", si},
    {KindId::pressure, own, "psi", "_psi", {8896443230521, 129032000000000}, none, 3, 1, "lbf/in2|pounds per square inch", psi_source},

    {KindId::gravity, own, "SG", "_sg",    {1, 1}, none, 4, 3, "specific gravity", "The scale itself: density over that of water, both at 20 °C"},
    {KindId::gravity, own, "°P", "_plato", {1, 1}, none, 3, 1, "P|degP|deg P|plato|degree plato|degrees plato", asbc_plato, UnitCurve::plato},
    {KindId::gravity, own, "°Bx", "_brix", {1, 1}, none, 3, 1, "Bx|brix|degree brix|degrees brix|°Brix", brix, UnitCurve::plato},

    {KindId::colour, own, "EBC", "_ebc", {1, 1},       none, 3, 1, "°EBC|EBC units", colour_430},
    {KindId::colour, own, "SRM", "_srm", {250, 127},   none, 3, 1, "°SRM", colour_430},
    {KindId::colour, seldom, "°L", "_lovibond", {6773, 2540}, {-190, 127}, 3, 1, "degL|deg L|lovibond|degree lovibond|degrees lovibond", lovibond},

    {KindId::bitterness, own, "IBU", "_ibu", {1, 1}, none, 3, 1, "IBUs", by_name},
    {KindId::carbonation, own, "vol", "_vol", {1, 1}, none, 3, 2, "vols|volume|volumes|vol CO2|vols CO2|volumes CO2|volumes of CO2", by_name},

    {KindId::concentration, own, "mg/L", "_mg_per_l", {1, 1},    none, 3, 1, "milligrams per litre|milligrams per liter", si},
    {KindId::concentration, own, "g/L", "_g_per_l",   {1000, 1}, none, 3, 2, "grams per litre|grams per liter", si},
    {KindId::concentration, own, "ppm", "_ppm",       {1, 1},    none, 3, 1, "parts per million", in_water},

    {KindId::fraction, own, "%", "_percent", {1, 100}, none, 3, 1, "percent|per cent|pct", si},

    {KindId::energy, own, "kJ", "_kj",     {1, 1},     none, 4, 1, "kilojoule|kilojoules", si},
    {KindId::energy, own, "kcal", "_kcal", {523, 125}, none, 4, 1, "kilocalorie|kilocalories", calorie},
    {KindId::power, own, "kW", "_kw", {1000, 1}, none, 3, 2, "kilowatt|kilowatts", si},
    {KindId::power, own, "W", "_w",   {1, 1},    none, 4, 0, "watt|watts", si},

    {KindId::flow, own, "L/h", "_l_per_h",           {1, 1}, none, 3, 2, "L/hr|L/hour|litres per hour|liters per hour|litre/hour", si},
    {KindId::flow, own, "US gal/h", "_us_gal_per_h", {473176473, 125000000}, none, 3, 2, "US gal/hr|US gal/hour|US gallons per hour", us_measure},
    {KindId::volume_per_mass, own, "L/kg", "_l_per_kg",         {1, 1}, none, 3, 2, "litres per kilogram|liters per kilogram", si},
    {KindId::volume_per_mass, own, "US qt/lb", "_us_qt_per_lb", {6145149, 2945405}      , none, 3, 2, "US quarts per pound", us_measure},

    {KindId::length, metric, "m", "_m",   {1, 1},      none, 3, 2, "metre|metres|meter|meters", si},
    {KindId::length, metric, "cm", "_cm", {1, 100},    none, 3, 1, "centimetre|centimetres|centimeter|centimeters", si},
    {KindId::length, us, "in", "_in",     {127, 5000}, none, 3, 1, "inch|inches", yard_pound},
});

constexpr auto shared_spellings = std::to_array<AmbiguousSpelling>({
    {KindId::volume, "gal|gals|gallon|gallons", "US gal|imp gal"},
    {KindId::volume, "qt|qts|quart|quarts", "US qt|imp qt"},
    {KindId::volume, "pt|pts|pint|pints", "US pt|imp pt"},
    {KindId::volume, "fl oz|floz|fluid ounce|fluid ounces", "US fl oz|imp fl oz"},
    {KindId::flow, "gal/h|gal/hr|gal/hour|gph", "US gal/h|L/h"},
    {KindId::volume_per_mass, "qt/lb|qts/lb", "US qt/lb|L/kg"},
});
// clang-format on

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool same_but_for_case(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) { return lower(x) == lower(y); });
}

[[noreturn]] void no_such_row(std::string_view what) {
  std::fprintf(stderr, "the table of units has no row for %.*s\n", static_cast<int>(what.size()), what.data());
  std::abort();
}

}  // namespace

double UnitRow::to_base(double value) const {
  if (curve == UnitCurve::plato) return science::specific_gravity_from_plato_asbc(value);
  return value * scale.value() + offset.value();
}

double UnitRow::from_base(double base) const {
  if (curve == UnitCurve::plato) return science::plato_from_specific_gravity_asbc(base);
  return (base - offset.value()) / scale.value();
}

// One letter means what it says ("m" is not "M"); longer words are read in any case when asked.
bool UnitRow::accepts(std::string_view plain_spelling, bool any_case) const {
  const auto matches = [&](std::string_view known) {
    return known == plain_spelling ||
           (any_case && plain_spelling.size() > 1 && same_but_for_case(known, plain_spelling));
  };
  return matches(symbol) || any_part(spellings, matches);
}

std::span<const UnitRow> unit_rows() { return units; }
std::span<const AmbiguousSpelling> ambiguous_spellings() { return shared_spellings; }
std::span<const KindRow> kind_rows() { return kinds; }

const KindRow& kind_row(KindId kind) {
  const auto found = std::find_if(kinds.begin(), kinds.end(), [&](const KindRow& row) { return row.id == kind; });
  if (found == kinds.end()) no_such_row("this kind");
  return *found;
}

std::string_view bare_noun(KindId kind) {
  const std::string_view noun = kind_row(kind).noun;
  return noun.substr(noun.find(' ') + 1);
}

const UnitRow& unit_row(KindId kind, std::string_view symbol) {
  const auto fits = [&](const UnitRow& row) { return row.kind == kind && row.symbol == symbol; };
  const auto found = std::find_if(units.begin(), units.end(), fits);
  if (found == units.end()) no_such_row(symbol);
  return *found;
}

const UnitRow& detail::unit_row_like(KindId kind, double scale, double offset) {
  const auto near = [](double a, double b) { return std::abs(a - b) <= 1e-14 * std::max(std::abs(a), std::abs(b)); };
  const auto fits = [&](const UnitRow& row) {
    return row.kind == kind && row.curve == UnitCurve::straight && near(row.scale.value(), scale) &&
           near(row.offset.value(), offset);
  };
  const auto found = std::find_if(units.begin(), units.end(), fits);
  if (found == units.end()) no_such_row(kind_row(kind).noun);
  return *found;
}

}  // namespace oddgrist

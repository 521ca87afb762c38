#include "present/package_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "present/words.hpp"

namespace oddgrist::present {
namespace {

constexpr std::size_t text_columns = 80;

void put(std::string& out, std::string_view lead, std::string_view text) {
  const std::size_t indent = columns(lead);
  bool first = true;
  for (const std::string& line : wrapped(text, text_columns - indent)) {
    out += (first ? std::string(lead) : std::string(indent, ' ')) + line + '\n';
    first = false;
  }
}

std::string pressure(const Package& package, double gauge_bar) {
  return std::isfinite(gauge_bar) ? both(gauge_bar * bar, package.us_units_first ? UnitSystem::us : UnitSystem::si)
                                  : "?";
}

std::string warmth(const Package& package, double temperature_c) {
  return Units(package.us_units_first).temperature(temperature_c * celsius);
}

std::string size_words(const Package& package, double litres) {
  const std::string metric = print(litres * litre, millilitre, 0);
  const std::string us = print(litres * litre, us_fluid_ounce, 1);
  return package.us_units_first ? fmt::format("{} ({})", us, metric) : fmt::format("{} ({})", metric, us);
}

std::string reading_words(const Package& package, const process::BottleReading& reading) {
  if (reading.full) return "the beer fills the neck: the bottle breaks";
  return pressure(package, reading.gauge_bar);
}

void put_pressures(std::string& out, const Package& package) {
  put(out, "",
      fmt::format("Pressure in a closed bottle of {} with {} of headspace, {} volumes of gas in all",
                  size_words(package, package.fill.beer_l), size_words(package, package.fill.headspace_l),
                  fixed(package.fill.volumes + package.fill.leftover_volumes, 2)));
  for (const process::BottleReading& reading : package.bottle.readings) {
    put(out, fmt::format("  {}  ", padded(warmth(package, reading.temperature_c), 16)),
        reading_words(package, reading));
  }
  put(out, fmt::format("  {}  ", padded(warmth(package, process::hot_transit_c), 16)),
      (package.bottle.hot_transit_full ? "the beer fills the neck: the bottle breaks"
                                       : "about " + pressure(package, package.bottle.hot_transit_bar)) +
          ": a parcel van or a car in the sun (own estimate, the tables end at 40 °C)");
  out += '\n';
}

std::string verdict_words(const Package& package, const process::RatingVerdict& judged) {
  std::string words;
  switch (judged.verdict) {
    case science::BottleVerdict::sound: words = "holds"; break;
    case science::BottleVerdict::near_limit: words = "near its limit"; break;
    case science::BottleVerdict::refuse: words = "NO"; break;
  }
  if (judged.breaks_at_c) words += fmt::format(", above its rating from {}", warmth(package, *judged.breaks_at_c));
  if (!judged.breaks_at_c && judged.breaks_in_hot_transit) words += ", but not in a hot van";
  return words;
}

void put_containers(std::string& out, const Package& package) {
  put(out, "", fmt::format("What bears it at {}, the warmest it shall get", warmth(package, package.fill.warmest_c)));
  for (const science::ContainerRating& rating : science::container_ratings) {
    const process::RatingVerdict judged = process::judge_bottle(package.fill, rating.working_gauge_bar);
    put(out, fmt::format("  {} {:>4}  ", padded(rating.name, 44), fixed(rating.working_gauge_bar, 1)),
        verdict_words(package, judged));
  }
  put(out, "  ",
      "Ratings in bar, from memory or own estimate: the stamp on yours counts. Old or scratched glass bears half.");
  out += '\n';
}

void put_priming(std::string& out, const Package& package) {
  const Units units(package.us_units_first);
  put(out, "",
      fmt::format("Sugar that lifts {} from {} to {} volumes (range: yield 90 to 100 %)",
                  units.volume(package.beer_l * litre), fixed(package.residual_volumes, 2),
                  fixed(package.wanted_volumes, 2)));
  if (package.priming.empty() || !(package.priming.front().g_per_l > 0.0)) {
    put(out, "  ", "None: the beer holds as much already.");
    out += '\n';
    return;
  }
  std::string head = fmt::format("  {} {:>7} {:>5} {:>11}", padded("", 25), "total g", "g/L", "range");
  for (double litres : package.bottles_l) head += fmt::format("{:>9}", fixed(litres * 1000.0, 0) + " mL");
  out += head + '\n';
  for (const process::PrimingDose& dose : package.priming) {
    std::string line =
        fmt::format("  {} {:>7} {:>5} {:>11}", padded(dose.name, 25), fixed(dose.g_per_l * package.beer_l, 0),
                    fixed(dose.g_per_l, 1), fixed(dose.low_g_per_l, 1) + "-" + fixed(dose.high_g_per_l, 1));
    for (double litres : package.bottles_l) line += fmt::format("{:>9}", fixed(dose.g_per_l * litres, 1) + " g");
    out += line + '\n';
  }
  put(out, "  ",
      fmt::format("In US measure: {} of {}, or {}. Stir it in boiled and evenly: one bottle with a double share is one "
                  "that breaks.",
                  print(package.priming.front().g_per_l * package.beer_l * gram, ounce, 2),
                  package.priming.front().name, units.dose(package.priming.front().g_per_l * gram_per_litre)));
  out += '\n';
}

std::string volumes_range(const process::ForcedReading& reading) {
  return fmt::format("{} volumes ({} to {})", fixed(reading.usual, 2), fixed(reading.low, 2), fixed(reading.high, 2));
}

std::string hours_words(double hours) {
  if (hours < 1.0) return fixed(hours * 60.0, 0) + " min";
  return hours < 96.0 ? fixed(hours, 1) + " h" : fixed(hours / 24.0, 1) + " days";
}

void put_forcing(std::string& out, const Package& package) {
  const process::Forcing& plan = *package.forcing;
  const process::ForcedCourse& course = *package.forced;
  put(out, "",
      fmt::format("Gas forced in at {}: {} for {}, then {}", warmth(package, plan.temperature_c),
                  pressure(package, plan.high_gauge_bar), hours_words(plan.high_hours),
                  pressure(package, std::max(course.serving_gauge_bar, 0.0))));
  for (const process::ForcedReading& reading : course.readings) {
    out += fmt::format("  after {:>9}   {}{}\n", hours_words(reading.hour), volumes_range(reading),
                       reading.hour == plan.high_hours ? "   turn down" : "");
  }
  if (course.reachable) {
    put(out, "  ",
        fmt::format("At the high pressure {} volumes are there after {} ({} to {}); then turn down.",
                    fixed(plan.wanted_volumes, 2), hours_words(course.turn_down_hours),
                    hours_words(course.soonest_hours), hours_words(course.latest_hours)));
  } else {
    put(out, "  ", fmt::format("{} volumes are out of reach at this pressure.", fixed(plan.wanted_volumes, 2)));
  }
  put(out, "  ",
      fmt::format("Forgotten for another day: {}; for ever: {} volumes. Then vent, shake gently, vent again.",
                  volumes_range(course.forgotten), fixed(course.high_limit_volumes, 2)));
  put(out, "  ",
      fmt::format("Reckoned with {} to {} of the gap an hour (from memory): one reading of your own beats it.",
                  number(plan.uptake.low_per_hour, 3), number(plan.uptake.high_per_hour, 3)));
  out += '\n';
  put(out, "", fmt::format("Serving pressure for {} volumes", fixed(plan.wanted_volumes, 2)));
  for (const process::ServingPressure& serving : course.serving) {
    out +=
        fmt::format("  {}  {}\n", padded(warmth(package, serving.temperature_c), 16),
                    serving.gauge_bar > 0.0 ? pressure(package, serving.gauge_bar) : "none: it holds that by itself");
  }
  put(out, "  ",
      fmt::format(
          "Gauge pressure at {:.0f} m above the sea; alcohol and extract reckoned in (own estimate, not published).",
          package.altitude_m));
  out += '\n';
}

void put_facts(std::string& out, const Package& package) {
  const process::PackagedFacts& facts = *package.facts;
  const science::BeerFacts<double>& part = facts.per_100_ml;
  const double litres = package.bottles_l.front();
  put(out, "", fmt::format("In the glass: {} % vol", fixed(facts.abv_percent, 1)));
  out += fmt::format("  {} {:>12} {:>14}\n", padded("", 26), "in 100 mL", "in " + fixed(litres * 1000.0, 0) + " mL");
  const auto row = [&](std::string_view name, double value, int decimals, std::string_view unit) {
    out += fmt::format("  {} {:>12} {:>14}\n", padded(name, 26), fixed(value, decimals) + " " + std::string(unit),
                       fixed(value * litres * 10.0, decimals) + " " + std::string(unit));
  };
  row("energy (EU factors)", part.energy_kj, 0, "kJ");
  row("", part.energy_kcal, 0, "kcal");
  row("energy (ASBC form)", facts.kcal_asbc_per_100_ml, 0, "kcal");
  row("carbohydrate", part.carbohydrate_g, 1, "g");
  if (package.sugars_known) {
    row("of which sugars", part.sugars_g, 1, "g");
    row("protein", part.protein_g, 1, "g");
    row("fat", part.fat_g, 1, "g");
    row("salt", part.salt_g, 2, "g");
  }
  row("alcohol", part.alcohol_g, 1, "g");
  for (double size : package.bottles_l) {
    put(out, "  ",
        fmt::format("{}: {} UK units of alcohol, {} US standard drinks", size_words(package, size),
                    fixed(science::alcohol_units_uk(size, facts.abv_percent / 100.0), 1),
                    fixed(science::standard_drinks_us(size, facts.abv_percent / 100.0), 1)));
  }
  put(out, "  ", "Reckoned from the recipe, not analysed: good for a kitchen label, not for a shop.");
  out += '\n';
}

}  // namespace

std::vector<std::string> package_refusals(const Package& package) {
  std::vector<std::string> reasons;
  if (!package.stated) return reasons;
  const process::RatingVerdict& judged = *package.stated;
  const std::string rating = pressure(package, judged.rating_bar);
  if (judged.verdict == science::BottleVerdict::refuse) {
    const std::string at =
        judged.breaks_at_c ? fmt::format(" The rating is passed from {} upward.", warmth(package, *judged.breaks_at_c))
                           : "";
    reasons.push_back(
        package.bottle.warmest.full
            ? fmt::format("at {} the beer has filled the neck and breaks the bottle, whatever its rating of "
                          "{}.{} Leave more headspace.",
                          warmth(package, package.fill.warmest_c), rating, at)
            : fmt::format("at {} the bottle would stand at {}, above its rating of {}.{} Take a stronger "
                          "container, less gas, or keep it colder (--warmest).",
                          warmth(package, package.fill.warmest_c), pressure(package, package.bottle.warmest.gauge_bar),
                          rating, at));
  }
  if (package.forcing && package.forcing->high_gauge_bar > judged.rating_bar) {
    reasons.push_back(fmt::format("the high pressure of {} is above the rating of {}. Set the regulator lower.",
                                  pressure(package, package.forcing->high_gauge_bar), rating));
  }
  return reasons;
}

std::string package_text(const Package& package) {
  std::string out;
  const std::vector<std::string> refusals = package_refusals(package);
  for (const std::string& reason : refusals) put(out, "Refused: ", reason);
  const Units units(package.us_units_first);
  put(out, "",
      fmt::format("Gas for: {}, {}, {} volumes wanted", package.beer_name.empty() ? "this beer" : package.beer_name,
                  units.volume(package.beer_l * litre), fixed(package.wanted_volumes, 2)));
  if (package.gravity_points_left > 0.0) {
    put(out, "! ",
        fmt::format("DANGER: closed {} thousandths of gravity early. What ferments in the bottle adds {} volumes. Wait "
                    "for two equal readings three days apart instead.",
                    number(package.gravity_points_left, 1), fixed(package.fill.leftover_volumes, 2)));
  }
  if (refusals.empty() && package.stated) {
    put(out, "",
        fmt::format("At the stated rating of {}: {}.", pressure(package, package.stated->rating_bar),
                    verdict_words(package, *package.stated)));
    if (package.stated->breaks_in_hot_transit) {
      put(out, "! ", "DANGER: not to be sent in a hot van or left in the sun; there it passes its rating.");
    }
  }
  out += '\n';
  put_pressures(out, package);
  if (refusals.empty()) {
    put_containers(out, package);
    put_priming(out, package);
    if (package.forced) put_forcing(out, package);
  }
  if (package.facts) put_facts(out, package);
  put(out, "",
      "Solubility: deLange's fit to the ASBC table (from memory), error about 5 %; air left in the neck is counted. "
      "Open "
      "bottles cold, away from the face; keep a plastic one as a tell-tale.");
  return out;
}

}  // namespace oddgrist::present

#include "gyle/sight.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "science/carbonation.hpp"
#include "science/density.hpp"
#include "science/mash_acidity.hpp"
#include "science/refractometry.hpp"
#include "science/vapour.hpp"
#include "science/volumes.hpp"

namespace oddgrist::gyle {
namespace {

constexpr double near_boiling_c = 98.0, mash_c = 65.0, cold_c = 20.0;
// A gravity read in the fermenter within this time counts as the one at pitching. Common practice, no source.
constexpr double pitching_hours = 12.0;

std::optional<Seen> seen(Told told, double value, double deviation) { return Seen{told, value, deviation}; }

// Litres at 20 C; the temperature a volume is read at unless stated.
Sighting volume(const Reading& reading, double deviation) {
  const auto at = [&](Told told, double usual_c) -> Sighting {
    const double factor = science::cold_volume_l(1.0, reading.at_celsius.value_or(usual_c));
    return {seen(told, reading.value * factor, deviation * factor), {}};
  };
  switch (reading.stage) {
    case Stage::planned: return {{}, "nothing has been poured yet"};
    case Stage::mash: return at(Told::mash_volume, mash_c);
    case Stage::before_boil: return at(Told::pre_boil_volume, near_boiling_c);
    case Stage::boil: return {{}, "a volume during the boil changes while it is read; read it before or after"};
    case Stage::after_boil: return at(Told::post_boil_volume, near_boiling_c);
    case Stage::fermenter: return at(Told::fermenter_volume, cold_c);
    case Stage::package: return at(Told::packaged_volume, cold_c);
  }
  return {};
}

Sighting gravity_at(const Taken& taken, double sg, double deviation) {
  switch (taken.reading.stage) {
    case Stage::before_boil: return {seen(Told::pre_boil_gravity, sg, deviation), {}};
    case Stage::after_boil: return {seen(Told::post_boil_gravity, sg, deviation), {}};
    case Stage::fermenter:
      if (taken.hours_into_stage.value_or(0.0) > pitching_hours)
        return {{}, "the beer was fermenting; it tells how far, not how far it will go"};
      return {seen(Told::original_gravity, sg, deviation), {}};
    case Stage::package: return {seen(Told::final_gravity, sg, deviation), {}};
    default: return {{}, "the wort is not yet whole; read its gravity before the boil or later"};
  }
}

Sighting hydrometer(const Taken& taken, double deviation) {
  const double at_c = taken.reading.at_celsius.value_or(cold_c);
  const double sg = science::specific_gravity_from_hydrometer(taken.reading.value, at_c);
  // Above the correction's range vapour and warm layers add their own error: 0.0002 a degree, own estimate.
  const double beyond = 2e-4 * std::max(0.0, at_c - science::hydrometer_range_c.high);
  return gravity_at(taken, sg, std::hypot(deviation, beyond));
}

Sighting refractometer(const Taken& taken, const Known& known, double deviation) {
  const double brix = taken.reading.value / science::refractometer_wort_factor;
  const bool alcohol = taken.reading.stage == Stage::package;
  const double original = science::plato_from_specific_gravity_asbc(known.original_gravity_sg);
  const auto sg_of = [&](double shown) {
    const double plato = alcohol ? science::apparent_extract_from_refraction_plato(original, shown) : shown;
    return science::specific_gravity_from_plato_asbc(plato);
  };
  constexpr double factor_deviation = 0.01;         // the wort factor's range taken as about four deviations
  constexpr double fermented_deviation_sg = 0.002;  // see refractometry.hpp
  const double off = std::hypot(deviation / science::refractometer_wort_factor, factor_deviation * brix);
  const double own = sg_of(brix + 0.5 * off) - sg_of(brix - 0.5 * off);
  return gravity_at(taken, sg_of(brix), alcohol ? std::hypot(own, fermented_deviation_sg) : own);
}

Sighting mass(const Reading& reading, const Known& known, double deviation) {
  const auto litres = [&](Told told, double sg) -> Sighting {
    const double kg_per_l = sg * science::cold_water_kg_per_l;
    return {seen(told, reading.value / kg_per_l, deviation / kg_per_l), {}};
  };
  if (reading.of != "wort") return {{}, "only the mass of the wort is foretold; what was weighed in is an addition"};
  if (reading.stage == Stage::before_boil) return litres(Told::pre_boil_volume, known.pre_boil_gravity_sg);
  if (reading.stage == Stage::after_boil) return litres(Told::post_boil_volume, known.post_boil_gravity_sg);
  if (reading.stage == Stage::fermenter) return litres(Told::fermenter_volume, known.original_gravity_sg);
  return {{}, "the mass of the wort is foretold before and after the boil and in the fermenter"};
}

Sighting pressure(const Reading& reading, double deviation) {
  if (reading.stage != Stage::package) return {{}, "a pressure is foretold in the package only"};
  const auto volumes = [&](double gauge_bar) {
    return science::carbonation_equilibrium_volumes_delange(reading.at_celsius.value_or(cold_c),
                                                            gauge_bar + science::standard_atmosphere_bar);
  };
  const double slope = volumes(reading.value + 0.5) - volumes(reading.value - 0.5);
  return {seen(Told::carbonation, volumes(reading.value), slope * deviation), {}};
}

// What a working instrument can show at all.
bool can_be(Sight sight, double value) {
  const auto within = [&](double low, double high) { return value >= low && value <= high; };
  switch (sight) {
    case Sight::volume:
    case Sight::mass: return value > 0.0 && value < 1e6;
    case Sight::gravity: return within(0.95, 1.25);
    case Sight::refraction: return within(0.0, 50.0);
    case Sight::temperature: return within(-10.0, 115.0);
    case Sight::ph: return within(1.0, 12.0);
    case Sight::pressure: return within(-1.0, 30.0);
    case Sight::taste: return within(0.0, 10.0);
  }
  return false;
}

struct Slip {
  std::string words;
  Reading reading;
};

std::vector<Slip> slips_of(const Reading& reading) {
  std::vector<Slip> slips;
  const auto as = [&](std::string words, double value) {
    slips.push_back({std::move(words), reading});
    slips.back().reading.value = value;
  };
  const auto on = [&](std::string words, Stage stage) {
    slips.push_back({std::move(words), reading});
    slips.back().reading.stage = stage;
  };
  const auto warm = [&](double at_c) {
    slips.push_back(
        {fmt::format("read at about {:.0f} °C and not at {:.0f} °C", at_c, reading.at_celsius.value_or(cold_c)),
         reading});
    slips.back().reading.at_celsius = at_c;
  };
  switch (reading.sight) {
    case Sight::volume:
      as("typed in US gallons", reading.value * 3.785411784);
      as("typed in imperial gallons", reading.value * 4.54609);
      as("litres typed where gallons were asked", reading.value / 3.785411784);
      for (double mark : {-1.0, 1.0}) as("the vessel's mark misread by one litre", reading.value + mark);
      for (double mark : {-5.0, 5.0}) as("the vessel's mark misread by five litres", reading.value + mark);
      break;
    case Sight::gravity:
      if (reading.value > 1.25 && reading.value < 40.0)
        as("typed in degrees Plato", science::specific_gravity_from_plato_asbc(reading.value));
      if (reading.value >= 1.25 && reading.value < 200.0) as("typed as points", 1.0 + reading.value / 1000.0);
      if (reading.value > 900.0) as("the point left out", reading.value / 1000.0);
      for (double at_c : {30.0, 40.0, 50.0, 60.0, 70.0}) warm(at_c);
      for (double tens : {-0.01, 0.01}) as("the scale misread by ten points", reading.value + tens);
      if (const double points = std::round((reading.value - 1.0) * 1000.0); points > 0.0 && points < 100.0)
        as("two digits exchanged", 1.0 + (std::fmod(points, 10.0) * 10.0 + std::floor(points / 10.0)) / 1000.0);
      break;
    case Sight::ph:
      for (double at_c : {cold_c, 50.0, 65.0}) {
        if (std::abs(reading.at_celsius.value_or(cold_c) - at_c) > 5.0) warm(at_c);
      }
      break;
    case Sight::temperature: as("typed in degrees Fahrenheit", (reading.value - 32.0) / 1.8); break;
    case Sight::pressure: as("typed in psi", reading.value * science::bar_per_psi); break;
    default: break;
  }
  if (reading.sight == Sight::volume || reading.sight == Sight::gravity || reading.sight == Sight::refraction) {
    if (reading.stage != Stage::before_boil) on("taken before the boil", Stage::before_boil);
    if (reading.stage != Stage::after_boil) on("taken after the boil", Stage::after_boil);
  }
  return slips;
}

}  // namespace

double told_by(const Upcome& upcome, Told told) {
  const auto& forecast = upcome.forecast;
  const auto cold = [](double hot_l, double at_c) { return science::cold_volume_l(hot_l, at_c); };
  switch (told) {
    case Told::rest_temperature: return upcome.rest_temperature_c;
    case Told::mash_ph: return forecast.mash_ph;
    case Told::mash_volume: return cold(forecast.mash_volume_hot_l, mash_c);
    case Told::pre_boil_volume: return cold(forecast.pre_boil_volume_hot_l, near_boiling_c);
    case Told::pre_boil_gravity: return forecast.pre_boil_gravity_sg;
    case Told::post_boil_volume: return cold(forecast.post_boil_volume_hot_l, near_boiling_c);
    case Told::post_boil_gravity: return forecast.post_boil_gravity_sg;
    case Told::fermenter_volume: return forecast.fermenter_volume_l;
    case Told::original_gravity: return forecast.original_gravity_sg;
    case Told::final_gravity: return forecast.final_gravity_sg;
    case Told::carbonation: return upcome.carbonation_volumes;
    case Told::packaged_volume: return forecast.packaged_volume_l;
    case Told::alcohol: return forecast.abv_percent;
    case Told::bitterness: return forecast.bitterness_ibu;
    case Told::colour: return forecast.colour_ebc;
  }
  return 0.0;
}

double usual_deviation(Sight sight, double value) {
  switch (sight) {
    case Sight::volume: return std::max(0.1, 0.02 * std::abs(value));
    case Sight::gravity: return 0.001;
    case Sight::refraction: return 0.2;
    case Sight::temperature: return 0.5;
    case Sight::ph: return 0.07;
    case Sight::pressure: return 0.1;
    case Sight::mass: return std::max(0.02, 0.005 * std::abs(value));
    case Sight::taste: return 1.0;
  }
  return 1.0;
}

Sighting sighting_of(const Taken& taken, const Known& known) {
  const Reading& reading = taken.reading;
  if (!std::isfinite(reading.value) || !can_be(reading.sight, reading.value)) return {{}, no_instrument};
  const double usual = usual_deviation(reading.sight, reading.value);
  const double deviation = reading.deviation && *reading.deviation > 0.0 ? *reading.deviation : usual;
  switch (reading.sight) {
    case Sight::volume: return volume(reading, deviation);
    case Sight::gravity: return hydrometer(taken, deviation);
    case Sight::refraction: return refractometer(taken, known, deviation);
    case Sight::temperature:
      if (reading.stage == Stage::after_boil)
        return {{}, "kept for the record; it tells how fast this kit cools, which moves the forecast of the next gyle"};
      if (reading.stage != Stage::mash)
        return {{}, "kept for the record; only the rest's temperature moves the forecast"};
      return {seen(Told::rest_temperature, reading.value, deviation), {}};
    case Sight::ph:
      if (reading.stage != Stage::mash) return {{}, "kept for the record; only the mash's pH is foretold"};
      return {
          seen(Told::mash_ph, science::mash_ph_at_20c(reading.value, reading.at_celsius.value_or(cold_c)), deviation),
          {}};
    case Sight::pressure: return pressure(reading, deviation);
    case Sight::mass: return mass(reading, known, deviation);
    case Sight::taste: return {{}, "kept for afterwards"};
  }
  return {};
}

std::vector<std::string> likely_slips(const Taken& taken, const Known& known,
                                      const std::function<Expected(Told)>& expected) {
  std::vector<std::pair<double, std::string>> fitting;
  const Sighting as_read = sighting_of(taken, known);
  if (as_read.seen && as_read.seen->told == Told::final_gravity &&
      as_read.seen->value > expected(Told::final_gravity).value)
    fitting.emplace_back(0.0, "the beer has not finished fermenting");
  for (const Slip& slip : slips_of(taken.reading)) {
    Taken other = taken;
    other.reading = slip.reading;
    const Sighting sighting = sighting_of(other, known);
    if (!sighting.seen) continue;
    const Expected usual = expected(sighting.seen->told);
    const double off = std::abs(sighting.seen->value - usual.value) / usual.deviation;
    if (off <= 2.0) fitting.emplace_back(off, slip.words);
  }
  std::stable_sort(fitting.begin(), fitting.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<std::string> words;
  for (auto& each : fitting) {
    if (std::find(words.begin(), words.end(), each.second) == words.end()) words.push_back(std::move(each.second));
  }
  if (words.size() > 3) words.resize(3);
  return words;
}

std::optional<double> litres_at(const Marks& marks, double height) {
  const auto falls = [](const auto& a, const auto& b) { return a.first >= b.first || a.second > b.second; };
  if (std::adjacent_find(marks.begin(), marks.end(), falls) != marks.end()) return std::nullopt;
  for (std::size_t i = 1; i < marks.size(); ++i) {
    const auto& [low, low_l] = marks[i - 1];
    const auto& [high, high_l] = marks[i];
    if (height >= low && height <= high) return std::lerp(low_l, high_l, (height - low) / (high - low));
  }
  return std::nullopt;
}

}  // namespace oddgrist::gyle

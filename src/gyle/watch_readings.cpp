#include "gyle/watch_readings.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "quantity/gravity.hpp"
#include "science/density.hpp"
#include "science/refractometry.hpp"

namespace oddgrist::gyle {
namespace {

using science::plato_from_specific_gravity_asbc;
using science::specific_gravity_from_plato_asbc;

constexpr double lowest_gravity_sg = 0.985, highest_gravity_sg = 1.180, highest_brix = 38.0;
constexpr double questioned_below = 0.01;
constexpr std::size_t most_looked_at = 4;
constexpr std::size_t draws_without = 256, nodes_without = 192;

bool looked_at_here(const TimedReading& timed) {
  return timed.reading.stage == Stage::fermenter || timed.reading.stage == Stage::package;
}

double brix_to_gravity(double brix, double start_sg) {
  const double original = plato_from_specific_gravity_asbc(start_sg);
  const double sucrose_brix = brix / science::refractometer_wort_factor;
  return specific_gravity_from_plato_asbc(science::apparent_extract_from_refraction_plato(original, sucrose_brix));
}

// What a refractometer shows in such a beer; the inverse of the above.
double gravity_to_brix(double gravity_sg, double start_sg) {
  return science::refractometer_wort_factor *
         science::refraction_of_fermented_brix(plato_from_specific_gravity_asbc(start_sg),
                                               plato_from_specific_gravity_asbc(gravity_sg));
}

bool gravity_usable(const Reading& reading) {
  return std::isfinite(reading.value) && reading.value >= lowest_gravity_sg && reading.value <= highest_gravity_sg;
}

bool a_gravity_by_mistake(double brix) { return brix > 0.95 && brix < 1.2; }

bool refraction_usable(const Reading& reading) {
  return std::isfinite(reading.value) && reading.value >= 0.0 && reading.value <= highest_brix &&
         !a_gravity_by_mistake(reading.value);
}

double deviation_or(const Reading& reading, double usual) {
  return reading.deviation && *reading.deviation > 0.0 && std::isfinite(*reading.deviation) ? *reading.deviation
                                                                                            : usual;
}

FallSighting sighting_of_gravity(const Reading& reading) {
  const double at = reading.at_celsius.value_or(20.0);
  const double held =
      std::isfinite(at) ? std::clamp(at, science::hydrometer_range_c.low, science::hydrometer_range_c.high) : 20.0;
  FallSighting sighting;
  sighting.gravity_sg = science::specific_gravity_from_hydrometer(reading.value, held);
  // A sample's temperature is known to about a degree: the correction to a tenth of itself and a little.
  const double correction = std::abs(sighting.gravity_sg - reading.value);
  const double beyond = std::abs(at - held) > 0.0 ? 0.004 : 0.0;
  sighting.deviation_sg = std::hypot(deviation_or(reading, hydrometer_deviation_sg), 0.15 * correction, beyond);
  return sighting;
}

FallSighting sighting_of_refraction(const Reading& reading, double start_sg) {
  FallSighting sighting;
  sighting.gravity_sg = brix_to_gravity(reading.value, start_sg);
  sighting.at_start_sg = start_sg;
  constexpr double step_sg = 0.001, step_brix = 0.1;
  sighting.per_start_sg = (brix_to_gravity(reading.value, start_sg + step_sg) - sighting.gravity_sg) / step_sg;
  const double per_brix = (brix_to_gravity(reading.value + step_brix, start_sg) - sighting.gravity_sg) / step_brix;
  // The wort factor is known to 0.01; the way through alcohol to 0.002 once it is fermented (science/refractometry.hpp).
  const double brix = std::hypot(deviation_or(reading, refractometer_deviation_brix), 0.01 * reading.value);
  const double fallen = std::clamp((start_sg - sighting.gravity_sg) / std::max(start_sg - 1.0, 0.005), 0.0, 1.0);
  sighting.deviation_sg = std::hypot(brix * per_brix, 0.002 * fallen);
  return sighting;
}

// ---- What a reading that does not fit may have been

struct Guess {
  double value = 0.0;  // as the instrument should have shown it
  double gravity_sg = 0.0;
  std::string mistake;
};

std::vector<Guess> guesses_for_gravity(const Reading& reading, const TakenFall& taken, double start_sg,
                                       double fits_sg) {
  std::vector<Guess> guesses;
  const double correction = taken.sighting.gravity_sg - reading.value;
  const auto add = [&](double value, std::string mistake) {
    if (value > lowest_gravity_sg && value < highest_gravity_sg && std::abs(value - reading.value) > 0.0015) {
      guesses.push_back({value, value + correction, std::move(mistake)});
    }
  };
  const long thousandths = std::lround(reading.value * 1000.0) - 1000;
  if (thousandths >= 0 && thousandths < 1000) {
    const long hundreds = thousandths / 100, tens = thousandths / 10 % 10, ones = thousandths % 10;
    add(1.0 + 0.001 * static_cast<double>(100 * hundreds + 10 * ones + tens), "two digits changed places");
    add(1.0 + 0.001 * static_cast<double>(100 * tens + 10 * hundreds + ones), "two digits changed places");
  }
  add(reading.value + 0.010, "read one mark of ten too low");
  add(reading.value - 0.010, "read one mark of ten too high");
  // A refractometer's Brix put down as if it were a hydrometer's Plato.
  const double shown_plato = plato_from_specific_gravity_asbc(reading.value);
  add(brix_to_gravity(shown_plato, start_sg), "a refractometer's figure that was not corrected for alcohol");
  if (!reading.at_celsius && fits_sg > reading.value) {
    for (double warm_c = 25.0; warm_c <= 40.0; warm_c += 5.0) {
      const double cold = science::specific_gravity_from_hydrometer(reading.value, warm_c);
      if (std::abs(cold - fits_sg) < 0.0012) {
        guesses.push_back({cold, cold, fmt::format("the sample was warm, about {:.0f} °C", warm_c)});
        break;
      }
    }
  }
  return guesses;
}

std::vector<Guess> guesses_for_refraction(const Reading& reading, double start_sg) {
  std::vector<Guess> guesses;
  const auto add = [&](double brix, std::string mistake) {
    if (brix >= 0.0 && brix < highest_brix)
      guesses.push_back({brix, brix_to_gravity(brix, start_sg), std::move(mistake)});
  };
  // Corrected already, or a hydrometer's Plato: the refractometer would have shown more.
  if (reading.value > 0.0 && reading.value < 30.0) {
    const double gravity = specific_gravity_from_plato_asbc(reading.value);
    add(gravity_to_brix(gravity, start_sg), "degrees Plato of a hydrometer, or already corrected for alcohol");
  }
  add(reading.value * 10.0, "the decimal point is one place off");
  add(reading.value / 10.0, "the decimal point is one place off");
  const long tenths = std::lround(reading.value * 10.0);
  const long tens = tenths / 100, ones = tenths / 10 % 10, last = tenths % 10;
  add(0.1 * static_cast<double>(100 * tens + 10 * last + ones), "two digits changed places");
  add(0.1 * static_cast<double>(100 * ones + 10 * tens + last), "two digits changed places");
  return guesses;
}

double normal_share(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

// A reading as the draws foresee it: how likely, and how far out.
struct Foreseen {
  const FermentScene& scene;
  std::vector<double> gravities;
  double deviation = 0.001;

  Foreseen(const FermentScene& the_scene, std::span<const FermentDraw> draws, const FallSighting& sighting)
      : scene(the_scene), deviation(std::hypot(sighting.deviation_sg, course_deviation_sg)) {
    for (const FermentDraw& draw : draws) {
      const double moved = sighting.per_start_sg * (draw.gravities[0] - sighting.at_start_sg);
      gravities.push_back(gravity_at(scene, draw, sighting.hour) - moved);
    }
  }
  [[nodiscard]] double chance_of(double gravity) const {
    double below = 0.0;
    for (double mean : gravities) below += normal_share((gravity - mean) / deviation);
    below /= static_cast<double>(gravities.size());
    return 2.0 * std::min(below, 1.0 - below);
  }
  [[nodiscard]] double density_at(double gravity) const {
    double sum = 0.0;
    for (double mean : gravities) {
      const double z = (gravity - mean) / deviation;
      sum += std::exp(-0.5 * z * z);
    }
    return sum / static_cast<double>(gravities.size());
  }
};

std::string contradiction(const FermentScene& scene, std::span<const TakenFall> taken, std::size_t at, const Band& fits,
                          double lowest_end_sg) {
  const FallSighting& here = taken[at].sighting;
  const bool high = here.gravity_sg > fits.median;
  const auto dosed_between = [&](double from) {
    return scene.dosed_hour && *scene.dosed_hour >= from && *scene.dosed_hour <= here.hour;
  };
  if (high && at > 0 && !dosed_between(taken[at - 1].sighting.hour)) {
    const FallSighting& before = taken[at - 1].sighting;
    if (here.gravity_sg > before.gravity_sg + 2.0 * (here.deviation_sg + before.deviation_sg)) {
      return "the gravity has risen, and nothing was added";
    }
  }
  if (high && here.gravity_sg > scene.mean[0] + 2.0 * here.deviation_sg) return "it is above the gravity at pitching";
  if (!high && here.gravity_sg < lowest_end_sg - 2.0 * here.deviation_sg) {
    return "it is lower than the sugars of this beer allow";
  }
  if (!high && at > 0 && here.hour - taken[at - 1].sighting.hour < 24.0) {
    return "no yeast ferments so much in so few hours";
  }
  return high ? "it is higher than the other readings let it be" : "it is lower than the other readings let it be";
}

Band in_own_unit(const Band& gravity, Sight sight, double start_sg, double correction) {
  if (sight == Sight::refraction) {
    return {gravity_to_brix(gravity.low, start_sg), gravity_to_brix(gravity.median, start_sg),
            gravity_to_brix(gravity.high, start_sg)};
  }
  return {gravity.low - correction, gravity.median - correction, gravity.high - correction};
}

void guess_mistake(const Foreseen& foreseen, const Reading& reading, const TakenFall& taken, double start_sg,
                   double fits_sg, Question& question) {
  const double here = foreseen.density_at(taken.sighting.gravity_sg);
  const std::vector<Guess> guesses = taken.sight == Sight::refraction
                                         ? guesses_for_refraction(reading, start_sg)
                                         : guesses_for_gravity(reading, taken, start_sg, fits_sg);
  double best = std::max(20.0 * here, 0.15 * foreseen.density_at(fits_sg));
  for (const Guess& guess : guesses) {
    const double density = foreseen.density_at(guess.gravity_sg);
    if (!(density > best)) continue;
    best = density;
    question.likely_mistake = guess.mistake;
    question.likely_value = guess.value;
  }
  const double above = taken.sighting.gravity_sg - fits_sg;
  if (question.likely_mistake.empty() && taken.sight == Sight::gravity && above > 0.0 && above < 0.006) {
    question.likely_mistake = "bubbles on the float lift it: spin it, let the gas go, read again";
  }
}

std::optional<Question> question_one(const FermentScene& scene, std::span<const TimedReading> readings,
                                     std::span<const TakenFall> taken, std::size_t at, double lowest_end_sg) {
  const std::vector<FermentDraw> others =
      draw_fermentations(scene, fall_sightings_of(taken, at), draws_without, nodes_without);
  const TakenFall& here = taken[at];
  const Foreseen foreseen(scene, others, here.sighting);
  Question question;
  question.index = here.index;
  question.chance = foreseen.chance_of(here.sighting.gravity_sg);
  if (question.chance >= questioned_below) return std::nullopt;
  const Band fits = band_of(foreseen.gravities);
  const Reading& reading = readings[here.index].reading;
  const double start_sg = here.sight == Sight::refraction ? here.sighting.at_start_sg : scene.mean[0];
  const double correction = here.sight == Sight::gravity ? here.sighting.gravity_sg - here.value : 0.0;
  question.fits = in_own_unit(fits, here.sight, start_sg, correction);
  question.what = contradiction(scene, taken, at, fits, lowest_end_sg);
  guess_mistake(foreseen, reading, here, start_sg, fits.median, question);
  return question;
}

}  // namespace

Band band_of(std::vector<double> values) {
  if (values.empty()) return {};
  const auto at = [&](double share) {
    const std::ptrdiff_t place = std::lround(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + place, values.end());
    return values[static_cast<std::size_t>(place)];
  };
  Band band;
  band.low = at(0.1);
  band.median = at(0.5);
  band.high = at(0.9);
  return band;
}

std::vector<TakenFall> take_falls(std::span<const TimedReading> readings, Instant pitched, double start_sg) {
  std::vector<TakenFall> taken;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const Reading& reading = readings[i].reading;
    const double hour = hours_since(pitched, readings[i].at);
    if (!looked_at_here(readings[i]) || hour > process::course_days * 24.0) continue;
    TakenFall one;
    if (reading.sight == Sight::gravity && gravity_usable(reading)) {
      one.sighting = sighting_of_gravity(reading);
    } else if (reading.sight == Sight::refraction && refraction_usable(reading)) {
      one.sighting = sighting_of_refraction(reading, start_sg);
    } else {
      continue;
    }
    one.index = i;
    one.sight = reading.sight;
    one.value = reading.value;
    one.sighting.hour = std::max(hour, 0.0);
    taken.push_back(one);
  }
  std::stable_sort(taken.begin(), taken.end(),
                   [](const TakenFall& a, const TakenFall& b) { return a.sighting.hour < b.sighting.hour; });
  return taken;
}

std::vector<FallSighting> fall_sightings_of(std::span<const TakenFall> taken, std::size_t without) {
  std::vector<FallSighting> sightings;
  for (std::size_t i = 0; i < taken.size(); ++i) {
    if (i == without) continue;
    sightings.push_back(taken[i].sighting);
    sightings.back().deviation_sg = std::hypot(sightings.back().deviation_sg, course_deviation_sg);
  }
  return sightings;
}

std::vector<Question> question_readings(const FermentScene& scene, std::span<const TimedReading> readings,
                                        std::span<const TakenFall> taken, std::span<const FermentDraw> draws,
                                        double lowest_end_sg) {
  // Those that lie farthest out of the whole cloud are looked at again without themselves; of few readings, all.
  std::vector<std::pair<double, std::size_t>> suspects;
  for (std::size_t i = 0; i < taken.size(); ++i) {
    const double chance = Foreseen(scene, draws, taken[i].sighting).chance_of(taken[i].sighting.gravity_sg);
    if (taken.size() <= 3 || chance < 0.1) suspects.emplace_back(chance, i);
  }
  std::sort(suspects.begin(), suspects.end());
  std::vector<Question> questions;
  for (std::size_t i = 0; i < std::min(suspects.size(), most_looked_at); ++i) {
    auto question = question_one(scene, readings, taken, suspects[i].second, lowest_end_sg);
    if (question) questions.push_back(std::move(*question));
  }
  std::sort(questions.begin(), questions.end(), [](const Question& a, const Question& b) { return a.index < b.index; });
  return questions;
}

std::vector<Question> question_plain(std::span<const TimedReading> readings, Instant pitched) {
  std::vector<Question> questions;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (!looked_at_here(readings[i])) continue;
    const Reading& reading = readings[i].reading;
    const double value = reading.value;
    Question question;
    question.index = i;
    if (!std::isfinite(value)) {
      question.what = "it is not a number";
    } else if (reading.sight == Sight::gravity && !gravity_usable(reading)) {
      question.what = "no wort or beer has such a gravity";
      if (value >= 2.0 && value <= 30.0) {
        question.likely_mistake = "degrees Plato or Brix put down as a specific gravity";
        question.likely_value = specific_gravity_from_plato_asbc(value);
      } else if (value >= 985.0 && value <= 1180.0) {
        question.likely_mistake = "the point is missing";
        question.likely_value = value / 1000.0;
      }
    } else if (reading.sight == Sight::refraction && a_gravity_by_mistake(value)) {
      question.what = "that is a specific gravity, not degrees Brix";
      question.likely_mistake = "the other scale of the same refractometer";
      question.likely_value = plato_from_specific_gravity_asbc(value);
    } else if (reading.sight == Sight::refraction && !refraction_usable(reading)) {
      question.what = "no wort or beer shows so many degrees Brix";
    } else if (reading.sight == Sight::temperature && !(value >= -2.0 && value <= 45.0)) {
      question.what = "no beer ferments at such a temperature";
      if (value > 50.0 && value < 110.0) {
        question.likely_mistake = "degrees Fahrenheit";
        question.likely_value = (value - 32.0) / 1.8;
      }
    } else if (reading.sight == Sight::ph && !(value >= 3.0 && value <= 6.2)) {
      question.what = "no beer has such a pH, bar a sour one";
      question.likely_mistake = "a meter that was not set with its buffers";
    } else if (reading.sight == Sight::pressure && !(value >= -0.05 && value <= 6.0)) {
      question.what = "no fermenter bears such a pressure";
      if (value > 6.0 && value <= 60.0) {
        question.likely_mistake = "psi put down as bar";
        question.likely_value = value * science::bar_per_psi;
      }
    } else if (hours_since(pitched, readings[i].at) < -0.5) {
      question.what = "it is from before the yeast was pitched";
    } else {
      continue;
    }
    questions.push_back(std::move(question));
  }
  return questions;
}

}  // namespace oddgrist::gyle

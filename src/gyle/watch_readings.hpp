// Readings made comparable, and those that do not fit looked at.
#pragma once

#include <span>
#include <vector>

#include "gyle/watch.hpp"
#include "gyle/watch_fit.hpp"

namespace oddgrist::gyle {

// One standard deviation of the usual instrument, own estimates: a hydrometer read to its mark; a hand refractometer; a strip or a small
// meter is not asked here.
inline constexpr double hydrometer_deviation_sg = 0.001;
inline constexpr double refractometer_deviation_brix = 0.15;
// What the curve itself may be wrong by at any hour.
inline constexpr double course_deviation_sg = 0.0003;

struct TakenFall {
  std::size_t index = 0;
  Sight sight = Sight::gravity;
  double value = 0.0;  // as read
  FallSighting sighting;
};

// Gravities and refractions in order of time, corrected: the hydrometer for the temperature of the sample, the refractometer for alcohol with
// this start gravity. Values that no wort or beer has are left out.
[[nodiscard]] std::vector<TakenFall> take_falls(std::span<const TimedReading> readings, Instant pitched,
                                                double start_sg);

[[nodiscard]] std::vector<FallSighting> fall_sightings_of(std::span<const TakenFall> taken, std::size_t without);
inline constexpr std::size_t without_none = static_cast<std::size_t>(-1);

// Each reading against what all the others say.
[[nodiscard]] std::vector<Question> question_readings(const FermentScene& scene, std::span<const TimedReading> readings,
                                                      std::span<const TakenFall> taken,
                                                      std::span<const FermentDraw> draws, double lowest_end_sg);

// Readings no beer can have, temperatures and pH out of the ordinary.
[[nodiscard]] std::vector<Question> question_plain(std::span<const TimedReading> readings, Instant pitched);

[[nodiscard]] Band band_of(std::vector<double> values);
[[nodiscard]] inline double hours_since(Instant from, Instant to) {
  return std::chrono::duration<double, std::ratio<3600>>(to - from).count();
}

}  // namespace oddgrist::gyle

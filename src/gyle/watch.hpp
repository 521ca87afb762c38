// The fermentation watch: the forecast of a fermentation, corrected by what was read of it. How it stands, how sure that is, which
// reading to doubt, what to read next, and whether the beer may be closed up.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "compose/proposal.hpp"
#include "gyle/event.hpp"
#include "process/fermentation_course.hpp"
#include "science/bottle_pressure.hpp"

namespace oddgrist::gyle {

struct TimedReading {
  Instant at{};
  Reading reading;  // of the fermenter or the package; readings of other stages are passed over
};

// What the log knows besides readings.
struct WatchFacts {
  std::optional<Instant> pitched;  // none: the first reading stands for it
  std::optional<Instant> dosed;    // when the recipe's late dose was poured in
  science::Container container = science::Container::one_way_glass;
  double warmest_c = 30.0;  // that the closed beer will see
};

enum class FermentState { cannot_tell, unread, lag, as_expected, slow, stuck, finished, refermenting };

// Chances that add up to 1.
struct StateChances {
  double lag = 0.0, as_expected = 0.0, slow = 0.0, stuck = 0.0, finished = 0.0, refermenting = 0.0;
};

// Nine cases of ten lie above `low`, nine of ten below `high`: an 80 % interval.
struct Band {
  double low = 0.0, median = 0.0, high = 0.0;
};

struct WatchPoint {
  double hour = 0.0;  // since the pitch
  Band gravity_sg;
};

// A reading as the watch takes it.
struct WatchedReading {
  std::size_t index = 0;  // in the readings given
  double hour = 0.0;
  double gravity_sg = 0.0;    // 20/20, corrected for temperature or for alcohol
  double deviation_sg = 0.0;  // one standard deviation, with that of the correction
  bool questioned = false;
};

// A reading that does not fit. It stays in the reckoning, but hardly pulls at it.
struct Question {
  std::size_t index = 0;       // in the readings given
  std::string what;            // "the gravity has risen"
  std::optional<Band> fits;    // where the others say it should lie, in the unit of the reading's own sight
  double chance = 0.0;         // of a reading at least this far off, if all were well
  std::string likely_mistake;  // empty: no guess
  std::optional<double> likely_value;
};

struct NextReading {
  Instant at{};
  std::string why;
  double information_bits = 0.0;  // about when, and whether, the beer will be finished
};

struct ContainerChance {
  science::Container container = science::Container::unknown_glass;
  double rating_bar = 0.0;
  Band pressure_bar;            // at the warmest
  double wish_alone_bar = 0.0;  // with the gas that is wished for and nothing left to ferment
  double over_rating = 0.0;     // chance
  double far_over = 0.0;        // chance of more than a fifth above the rating
};

enum class CloseUp { not_yet, yes, danger };

struct Bottling {
  CloseUp verdict = CloseUp::not_yet;
  std::vector<std::string> reasons;
  Band volumes_to_come;  // of gas, from what has not fermented
  std::vector<ContainerChance> containers;
  double steady_hours = 0.0;  // the latest readings agree for so long
  double wanted_hours = 0.0;  // and should for so long
};

struct Watch {
  FermentState state = FermentState::cannot_tell;
  double chance = 0.0;  // that it is this state
  StateChances chances;
  std::vector<std::string> reasons;
  Instant pitched{};
  double hour = 0.0;  // now, since the pitch
  Band gravity_now_sg, start_sg, end_sg, abv_percent_now;
  Band pace;                            // times the usual one
  std::optional<Band> finished_hour;    // of the cases that finish within `process::course_days`; none: hardly any does
  double never_share = 0.0;             // cases that do not
  std::vector<WatchPoint> curve;        // to the end and a little past it
  std::vector<WatchedReading> watched;  // every gravity and refraction, by time
  std::vector<Question> questions;
  std::optional<NextReading> next;
  Bottling bottling;
};

// "Finished": this near to where it will stay; what a hydrometer can just tell.
inline constexpr double finished_within_sg = process::near_end_sg;
// Two readings alike this far apart before anything is closed; the second where dextrins or late sugar may still ferment (common
// practice, no source). Six hours short of it counts: nobody reads at the same minute.
inline constexpr double steady_hours_usual = 72.0;
inline constexpr double steady_hours_long = 168.0;

// Conditions the forecast course of the proposal on the readings. Unknown: start and end gravity, pace, lag, whether it stops early or
// goes on past its end; priors are own estimates about the forecast (watch_fit.hpp). Reading errors have heavy tails, so that one mistyped
// figure does not carry the curve away. Temperatures read in the fermenter turn the clock faster or slower (10 K double the rates).
// Readings in any order. Never throws; figures are always finite. Without a course to follow: `cannot_tell`.
[[nodiscard]] Watch watch_of(const compose::Brief& brief, const compose::Proposal& proposal,
                             std::span<const TimedReading> readings, Instant now, const WatchFacts& facts = {});

}  // namespace oddgrist::gyle

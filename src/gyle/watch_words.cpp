#include "gyle/watch_words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace oddgrist::gyle {
namespace {

std::string days(double hours) { return fmt::format("{:.1f} days", hours / 24.0); }

// The latest temperature of the beer; as planned if none was read.
double beer_temperature(const WatchGrounds& grounds) {
  const TimedReading* last = nullptr;
  for (const TimedReading& timed : grounds.readings) {
    const Reading& reading = timed.reading;
    if (reading.sight != Sight::temperature || reading.stage != Stage::fermenter) continue;
    if (!(reading.value >= -2.0 && reading.value <= 45.0)) continue;
    if (last == nullptr || timed.at >= last->at) last = &timed;
  }
  return last != nullptr ? last->reading.value : grounds.course.temperature_c;
}

void say_state(const WatchGrounds& grounds, const Watch& watch, std::vector<std::string>& reasons) {
  const Band& now = watch.gravity_now_sg;
  const double expected = grounds.course.end_sg.usual;
  switch (watch.state) {
    case FermentState::unread: reasons.emplace_back("Nothing has been read yet: this is the forecast alone."); break;
    case FermentState::lag:
      reasons.push_back(fmt::format("{} after the pitch the gravity has hardly moved.", days(watch.hour)));
      if (watch.hour > 36.0)
        reasons.emplace_back("That is long. Look for foam and smell; warm it a little and rouse it.");
      break;
    case FermentState::as_expected:
      reasons.push_back(
          fmt::format("The gravity, about {:.3f}, falls as it should: {:.0f} % of the usual pace ({:.0f} to {:.0f} %).",
                      now.median, 100.0 * watch.pace.median, 100.0 * watch.pace.low, 100.0 * watch.pace.high));
      break;
    case FermentState::slow:
      reasons.push_back(fmt::format("It goes at about {:.0f} % of the usual pace ({:.0f} to {:.0f} %), but it goes.",
                                    100.0 * watch.pace.median, 100.0 * watch.pace.low, 100.0 * watch.pace.high));
      break;
    case FermentState::stuck:
      reasons.push_back(
          fmt::format("The gravity stands at about {:.3f}, {:.3f} above the {:.3f} where this beer should "
                      "end, and no longer falls.",
                      now.median, std::max(now.median - expected, 0.0), expected));
      break;
    case FermentState::finished:
      reasons.push_back(
          fmt::format("The gravity is about {:.3f} ({:.3f} to {:.3f}) and has no more to fall than a "
                      "hydrometer can tell; forecast {:.3f}.",
                      now.median, now.low, now.high, expected));
      break;
    case FermentState::refermenting:
      reasons.push_back(
          grounds.facts.dosed && watch.chances.refermenting > 0.0
              ? "The late dose is fermenting."
              : "The gravity falls on below where this yeast should end: a wild yeast, or one that works on "
                "dextrins. Keep it apart, taste it, and do not bottle it.");
      break;
    case FermentState::cannot_tell: break;
  }
}

void say_causes(const WatchGrounds& grounds, const Watch& watch, std::vector<std::string>& reasons) {
  const bool lame =
      watch.state == FermentState::slow || watch.state == FermentState::stuck || watch.state == FermentState::lag;
  if (!lame) return;
  const double celsius = beer_temperature(grounds);
  if (grounds.proposal.yeast.yeast) {
    const larder::YeastTraits& traits = *grounds.proposal.yeast.yeast;
    if (celsius < traits.temperature_low_c) {
      reasons.push_back(
          fmt::format("The beer is at {:.1f} °C and this yeast likes {:.0f} to {:.0f} °C: warm it slowly and "
                      "stir the yeast up.",
                      celsius, traits.temperature_low_c, traits.temperature_high_c));
    } else if (celsius > traits.temperature_high_c + 3.0) {
      reasons.push_back(fmt::format("The beer is at {:.1f} °C, more than this yeast likes ({:.0f} to {:.0f} °C).",
                                    celsius, traits.temperature_low_c, traits.temperature_high_c));
    }
    if (watch.abv_percent_now.median > 0.85 * traits.tolerance_abv_percent) {
      reasons.push_back(fmt::format("It holds {:.1f} % vol, near the {:.0f} % vol this yeast bears.",
                                    watch.abv_percent_now.median, traits.tolerance_abv_percent));
    }
  }
  if (grounds.course.pitch.verdict == process::PitchVerdict::too_little) {
    reasons.emplace_back("Too little yeast was planned for this wort.");
  }
}

void say_doubt(const WatchGrounds& grounds, const Watch& watch, std::vector<std::string>& reasons) {
  const auto sound = std::count_if(watch.watched.begin(), watch.watched.end(),
                                   [](const WatchedReading& reading) { return !reading.questioned; });
  if (sound == 1) reasons.emplace_back("This rests on one reading.");
  if (!watch.questions.empty()) {
    reasons.emplace_back(watch.questions.size() == 1 ? "One reading does not fit; it is kept, but hardly counts."
                                                     : "Some readings do not fit; they are kept, but hardly count.");
  }
  if (watch.hour > process::course_days * 24.0) {
    reasons.push_back(fmt::format("The forecast ends {:.0f} days after the pitch; past that it is held still.",
                                  process::course_days));
  }
  const auto sour = std::any_of(grounds.readings.begin(), grounds.readings.end(), [](const TimedReading& timed) {
    return timed.reading.sight == Sight::ph && timed.reading.stage == Stage::fermenter && timed.reading.value < 3.8 &&
           timed.reading.value > 2.0;
  });
  // Common practice, no source: ale ends at pH 4.0 to 4.5.
  if (sour)
    reasons.emplace_back("A pH below 3.8 is sourer than brewing yeast makes a beer: lactic bacteria, or added acid.");
}

}  // namespace

std::vector<std::string> watch_reasons(const WatchGrounds& grounds, const Watch& watch) {
  std::vector<std::string> reasons;
  say_state(grounds, watch, reasons);
  say_causes(grounds, watch, reasons);
  say_doubt(grounds, watch, reasons);
  return reasons;
}

}  // namespace oddgrist::gyle

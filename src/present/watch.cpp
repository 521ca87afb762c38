#include "present/watch.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "gyle/local_time.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using gyle::Band;
using gyle::FermentState;
using gyle::Instant;
using gyle::local_time_words;
using gyle::Watch;

constexpr std::size_t text_columns = 80;

void put(std::string& out, std::string_view lead, std::string_view text) {
  const std::size_t indent = columns(lead);
  bool first = true;
  for (const std::string& line : wrapped(text, text_columns - indent)) {
    out += (first ? std::string(lead) : std::string(indent, ' ')) + line + '\n';
    first = false;
  }
}

std::string percent(double share) {
  if (share < 0.01) return "below 1 %";
  if (share > 0.99) return "above 99 %";
  return fixed(100.0 * share, 0) + " %";
}

std::string band_words(const Band& band, int decimals) {
  return fmt::format("{} ({} to {})", fixed(band.median, decimals), fixed(band.low, decimals),
                     fixed(band.high, decimals));
}

Instant at_hour(const Watch& watch, double hour) {
  return watch.pitched + std::chrono::minutes(std::lround(hour * 60.0));
}

// ---- The drawing

constexpr std::size_t curve_columns = 64, curve_rows = 11;

struct Frame {
  double last_hour = 1.0, bottom = 1.0, top = 1.06;

  [[nodiscard]] std::size_t row(double gravity) const {
    const double share = std::clamp((top - gravity) / (top - bottom), 0.0, 1.0);
    return static_cast<std::size_t>(std::lround(share * static_cast<double>(curve_rows - 1)));
  }
  [[nodiscard]] std::size_t column(double hour) const {
    const double share = std::clamp(hour / last_hour, 0.0, 1.0);
    return static_cast<std::size_t>(std::lround(share * static_cast<double>(curve_columns - 1)));
  }
};

Frame frame_of(const Watch& watch) {
  Frame frame;
  frame.last_hour = watch.curve.back().hour;
  frame.bottom = frame.top = watch.curve.front().gravity_sg.median;
  for (const gyle::WatchPoint& point : watch.curve) {
    frame.bottom = std::min(frame.bottom, point.gravity_sg.low);
    frame.top = std::max(frame.top, point.gravity_sg.high);
  }
  for (const gyle::WatchedReading& reading : watch.watched) {
    frame.bottom = std::min(frame.bottom, reading.gravity_sg);
    frame.top = std::max(frame.top, reading.gravity_sg);
  }
  frame.top = std::max(frame.top, frame.bottom + 0.001);
  return frame;
}

// : the band, - its middle, o a reading, ? one that does not fit, | now.
std::string curve(const Watch& watch) {
  if (watch.curve.size() < 2) return {};
  const Frame frame = frame_of(watch);
  std::vector<std::string> rows(curve_rows, std::string(curve_columns, ' '));
  const std::size_t now = frame.column(watch.hour);
  for (std::string& row : rows) row[now] = '|';
  for (std::size_t column = 0; column < curve_columns; ++column) {
    const double share = static_cast<double>(column) / static_cast<double>(curve_columns - 1);
    const auto at = static_cast<std::size_t>(std::lround(share * static_cast<double>(watch.curve.size() - 1)));
    const Band& band = watch.curve[at].gravity_sg;
    for (std::size_t row = frame.row(band.high); row <= frame.row(band.low); ++row) rows[row][column] = ':';
    rows[frame.row(band.median)][column] = '-';
  }
  for (const gyle::WatchedReading& reading : watch.watched) {
    rows[frame.row(reading.gravity_sg)][frame.column(reading.hour)] = reading.questioned ? '?' : 'o';
  }
  std::string out;
  for (std::size_t row = 0; row < curve_rows; ++row) {
    const double level =
        frame.top - (frame.top - frame.bottom) * static_cast<double>(row) / static_cast<double>(curve_rows - 1);
    const std::string line = fmt::format("  {} |{}", row % 2 == 0 ? fixed(level, 3) : "     ", rows[row]);
    out += line.substr(0, line.find_last_not_of(' ') + 1) + '\n';
  }
  const std::string right = number(frame.last_hour / 24.0, 1);
  std::string axis = "0" + std::string(curve_columns / 2 - 1, ' ') + number(frame.last_hour / 48.0, 1);
  axis = padded(axis, curve_columns - right.size()) + right;
  return out + "        +" + std::string(curve_columns, '-') + "\n   day   " + axis + '\n';
}

// ---- Tables

std::string readings_table(std::span<const gyle::TimedReading> readings, const Watch& watch) {
  std::string out = "   day  read          gravity at 20 °C\n";
  for (const gyle::WatchedReading& seen : watch.watched) {
    out += fmt::format("{:>6}  {}  {} ± {}{}\n", fixed(seen.hour / 24.0, 1),
                       padded(reading_words(readings[seen.index].reading), 12), fixed(seen.gravity_sg, 4),
                       fixed(seen.deviation_sg, 4), seen.questioned ? "   does not fit" : "");
  }
  return out;
}

std::string course_table(const Watch& watch) {
  std::string out = "   day  gravity  lowest  highest\n";
  const double last = watch.curve.back().hour;
  const double step = last > 20.0 * 24.0 ? 72.0 : last > 8.0 * 24.0 ? 48.0 : 24.0;
  double next = 0.0;
  for (const gyle::WatchPoint& point : watch.curve) {
    if (point.hour + 1e-9 < next) continue;
    next = point.hour + step;
    out += fmt::format("{:>6}    {}   {}    {}\n", fixed(point.hour / 24.0, 0), fixed(point.gravity_sg.median, 3),
                       fixed(point.gravity_sg.low, 3), fixed(point.gravity_sg.high, 3));
  }
  return out;
}

std::string chances_words(const gyle::StateChances& chances) {
  std::string out;
  const auto say = [&](std::string_view what, double share) {
    if (share >= 0.005) out += fmt::format("{}{} {}", out.empty() ? "" : ", ", what, percent(share));
  };
  say("finished", chances.finished);
  say("as expected", chances.as_expected);
  say("slow", chances.slow);
  say("stuck", chances.stuck);
  say("refermenting", chances.refermenting);
  say("not begun", chances.lag);
  return out + ".";
}

// The day alone: nobody foresees the hour.
std::string day_words(const Watch& watch, double hour) {
  const std::string words = local_time_words(at_hour(watch, hour));
  return words.substr(0, words.find(','));
}

std::string finish_words(const Watch& watch) {
  if (!watch.finished_hour) return "not to be foreseen: in most cases it would stop short, or go on.";
  const Band& hour = *watch.finished_hour;
  const std::string_view if_it = watch.never_share >= 0.05 ? ", if it does not stop short" : "";
  const std::string range = fmt::format(" ({} to {})", day_words(watch, hour.low), day_words(watch, hour.high));
  return fmt::format("about {}{}, {} days after the pitch{}.", day_words(watch, hour.median),
                     hour.high < watch.hour ? "" : range, fixed(hour.median / 24.0, 1), if_it);
}

std::string_view close_words(gyle::CloseUp verdict) {
  switch (verdict) {
    case gyle::CloseUp::yes: return "Yes. ";
    case gyle::CloseUp::danger: return "NO. ";
    case gyle::CloseUp::not_yet: return "Not yet. ";
  }
  return "Not yet. ";
}

std::string bottling_text(const Watch& watch) {
  const gyle::Bottling& bottling = watch.bottling;
  std::string out, first(close_words(bottling.verdict));
  for (const std::string& reason : bottling.reasons) {
    put(out, first.empty() ? "         " : "Bottle?  ", first + reason);
    first.clear();
  }
  out += "  pressure at the warmest   bears    past it\n";
  for (const gyle::ContainerChance& chance : bottling.containers) {
    const std::string_view name = science::container_rating(chance.container).name;
    out += fmt::format("  {:>5} to {:>5} bar     {:>8}  {:>10}  {}\n", fixed(chance.pressure_bar.low, 1),
                       fixed(chance.pressure_bar.high, 1), fixed(chance.rating_bar, 1) + " bar",
                       percent(chance.over_rating), name.substr(0, name.find_first_of(",(")));
  }
  return out;
}

// ---- Gas

std::string hours_words(double hours) {
  if (hours < 2.0) return fixed(hours * 60.0, 0) + " min";
  return fixed(hours, hours < 10.0 ? 1 : 0) + " h";
}

std::string pressure_words(double gauge_bar, bool us_first) {
  return both(gauge_bar * bar, us_first ? UnitSystem::us : UnitSystem::si);
}

std::string gas_verdict(const gyle::GasCourse& course) {
  switch (course.state) {
    case gyle::GasState::refused: return "Not so.";
    case gyle::GasState::not_reachable:
      return "This pressure never brings the beer to the gas that is wished for: raise it, or chill the beer.";
    case gyle::GasState::under_way: return "Under way: leave it.";
    case gyle::GasState::check_now: return "Check it now: a keg that drinks fast has enough already.";
    case gyle::GasState::turn_down_now: return "TURN IT DOWN NOW, vent the head once, and set the serving pressure.";
  }
  return {};
}

void put_gas_times(std::string& out, const gyle::GasPlan& plan, const gyle::GasCourse& course, Instant now,
                   bool us_first) {
  put(out, "Turn down  ",
      fmt::format("{} ({} after it began), at the soonest {}, at the latest {}.", local_time_words(course.turn_down),
                  hours_words(course.high_hours), local_time_words(course.soonest), local_time_words(course.latest)));
  put(out, "To         ",
      pressure_words(course.serving_gauge_bar, us_first) +
          fmt::format(" at {}, where the beer keeps its {} volumes.",
                      Units(us_first).temperature(plan.forcing.temperature_c * celsius),
                      number(plan.forcing.wanted_volumes, 2)));
  put(out, "Check      ",
      fmt::format(
          "{}: shut the gas off, shake or wait until the gauge stands, read gauge and temperature, and give both "
          "with --read.",
          course.next_check <= now ? "now" : local_time_words(course.next_check)));
  put(out, "Forgotten  ",
      fmt::format("a day too long makes {} volumes; never turned down {} volumes.", number(course.forgotten_volumes, 1),
                  number(course.never_volumes, 1)));
}

std::string gas_table(const gyle::GasCourse& course) {
  std::string out = "\n   hours  volumes  lowest  highest\n";
  for (const gyle::GasPoint& point : course.curve) {
    out += fmt::format("{:>8}    {:>5}   {:>5}    {:>5}\n", fixed(point.hour, point.hour < 3.0 ? 2 : 0),
                       fixed(point.usual, 2), fixed(point.low, 2), fixed(point.high, 2));
  }
  return out;
}

}  // namespace

std::string_view state_words(FermentState state) {
  switch (state) {
    case FermentState::cannot_tell: return "cannot be told";
    case FermentState::unread: return "nothing read yet";
    case FermentState::lag: return "not begun";
    case FermentState::as_expected: return "fermenting as expected";
    case FermentState::slow: return "slow";
    case FermentState::stuck: return "stuck";
    case FermentState::finished: return "finished";
    case FermentState::refermenting: return "fermenting again";
  }
  return "cannot be told";
}

std::string sight_value(gyle::Sight sight, double value) {
  switch (sight) {
    case gyle::Sight::gravity: return fixed(value, 3);
    case gyle::Sight::refraction: return fixed(value, 1) + " °Bx";
    case gyle::Sight::temperature: return fixed(value, 1) + " °C";
    case gyle::Sight::ph: return "pH " + fixed(value, 2);
    case gyle::Sight::pressure: return fixed(value, 2) + " bar";
    case gyle::Sight::volume: return fixed(value, 1) + " L";
    case gyle::Sight::mass: return fixed(value, 3) + " kg";
    case gyle::Sight::taste: return fixed(value, 0) + " of 10";
  }
  return fixed(value, 3);
}

std::string reading_words(const gyle::Reading& reading) { return sight_value(reading.sight, reading.value); }

std::string question_words(std::span<const gyle::TimedReading> readings, const gyle::Question& question) {
  if (question.index >= readings.size()) return {};
  const gyle::TimedReading& timed = readings[question.index];
  const gyle::Sight sight = timed.reading.sight;
  std::string text =
      fmt::format("{} of {}: {}.", reading_words(timed.reading), local_time_words(timed.at), question.what);
  if (question.fits) {
    text += fmt::format(" The others say {} to {}.", sight_value(sight, question.fits->low),
                        sight_value(sight, question.fits->high));
  }
  if (!question.likely_mistake.empty()) text += fmt::format(" Perhaps {}.", question.likely_mistake);
  if (question.likely_value) text += fmt::format(" Then it was {}.", sight_value(sight, *question.likely_value));
  return text;
}

std::string watch_text(const compose::Brief& brief, const compose::Proposal& proposal,
                       std::span<const gyle::TimedReading> readings, const Watch& watch) {
  std::string out;
  put(out, "",
      fmt::format("Watch over: {}, {}, {} days after the pitch", brief.name.empty() ? "this recipe" : brief.name,
                  proposal.yeast.name, fixed(watch.hour / 24.0, 1)));
  const bool told = watch.state != FermentState::cannot_tell && watch.state != FermentState::unread;
  std::string verdict(state_words(watch.state));
  verdict.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(verdict.front())));
  out += '\n';
  put(out, "It is    ", verdict + (told ? fmt::format(", {} likely.", percent(watch.chance)) : "."));
  for (const std::string& reason : watch.reasons) put(out, "         ", reason);
  if (watch.state == FermentState::cannot_tell) return out;
  for (const gyle::Question& question : watch.questions) put(out, "? ", question_words(readings, question));
  out += '\n';
  put(out, "Chances  ", chances_words(watch.chances));
  put(out, "Now      ",
      fmt::format("{}, alcohol {} % vol, from {}", band_words(watch.gravity_now_sg, 3),
                  band_words(watch.abv_percent_now, 1), band_words(watch.start_sg, 3)));
  put(out, "Ends at  ", band_words(watch.end_sg, 3));
  put(out, "Done     ", finish_words(watch));
  if (watch.next) put(out, "Read     ", local_time_words(watch.next->at) + ". " + watch.next->why);
  out += bottling_text(watch);
  out += "\nGravity by day (- middle, : eight cases of ten, o read, ? does not fit, | now)\n" + curve(watch);
  if (!watch.watched.empty()) out += '\n' + readings_table(readings, watch);
  out += '\n' + course_table(watch) + '\n';
  put(out, "",
      "Ranges hold eight cases of ten. The course is that of oddgrist ferment, its pace, start and end moved to what "
      "was "
      "read; how far they may stray beforehand is our own estimate. Working pressures of containers: from memory.");
  return out;
}

std::string gas_text(const gyle::GasPlan& plan, std::span<const gyle::GaugeReading> readings,
                     const gyle::GasCourse& course, Instant now, bool us_units_first) {
  std::string out;
  put(out, "",
      fmt::format("Gas into the keg: {} at {}, wished {} volumes",
                  pressure_words(plan.forcing.high_gauge_bar, us_units_first),
                  Units(us_units_first).temperature(plan.forcing.temperature_c * celsius),
                  number(plan.forcing.wanted_volumes, 2)));
  put(out, "", gas_verdict(course));
  for (const std::string& refusal : course.refusals) put(out, "! ", refusal);
  if (course.state == gyle::GasState::refused) return out;
  out += '\n';
  put(out, "Now        ",
      fmt::format("about {} volumes ({} to {}), {} into it", fixed(course.now.usual, 2), fixed(course.now.low, 2),
                  fixed(course.now.high, 2), hours_words(course.now.hour)));
  if (course.state != gyle::GasState::not_reachable) put_gas_times(out, plan, course, now, us_units_first);
  for (std::size_t i = 0; i < course.read_volumes.size() && i < readings.size(); ++i) {
    const bool odd = std::find(course.questioned.begin(), course.questioned.end(), i) != course.questioned.end();
    put(out, odd ? "?          " : "Read       ",
        fmt::format(
            "{}: {} makes {} volumes{}", local_time_words(readings[i].at),
            pressure_words(readings[i].gauge_bar, us_units_first), fixed(course.read_volumes[i], 2),
            odd ? ". That does not fit: was the gas shut off, did the gauge stand, was the beer that warm?" : ""));
  }
  out += '\n';
  for (const std::string& danger : course.dangers) put(out, "! ", danger);
  if (!course.curve.empty()) out += gas_table(course);
  out += '\n';
  put(out, "",
      fmt::format("First order towards Henry's law; uptake {} an hour ({} to {}): common practice, no source, until a "
                  "gauge reading teaches it.",
                  number(course.uptake.usual_per_hour, 3), number(course.uptake.low_per_hour, 3),
                  number(course.uptake.high_per_hour, 3)));
  return out;
}

}  // namespace oddgrist::present

#include "present/ferment_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using process::CoursePoint;
using process::CourseStatus;
using process::FermentationCourse;
using process::Interval;
using process::Moments;

constexpr std::size_t text_columns = 80;

void put(std::string& out, std::string_view lead, std::string_view text) {
  const std::size_t indent = columns(lead);
  bool first = true;
  for (const std::string& line : wrapped(text, text_columns - indent)) {
    out += (first ? std::string(lead) : std::string(indent, ' ')) + line + '\n';
    first = false;
  }
}

std::string day(std::optional<double> hour) {
  return hour ? fixed(*hour / 24.0, 1) : fmt::format("more than {:.0f}", process::course_days);
}

std::string days_words(const Moments& moments) {
  return fmt::format("about {} days ({} to {})", day(moments.usual), day(moments.soonest), day(moments.latest));
}

std::string gravity_range(const Units& units, const Interval& gravity) {
  return fmt::format("{}, range {} to {}", units.gravity(gravity.usual * specific_gravity), fixed(gravity.low, 3),
                     fixed(gravity.high, 3));
}

std::string cells(double count) { return fixed(count / 1e9, count < 1e10 ? 1 : 0); }

std::string pitch_words(const Units& units, const process::PitchCheck& pitch) {
  const std::string counts = fmt::format(
      "{} of yeast holds about {} thousand million living cells ({} to {}); {} are wanted ({} to {}), which is {}.",
      units.mass(pitch.yeast_g * gram), cells(pitch.cells.usual), cells(pitch.cells.low), cells(pitch.cells.high),
      cells(pitch.cells_wanted.usual), cells(pitch.cells_wanted.low), cells(pitch.cells_wanted.high),
      units.mass(pitch.yeast_wanted_g.usual * gram));
  switch (pitch.verdict) {
    case process::PitchVerdict::too_little: return "Too little. " + counts + " Pitch more: it will start late.";
    case process::PitchVerdict::on_the_low_side: return "On the low side. " + counts;
    case process::PitchVerdict::enough: return "Enough. " + counts;
    case process::PitchVerdict::plenty: return "Plenty. " + counts + " It will start fast and warm itself.";
  }
  return counts;
}

std::string temperature_words(const Units& units, const FermentationCourse& course) {
  const std::string at = units.temperature(course.temperature_c * celsius);
  switch (course.temperature) {
    case process::TemperatureVerdict::within: return at + ", within what this yeast likes.";
    case process::TemperatureVerdict::too_cold: return at + ", colder than this yeast likes: it may fall asleep.";
    case process::TemperatureVerdict::too_warm: return at + ", warmer than this yeast likes: solvent and fruit.";
  }
  return at;
}

std::string alcohol_words(const process::ToleranceCheck& check) {
  const std::string figures = fmt::format("{} % vol at the end, before priming; this yeast bears about {} % vol.",
                                          fixed(check.abv_percent, 1), fixed(check.tolerance_abv_percent, 1));
  switch (check.verdict) {
    case process::ToleranceVerdict::within: return figures;
    case process::ToleranceVerdict::near_limit: return figures + " Near its limit: the last points come slowly.";
    case process::ToleranceVerdict::beyond: return figures + " Beyond its limit: sugar will be left.";
  }
  return figures;
}

std::string gas_words(const Units& units, const process::RoomCheck& room) {
  return fmt::format(
      "{} of carbon dioxide in all, at most {} an hour. In {} m³ that is {} % of the air if the room were sealed, and "
      "at "
      "most about {} % with door and window shut and the draught of an ordinary room ({} changes of air an hour, from "
      "memory). Limits: {} % for a working day (Directive 2006/15/EC), {} % for a quarter of an hour, {} % dangerous "
      "to "
      "life (NIOSH Pocket Guide; from memory). It is heavier than air: near the floor there may be much more.",
      units.volume(room.gas_l * litre), units.volume(room.peak_l_per_hour * litre), number(room.room_m3, 1),
      fixed(room.sealed_percent, 1), fixed(room.closed_percent, 1), process::closed_room_changes_per_hour,
      process::gas_limit_shift_percent, process::gas_limit_short_percent, process::gas_limit_life_percent);
}

// ---- The curve

constexpr std::size_t curve_columns = 64, curve_rows = 10;

std::size_t row_of(double gravity, double top, double bottom) {
  const double share = std::clamp((top - gravity) / (top - bottom), 0.0, 1.0);
  return static_cast<std::size_t>(std::lround(share * static_cast<double>(curve_rows - 1)));
}

// Gravity over days: * the usual course, : between the quickest and the slowest.
std::string curve(const FermentationCourse& course) {
  const double last_hour = course.points.back().hour;
  double bottom = course.points.front().gravity_sg.usual, top = bottom;
  for (const CoursePoint& point : course.points) {
    bottom = std::min(bottom, point.gravity_sg.low);
    top = std::max(top, point.gravity_sg.high);
  }
  if (!(top - bottom > 1e-4) || !(last_hour > 0.0)) return {};
  std::vector<std::string> rows(curve_rows, std::string(curve_columns, ' '));
  for (std::size_t column = 0; column < curve_columns; ++column) {
    const double share = static_cast<double>(column) / static_cast<double>(curve_columns - 1);
    const auto at = static_cast<std::size_t>(std::lround(share * static_cast<double>(course.points.size() - 1)));
    const Interval& gravity = course.points[at].gravity_sg;
    for (std::size_t row = row_of(gravity.high, top, bottom); row <= row_of(gravity.low, top, bottom); ++row) {
      rows[row][column] = ':';
    }
    rows[row_of(gravity.usual, top, bottom)][column] = '*';
  }
  std::string out;
  for (std::size_t row = 0; row < curve_rows; ++row) {
    const double level = top - (top - bottom) * static_cast<double>(row) / static_cast<double>(curve_rows - 1);
    std::string line = fmt::format("  {} |{}", row % 3 == 0 ? fixed(level, 3) : "     ", rows[row]);
    out += line.substr(0, line.find_last_not_of(' ') + 1) + '\n';
  }
  const std::string right = number(last_hour / 24.0, 1);
  const std::string middle = number(last_hour / 48.0, 1);
  std::string axis = "0" + std::string(curve_columns / 2 - 1, ' ') + middle;
  axis = padded(axis, curve_columns - right.size()) + right;
  return out + "        +" + std::string(curve_columns, '-') + "\n   day   " + axis + '\n';
}

// ---- The table

std::string table(const FermentationCourse& course) {
  std::string out = "   day  gravity  lowest  highest   % vol  sugar g/L  to go g/L   gas g\n";
  const std::size_t step = course.points.back().hour > 20.0 * 24.0 ? 16 : 8;  // two days or one
  for (std::size_t i = 0; i < course.points.size(); i += step) {
    const CoursePoint& point = course.points[i];
    out += fmt::format("{:>6}    {}   {}    {}  {:>6}  {:>9}  {:>9}  {:>6}\n", fixed(point.hour / 24.0, 0),
                       fixed(point.gravity_sg.usual, 3), fixed(point.gravity_sg.low, 3),
                       fixed(point.gravity_sg.high, 3), fixed(point.abv_percent, 1), fixed(point.sugars_g_per_l, 1),
                       fixed(point.fermentable_g_per_l, 1), fixed(point.gas_kg * 1000.0, 0));
  }
  return out;
}

std::string dose_words(const Units& units, const process::LateDose& dose) {
  if (!(dose.sugar_g > 0.05)) return "the late dose brings no sugar that ferments.";
  return fmt::format(
      "pour it in at {} after pitching, once the gravity has all but stopped. Its {} of sugar lift the gravity by {} "
      "and "
      "ferment again: gone after {} from pitching. Do not bottle before.",
      days_words(dose.hour), units.mass(dose.sugar_g * gram), fixed(dose.rise_sg, 4), days_words(dose.refermented));
}

}  // namespace

std::vector<std::string> ferment_warnings(const FermentationCourse& course, std::optional<double> room_m3) {
  std::vector<std::string> warnings;
  if (room_m3) {
    const process::RoomCheck room = process::room_check(course, *room_m3);
    if (room.verdict == process::RoomVerdict::danger) {
      warnings.push_back(fmt::format(
          "DANGER: the gas of this batch could fill {} % of this room's air; people die of that without "
          "warning. Ferment elsewhere or lead the gas outside through a hose, keep a window open, and never "
          "go in alone or bend to the floor before the room is aired.",
          fixed(room.sealed_percent, 1)));
    } else if (room.verdict == process::RoomVerdict::air_it) {
      warnings.emplace_back(
          "Air the room: shut up tight, the gas would pass the limit for a working day. Do not sleep there.");
    }
  }
  if (course.status == CourseStatus::stopped_by_alcohol ||
      course.tolerance.verdict == process::ToleranceVerdict::beyond) {
    warnings.emplace_back(
        "DANGER: the yeast gives up before the sugar is gone. Do not bottle: what is left may ferment later and burst "
        "the glass.");
  }
  if (course.status == CourseStatus::stopped_by_cold_or_heat) {
    warnings.emplace_back(
        "The yeast stops at this temperature with sugar left. Bring the beer to its range before bottling.");
  }
  if (course.status == CourseStatus::under_way) {
    warnings.push_back(fmt::format("Not at its end after {:.0f} days at the usual pace.", process::course_days));
  }
  return warnings;
}

std::string ferment_text(const compose::Brief& brief, const compose::Proposal& proposal,
                         const FermentationCourse& course, std::optional<double> room_m3) {
  const Units units(brief.us_units_first);
  std::string out;
  put(out, "",
      fmt::format("Fermentation of: {}, {} with {}", brief.name.empty() ? "this recipe" : brief.name,
                  units.volume(course.volume_l * litre), proposal.yeast.name));
  if (course.points.empty()) {
    put(out, "",
        course.status == CourseStatus::nothing_to_ferment
            ? "There is nothing to ferment in this recipe."
            : "The course cannot be reckoned: a figure lies outside what the published model can take.");
    return out;
  }
  for (const std::string& warning : ferment_warnings(course, room_m3)) put(out, "! ", warning);
  out += '\n';
  const bool dosed = course.dose.has_value();
  put(out, "From     ", units.gravity(course.original_gravity_sg * specific_gravity));
  put(out, "To       ", gravity_range(units, course.first_end_sg) + (dosed ? ", before the late dose" : ""));
  if (dosed) put(out, "At last  ", gravity_range(units, course.end_sg));
  put(out, "Time     ",
      "within 0.001 of that end after " + days_words(course.near_end) +
          ". Two equal readings three days "
          "apart decide, not the calendar.");
  if (dosed) put(out, "Dose     ", dose_words(units, *course.dose));
  put(out, "Yeast    ", pitch_words(units, course.pitch));
  put(out, "Warmth   ", temperature_words(units, course));
  put(out, "Alcohol  ", alcohol_words(course.tolerance));
  if (room_m3) {
    put(out, "Gas      ", gas_words(units, process::room_check(course, *room_m3)));
  } else {
    put(out, "Gas      ",
        fmt::format("up to {} g of carbon dioxide. --room-m3 says what that does to a closed room.",
                    fixed(course.points.back().gas_high_kg * 1000.0, 0)));
  }
  out += "\nGravity over the days (* usual, : between quickest and slowest)\n" + curve(course) + '\n' + table(course) +
         '\n';
  put(out, "",
      "Pace: Gee & Ramirez 1988, whose runs were lager worts at 8 to 18 °C" +
          std::string(course.extrapolated ? "; warmer or colder than that is our own extension" : "") +
          ". Rates from 0.6 to 1.6 times theirs and the yeast's own spread make the range (own estimate). The end is "
          "the "
          "mass balance of the recipe.");
  return out;
}

}  // namespace oddgrist::present

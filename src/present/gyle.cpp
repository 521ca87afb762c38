#include "present/gyle.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "compose/elastic.hpp"
#include "present/watch.hpp"

namespace oddgrist::present {
namespace {

using gyle::Part;
using gyle::Stage;
using gyle::Told;
using Into = compose::Recipe::Into;

std::string minutes_words(double minutes) {
  return counted(static_cast<std::size_t>(std::lround(minutes)), "minute", "minutes");
}

std::string when_words(Into into, double minutes) {
  if (into == Into::flame_out || (into == Into::kettle && minutes <= 0.0)) return "at flame-out";
  return fmt::format("{} before the end of the boil", minutes_words(minutes));
}

std::string range_words(Told told, const compose::Estimate& estimate, bool us_first) {
  const std::string low = told_words(told, estimate.low, us_first), high = told_words(told, estimate.high, us_first);
  return low == high ? told_words(told, estimate.value, us_first)
                     : fmt::format("{} ({} to {})", told_words(told, estimate.value, us_first), low, high);
}

// What stands in the vessel at a stage.
std::vector<Told> at_stage(Stage stage) {
  switch (stage) {
    case Stage::planned: return {};
    case Stage::mash: return {Told::mash_volume, Told::mash_ph};
    case Stage::before_boil:
    case Stage::boil: return {Told::pre_boil_volume, Told::pre_boil_gravity};
    case Stage::after_boil: return {Told::post_boil_volume, Told::post_boil_gravity};
    case Stage::fermenter: return {Told::fermenter_volume, Told::original_gravity};
    case Stage::package: return {Told::packaged_volume, Told::final_gravity};
  }
  return {};
}

constexpr std::array at_the_end = {Told::original_gravity, Told::final_gravity,   Told::alcohol,    Told::bitterness,
                                   Told::colour,           Told::packaged_volume, Told::carbonation};

std::optional<Told> told_of(compose::Measure measure) {
  switch (measure) {
    case compose::Measure::volume: return Told::fermenter_volume;
    case compose::Measure::original_gravity: return Told::original_gravity;
    case compose::Measure::final_gravity: return Told::final_gravity;
    case compose::Measure::alcohol: return Told::alcohol;
    case compose::Measure::bitterness: return Told::bitterness;
    case compose::Measure::colour: return Told::colour;
    case compose::Measure::mash_ph: return Told::mash_ph;
    default: return std::nullopt;
  }
}

void add_wrapped(std::string& text, std::string_view first, std::string_view words) {
  std::string indent(first);
  for (const std::string& line : wrapped(words, gyle_columns - columns(first))) {
    text += indent + line + "\n";
    indent.assign(columns(first), ' ');
  }
}

void add_row(std::string& text, Told told, const gyle::Standing& standing, bool us_first) {
  const auto at = static_cast<std::size_t>(told);
  const auto& before = standing.before[at];
  const auto& now = standing.now[at];
  text += fmt::format("  {}{}{}\n", padded(told_name(told), 26), padded(told_words(told, before.value, us_first), 12),
                      range_words(told, now, us_first));
}

void add_questions(std::string& text, const gyle::Belief& belief, bool us_first) {
  for (const gyle::Judged& judged : belief.readings) {
    if (!judged.questioned) continue;
    std::string words =
        fmt::format("{}, {}: ", taken_words(judged.taken.reading), stage_words(judged.taken.reading.stage));
    if (judged.seen) {
      const std::string counted_as = told_words(judged.seen->told, judged.seen->value, us_first);
      if (!words.starts_with(counted_as)) words += fmt::format("that is {} at 20 °C; ", counted_as);
      words += fmt::format("everything else says {}, give or take {}. ",
                           told_words(judged.seen->told, judged.expected, us_first),
                           told_words(judged.seen->told, judged.deviation, us_first));
    } else {
      words += judged.why + ". ";
    }
    if (!judged.slips.empty()) {
      words += "Perhaps: ";
      for (std::size_t i = 0; i < judged.slips.size(); ++i) words += (i == 0 ? "" : "; ") + judged.slips[i];
      words += ". ";
    }
    words +=
        judged.seen ? "Read it again; until then it hardly counts." : "Mend the entry; until then it does not count.";
    add_wrapped(text, "  ? ", words);
  }
}

}  // namespace

std::string_view stage_words(Stage stage) {
  switch (stage) {
    case Stage::planned: return "not begun";
    case Stage::mash: return "in the mash";
    case Stage::before_boil: return "before the boil";
    case Stage::boil: return "in the boil";
    case Stage::after_boil: return "after the boil";
    case Stage::fermenter: return "in the fermenter";
    case Stage::package: return "at packaging";
  }
  return "";
}

std::string_view told_name(Told told) {
  switch (told) {
    case Told::rest_temperature: return "rest temperature";
    case Told::mash_ph: return "mash pH";
    case Told::mash_volume: return "volume of the mash";
    case Told::pre_boil_volume: return "volume before the boil";
    case Told::pre_boil_gravity: return "gravity before the boil";
    case Told::post_boil_volume: return "volume after the boil";
    case Told::post_boil_gravity: return "gravity after the boil";
    case Told::fermenter_volume: return "volume in the fermenter";
    case Told::original_gravity: return "original gravity";
    case Told::final_gravity: return "final gravity";
    case Told::carbonation: return "carbonation";
    case Told::packaged_volume: return "beer in the package";
    case Told::alcohol: return "alcohol";
    case Told::bitterness: return "bitterness";
    case Told::colour: return "colour";
  }
  return "";
}

std::string told_words(Told told, double value, bool us_first) {
  switch (told) {
    case Told::rest_temperature: return us_first ? fixed(value * 1.8 + 32.0, 0) + " °F" : fixed(value, 1) + " °C";
    case Told::mash_ph: return fixed(value, 2);
    case Told::mash_volume:
    case Told::pre_boil_volume:
    case Told::post_boil_volume:
    case Told::fermenter_volume:
    case Told::packaged_volume:
      return us_first ? fixed((value * litre).in(us_gallon), 2) + " US gal" : fixed(value, 1) + " L";
    case Told::pre_boil_gravity:
    case Told::post_boil_gravity:
    case Told::original_gravity:
    case Told::final_gravity: return fixed(value, 3);
    case Told::carbonation: return fixed(value, 1) + " vol";
    case Told::alcohol: return fixed(value, 1) + " % vol";
    case Told::bitterness: return fixed(value, 0) + " IBU";
    case Told::colour: return fixed(value, 0) + " EBC";
  }
  return "";
}

std::string taken_words(const gyle::Reading& reading) {
  const std::string words = reading_words(reading);
  return reading.at_celsius ? words + " at " + number(*reading.at_celsius, 0) + " °C" : words;
}

std::string part_words(const Part& part, bool us_first) {
  const Units units(us_first);
  const bool more = part.change > 0.0;
  const double size = std::abs(part.change);
  switch (part.kind) {
    case Part::Kind::boil:
      return fmt::format("Boil {} {}, {} in all.", minutes_words(size), more ? "longer" : "less",
                         minutes_words(part.planned + part.change));
    case Part::Kind::water_in_kettle:
      return more ? fmt::format("Add {} of water to the kettle.", units.volume(std::round(size * 10.0) / 10.0 * litre))
                  : fmt::format("Leave out {} of the water that was to top up the kettle.",
                                units.volume(std::round(size * 10.0) / 10.0 * litre));
    case Part::Kind::water_in_fermenter:
      return fmt::format("Add {} of boiled and cooled water to the fermenter.",
                         units.volume(std::round(size * 10.0) / 10.0 * litre));
    case Part::Kind::sugar: {
      const std::string where = part.into == Into::kettle ? when_words(part.into, part.minutes_before_boil_end)
                                                          : "in the fermenter, boiled up in a little water and cooled";
      return more ? fmt::format("Add {} of {} {}.", units.mass(size * kilogram), part.name, where)
                  : fmt::format("Leave out {} of the {}.", units.mass(size * kilogram), part.name);
    }
    case Part::Kind::hop: {
      const std::string when = when_words(part.into, part.minutes_before_boil_end);
      if (more && part.planned > 0.0)
        return fmt::format("Put in {} of {} {}, {} more than planned.", units.mass((part.planned + size) * kilogram),
                           part.name, when, units.mass(size * kilogram));
      if (more) return fmt::format("Add {} of {} {}.", units.mass(size * kilogram), part.name, when);
      return fmt::format("Put in only {} of {} {}, {} less than planned.", units.mass((part.planned - size) * kilogram),
                         part.name, when, units.mass(size * kilogram));
    }
    case Part::Kind::hop_shift:
      return fmt::format("Put {} of {} in {} instead of {}.", units.mass(size * kilogram), part.name,
                         when_words(part.into, part.minutes_before_boil_end),
                         when_words(Into::kettle, part.shifted_from_minutes));
    case Part::Kind::oddment:
      return fmt::format("Steep {} of {}, {} {} than planned.", units.mass((part.planned + part.change) * kilogram),
                         part.name, units.mass(size * kilogram), more ? "more" : "less");
    case Part::Kind::prime:
      return fmt::format("Prime with {} of table sugar in all, {} {} than the recipe says.",
                         units.mass((part.planned + part.change) * gram), units.mass(size * gram),
                         more ? "more" : "less");
    case Part::Kind::wait:
      return fmt::format("Wait {} and read the gravity again before it is closed up.",
                         counted(static_cast<std::size_t>(std::lround(size)), "day", "days"));
  }
  return "";
}

std::string_view risk_words(gyle::Risk risk) {
  switch (risk) {
    case gyle::Risk::scald: return "boiling wort splashes and foams up when something is added: flame down, slowly";
    case gyle::Risk::boil_over: return "stay by the kettle, it can boil over again";
    case gyle::Risk::thin_boil: return "a short boil drives off less of what smells of cooked vegetables";
    case gyle::Risk::dries_out: return "sugar ferments out: more alcohol, thinner beer";
    case gyle::Risk::infection: return "whatever goes into cooled beer must be boiled first, and the spoon with it";
    case gyle::Risk::bottle_pressure: return "more priming sugar means more pressure on the glass";
  }
  return "";
}

std::string move_words(const gyle::Move& move, bool us_first) {
  if (move.parts.empty()) return "Do nothing.";
  std::string words;
  for (const Part& part : move.parts) words += (words.empty() ? "" : " ") + part_words(part, us_first);
  return words;
}

std::string standing_text(const compose::Brief& brief, const gyle::Standing& standing) {
  const bool us = brief.us_units_first;
  std::string text = fmt::format("{}: {}\n\n", standing.state.name.empty() ? brief.name : standing.state.name,
                                 stage_words(standing.state.stage));
  const auto head = [&](std::string_view title) {
    text += fmt::format("{}{}{}\n", padded(title, 28), padded("foretold", 12), "as it went and was read");
  };
  const std::vector<Told> here = at_stage(standing.state.stage);
  if (!here.empty()) {
    head("Now");
    for (Told told : here) add_row(text, told, standing, us);
    text += "\n";
  }
  head("At the end");
  for (Told told : at_the_end) add_row(text, told, standing, us);
  text += "In brackets: eight brews of ten lie between these.\n";
  const bool asks = std::any_of(standing.belief.readings.begin(), standing.belief.readings.end(),
                                [](const gyle::Judged& judged) { return judged.questioned; });
  if (asks) {
    text += "\nReadings to look at again\n";
    add_questions(text, standing.belief, us);
  }
  for (const std::string& trouble : standing.state.trouble) add_wrapped(text, "  ! ", trouble);
  return text;
}

std::string replan_text(const compose::Brief& brief, const gyle::Replan& replan) {
  const bool us = brief.us_units_first;
  std::string text;
  const auto nothing =
      std::find_if(replan.moves.begin(), replan.moves.end(), [](const auto& move) { return move.parts.empty(); });
  for (std::size_t m = 0; m < replan.moves.size(); ++m) {
    const gyle::Move& move = replan.moves[m];
    add_wrapped(text, fmt::format("{}. ", m + 1), move_words(move, us));
    for (const compose::Wish& wish : brief.wishes) {
      const auto told = told_of(wish.measure);
      if (!told) continue;
      const auto at = static_cast<std::size_t>(*told);
      const std::string then = told_words(*told, move.outlook[at].value, us);
      const bool changed = nothing != replan.moves.end() && then != told_words(*told, nothing->outlook[at].value, us);
      if (!changed && !move.parts.empty()) continue;
      text += fmt::format("     {}{}  wished {} to {}\n", padded(told_name(*told), 26),
                          padded(range_words(*told, move.outlook[at], us), 28), told_words(*told, wish.low, us),
                          told_words(*told, wish.high, us));
    }
    if (move.parts.empty()) continue;
    std::string cost = fmt::format("About {} of work", minutes_words(move.work_minutes));
    if (move.money > 0.0) cost += fmt::format(", {} in money", fixed(move.money, 2));
    cost += fmt::format(". In {} of 100 such brews doing nothing would have been better.",
                        fixed(100.0 * move.chance_worse, 0));
    add_wrapped(text, "     ", cost);
    for (gyle::Risk risk : move.risks) add_wrapped(text, "     Mind: ", std::string(risk_words(risk)) + ".");
  }
  return text;
}

std::string next_time_text(const gyle::NextTime& next) {
  if (next.lessons.empty()) return "Nothing in the notes or readings asks for another brief.\n";
  std::string text;
  for (const gyle::Lesson& lesson : next.lessons)
    add_wrapped(text, "- ", fmt::format("{}: {}.", lesson.what, lesson.why));
  return text;
}

}  // namespace oddgrist::present

#include "files/gyle_json.hpp"

#include <array>
#include <cmath>
#include <string_view>

#include <fmt/format.h>

#include "files/event_json.hpp"
#include "quantity/number.hpp"

namespace oddgrist::files {
namespace {

using gyle::Told;

struct Figure {
  std::string_view name, unit;
};
constexpr std::array<Figure, gyle::told_count> figures = {{{"rest-temperature", "°C"},
                                                           {"mash-ph", "pH"},
                                                           {"mash-volume", "L"},
                                                           {"pre-boil-volume", "L"},
                                                           {"pre-boil-gravity", "SG"},
                                                           {"post-boil-volume", "L"},
                                                           {"post-boil-gravity", "SG"},
                                                           {"fermenter-volume", "L"},
                                                           {"original-gravity", "SG"},
                                                           {"final-gravity", "SG"},
                                                           {"carbonation", "volumes"},
                                                           {"packaged-volume", "L"},
                                                           {"alcohol", "% vol"},
                                                           {"bitterness", "IBU"},
                                                           {"colour", "EBC"}}};

constexpr std::array<std::string_view, 9> part_names = {
    "boil", "water-in-kettle", "water-in-fermenter", "sugar", "hop", "hop-shift", "oddment", "prime", "wait"};
constexpr std::array<std::string_view, 9> part_units = {"min", "L", "L", "kg", "kg", "kg", "kg", "g", "d"};
constexpr std::array<std::string_view, 6> risk_names = {"scald",     "boil-over", "thin-boil",
                                                        "dries-out", "infection", "bottle-pressure"};
constexpr std::array<std::string_view, 8> into_names = {"mash-liquor", "grist",     "sparge-liquor", "top-up",
                                                        "kettle",      "flame-out", "fermenter",     "infusion"};

// Six significant digits; what is no number is null.
Json number(double value) {
  if (!std::isfinite(value)) return nullptr;
  return rounded_to_digits(value, 6);
}

Json estimate_json(const compose::Estimate& estimate) {
  return Json{{"value", number(estimate.value)}, {"low", number(estimate.low)}, {"high", number(estimate.high)}};
}

Json outlook_json(const gyle::Outlook& outlook) {
  Json json = Json::object();
  for (std::size_t t = 0; t < outlook.size(); ++t) json[std::string(figures[t].name)] = estimate_json(outlook[t]);
  return json;
}

Json judged_json(const gyle::Judged& judged) {
  Json json{{"key", judged.taken.key}, {"questioned", judged.questioned}, {"weight", number(judged.weight)}};
  if (judged.seen) {
    const Figure& figure = figures[static_cast<std::size_t>(judged.seen->told)];
    json["figure"] = figure.name;
    json["unit"] = figure.unit;
    json["value"] = number(judged.seen->value);
    json["deviation"] = number(judged.seen->deviation);
    json["expected"] = number(judged.expected);
    json["surprise"] = number(judged.surprise);
  } else {
    json["why"] = judged.why;
  }
  if (judged.questioned) json["slips"] = judged.slips;
  return json;
}

Json readings_json(const gyle::Belief& belief) {
  Json readings = Json::array();
  for (const gyle::Judged& judged : belief.readings) readings.push_back(judged_json(judged));
  return readings;
}

Json part_json(const gyle::Part& part) {
  const auto kind = static_cast<std::size_t>(part.kind);
  Json json{{"kind", part_names[kind]},
            {"change", number(part.change)},
            {"planned", number(part.planned)},
            {"unit", part_units[kind]}};
  if (part.name.empty()) return json;
  json["ingredient"] = part.name;
  json["into"] = into_names[static_cast<std::size_t>(part.into)];
  json["minutes_before_boil_end"] = number(part.minutes_before_boil_end);
  if (part.kind == gyle::Part::Kind::hop_shift) json["instead_of_minutes"] = number(part.shifted_from_minutes);
  return json;
}

Json move_json(const gyle::Move& move) {
  Json parts = Json::array(), risks = Json::array(), entries = Json::array();
  for (const gyle::Part& part : move.parts) parts.push_back(part_json(part));
  for (gyle::Risk risk : move.risks) risks.push_back(risk_names[static_cast<std::size_t>(risk)]);
  for (const gyle::What& what : move.entries)
    entries.push_back(Json{{"kind", event_kind(what)}, {"version", event_version}, {"body", event_body_json(what)}});
  return Json{{"parts", std::move(parts)},
              {"loss", number(move.loss)},
              {"gain", number(move.gain)},
              {"chance_worse", number(move.chance_worse)},
              {"work_minutes", number(move.work_minutes)},
              {"money", number(move.money)},
              {"risks", std::move(risks)},
              {"outlook", outlook_json(move.outlook)},
              {"entries", std::move(entries)}};
}

}  // namespace

Json standing_json(const gyle::Standing& standing) {
  return Json{{"name", standing.state.name},
              {"stage", stage_word(standing.state.stage)},
              {"boil_minutes", number(standing.state.boil_minutes)},
              {"likely_share", 0.8},
              {"before", outlook_json(standing.before)},
              {"now", outlook_json(standing.now)},
              {"readings", readings_json(standing.belief)},
              {"trouble", standing.state.trouble}};
}

Json replan_json(const gyle::Replan& replan) {
  Json moves = Json::array();
  for (const gyle::Move& move : replan.moves) moves.push_back(move_json(move));
  return Json{{"moves", std::move(moves)}, {"readings", readings_json(replan.belief)}};
}

Json next_time_json(const gyle::NextTime& next) {
  Json lessons = Json::array();
  for (const gyle::Lesson& lesson : next.lessons)
    lessons.push_back(Json{{"what", lesson.what}, {"why", lesson.why}, {"changes_brief", lesson.changes_brief}});
  return Json{{"lessons", std::move(lessons)}};
}

}  // namespace oddgrist::files

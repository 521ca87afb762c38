#include "files/event_json.hpp"

#include <algorithm>
#include <array>
#include <type_traits>

#include <fmt/format.h>

#include "files/json_reader.hpp"
#include "files/recipe_json.hpp"
#include "files/toml_reader.hpp"

namespace oddgrist::files {
namespace {

using gyle::Sight;
using gyle::Stage;
using Blank = JsonReader::Blank;

constexpr std::size_t longest_name = 200;

constexpr WordsFor<Stage, 7> stage_words = {{{"planned", Stage::planned},
                                             {"mash", Stage::mash},
                                             {"before-boil", Stage::before_boil},
                                             {"boil", Stage::boil},
                                             {"after-boil", Stage::after_boil},
                                             {"fermenter", Stage::fermenter},
                                             {"package", Stage::package}}};

constexpr WordsFor<Sight, 8> sight_words = {{{"volume", Sight::volume},
                                             {"gravity", Sight::gravity},
                                             {"refraction", Sight::refraction},
                                             {"temperature", Sight::temperature},
                                             {"ph", Sight::ph},
                                             {"pressure", Sight::pressure},
                                             {"mass", Sight::mass},
                                             {"taste", Sight::taste}}};

// What no instrument can show is a slip of the pen and is refused. What is merely unlikely is for the gyle to question.
struct Span {
  std::string_view unit;
  double low;
  double high;
  std::string_view words;
};
constexpr std::array<Span, 8> sight_spans = {{{"L", 0.0, 1e5, "litres from 0 to 100,000"},
                                              {"SG", 0.7, 1.6, "a specific gravity from 0.7 to 1.6"},
                                              {"°Bx", -5.0, 95.0, "degrees Brix from -5 to 95"},
                                              {"°C", -40.0, 150.0, "degrees Celsius from -40 to 150"},
                                              {"pH", 0.0, 14.0, "a pH from 0 to 14"},
                                              {"bar", -1.0, 20.0, "bar above the air, from -1 to 20"},
                                              {"kg", 0.0, 1e5, "kilograms from 0 to 100,000"},
                                              {"of 10", 0.0, 10.0, "a score from 0 to 10"}}};

const Span& span_of(Sight sight) { return sight_spans[static_cast<std::size_t>(sight)]; }

// In the order of gyle::What.
constexpr std::array<std::string_view, std::variant_size_v<gyle::What>> kinds = {
    "started", "reached", "reading", "added", "missed", "lost", "changed", "note", "struck"};

Json body(const gyle::Started& started) {
  Json json{{"name", started.name},
            {"brief_text", started.brief_text},
            {"recipe", recipe_json(started.recipe)},
            {"kit", started.kit}};
  if (started.learned) json["learned"] = true;
  return json;
}

Json body(const gyle::Reached& reached) { return Json{{"stage", stage_word(reached.stage)}}; }

Json body(const gyle::Reading& reading) {
  Json json{{"sight", sight_word(reading.sight)},
            {"stage", stage_word(reading.stage)},
            {"value", reading.value},
            {"unit", sight_unit(reading.sight)}};
  if (reading.deviation) json["deviation"] = *reading.deviation;
  if (reading.at_celsius) json["at_celsius"] = *reading.at_celsius;
  if (!reading.of.empty()) json["of"] = reading.of;
  return json;
}

Json body(const gyle::Added& added) { return Json{{"amount", amount_json(added.amount)}}; }
Json body(const gyle::Missed& missed) { return Json{{"amount", amount_json(missed.amount)}}; }

Json body(const gyle::Lost& lost) {
  Json json{{"stage", stage_word(lost.stage)}, {"volume_l", lost.volume_l}};
  if (lost.deviation_l) json["deviation_l"] = *lost.deviation_l;
  return json;
}

Json body(const gyle::Changed& changed) {
  Json json = Json::object();
  if (changed.boil_minutes) json["boil_minutes"] = *changed.boil_minutes;
  if (changed.carbonation_volumes) json["carbonation_volumes"] = *changed.carbonation_volumes;
  if (changed.priming_sucrose_g) json["priming_sucrose_g"] = *changed.priming_sucrose_g;
  if (changed.ferment_at_celsius) json["ferment_at_celsius"] = *changed.ferment_at_celsius;
  return json;
}

Json body(const gyle::Note& note) { return Json{{"text", note.text}}; }
Json body(const gyle::Struck& struck) { return Json{{"why", struck.why}}; }

gyle::Started read_started(JsonReader& reader) {
  gyle::Started started;
  started.name = reader.text("name", longest_name, Blank::refused);
  started.brief_text = reader.text("brief_text", longest_event_text, Blank::allowed);
  JsonReader inner = reader.object("recipe");
  started.recipe = read_recipe(inner);
  started.kit = reader.text("kit", longest_name, Blank::allowed);
  if (const Json* learned = reader.take("learned")) {
    started.learned = *learned == true;
    if (!learned->is_boolean()) reader.report("learned", "\"learned\" is not true or false", "Leave it out for false");
  }
  return started;
}

gyle::Reading read_reading(JsonReader& reader) {
  gyle::Reading reading;
  reading.sight = reader.word("sight", sight_words);
  reading.stage = reader.word("stage", stage_words);
  const Span& span = span_of(reading.sight);
  reading.value = reader.number("value", span.low, span.high, span.words);
  const std::string unit = reader.text("unit", 20, Blank::allowed);
  if (!unit.empty() && unit != span.unit) {
    reader.report("unit", fmt::format("{} is \"{}\"", reader.field("unit"), unit),
                  fmt::format("A {} is kept in {}: convert the value, or leave the unit out", sight_word(reading.sight),
                              span.unit));
  }
  reading.deviation = reader.number_if_any("deviation", 0.0, span.high, "zero or more, in the unit of the value");
  reading.at_celsius = reader.number_if_any("at_celsius", -40.0, 150.0, "degrees Celsius from -40 to 150");
  reading.of = reader.text("of", longest_name, Blank::allowed);
  return reading;
}

compose::Recipe::Amount read_one_amount(JsonReader& reader) {
  JsonReader inner = reader.object("amount");
  return read_amount(inner);
}

gyle::Changed read_changed(JsonReader& reader) {
  gyle::Changed changed;
  changed.boil_minutes = reader.number_if_any("boil_minutes", 0.0, 1440.0, "minutes from 0 to 1,440");
  changed.carbonation_volumes = reader.number_if_any("carbonation_volumes", 0.0, 10.0, "volumes from 0 to 10");
  changed.priming_sucrose_g = reader.number_if_any("priming_sucrose_g", 0.0, 1e6, "grams from 0 to 1,000,000");
  changed.ferment_at_celsius = reader.number_if_any("ferment_at_celsius", -5.0, 60.0, "degrees Celsius from -5 to 60");
  return changed;
}

gyle::What read_what(std::size_t kind, JsonReader& reader) {
  switch (kind) {
    case 0: return read_started(reader);
    case 1: return gyle::Reached{reader.word("stage", stage_words)};
    case 2: return read_reading(reader);
    case 3: return gyle::Added{read_one_amount(reader)};
    case 4: return gyle::Missed{read_one_amount(reader)};
    case 5: {
      gyle::Lost lost;
      lost.stage = reader.word("stage", stage_words);
      lost.volume_l = reader.number("volume_l", 0.0, 1e5, "litres from 0 to 100,000");
      lost.deviation_l = reader.number_if_any("deviation_l", 0.0, 1e5, "litres from 0 to 100,000");
      return lost;
    }
    case 6: return read_changed(reader);
    case 7: return gyle::Note{reader.text("text", longest_event_text, Blank::refused)};
    default: return gyle::Struck{reader.text("why", longest_event_text, Blank::allowed)};
  }
}

}  // namespace

std::string_view stage_word(Stage stage) { return word_for(stage_words, stage); }
std::string_view sight_word(Sight sight) { return word_for(sight_words, sight); }
std::string_view sight_unit(Sight sight) { return span_of(sight).unit; }

std::optional<Stage> stage_of(std::string_view word) {
  for (const auto& one : stage_words) {
    if (one.first == word) return one.second;
  }
  return std::nullopt;
}

std::optional<Sight> sight_of(std::string_view word) {
  for (const auto& one : sight_words) {
    if (one.first == word) return one.second;
  }
  return std::nullopt;
}

bool is_key(std::string_view key) {
  return !key.empty() && key.size() <= 200 &&
         std::all_of(key.begin(), key.end(), [](char letter) { return letter > ' ' && letter < '\x7F'; });
}

std::string_view event_kind(const gyle::What& what) { return kinds[what.index()]; }

Json event_body_json(const gyle::What& what) {
  return std::visit([](const auto& one) { return body(one); }, what);
}

Json entry_json(const gyle::Entry& entry) {
  Json json{
      {"version", event_version}, {"key", entry.key}, {"at", instant_text(entry.at)}, {"kind", event_kind(entry.what)}};
  if (!entry.mends.empty()) json["mends"] = entry.mends;
  json["body"] = event_body_json(entry.what);
  return json;
}

Result<gyle::What> event_from_body(std::string_view kind, int version, const Json& json, const Place& place) {
  if (version < 1 || version > event_version) {
    return Problem{place, "version",
                   fmt::format("the entry is of version {}, this oddgrist knows 1 to {}", version, event_version),
                   "Use a newer oddgrist"};
  }
  const auto found = std::find(kinds.begin(), kinds.end(), kind);
  if (found == kinds.end()) {
    return Problem{place, "kind", fmt::format("\"{}\" is no kind of entry of a gyle", kind),
                   fmt::format("It must be one of {}", fmt::join(kinds, ", "))};
  }
  Problems problems;
  JsonReader reader(json, "body", place, problems);
  gyle::What what = read_what(static_cast<std::size_t>(found - kinds.begin()), reader);
  reader.report_unknown_keys();
  if (!problems.empty()) return problems;
  return what;
}

Result<gyle::Entry> entry_from_json(const Json& json, const Place& place) {
  Problems problems;
  JsonReader reader(json, "", place, problems);
  const auto version = reader.whole("version", 1, 1'000'000, "the version of the entry, 1 or more");
  gyle::Entry entry;
  entry.key = reader.text("key", 200, Blank::refused);
  if (!entry.key.empty() && !is_key(entry.key)) {
    reader.report("key", "the key holds a space or a character that is not plain ASCII",
                  "Make it of letters, digits and - . _ : /");
  }
  const std::string at = reader.text("at", 40, Blank::refused);
  if (const auto instant = instant_of(at)) {
    entry.at = *instant;
  } else if (!at.empty()) {
    reader.report("at", fmt::format("at is \"{}\"", at), "Write it like 2026-11-25T13:18:14.123Z");
  }
  const std::string kind = reader.text("kind", 40, Blank::refused);
  entry.mends = reader.text("mends", 200, Blank::allowed);
  if (!entry.mends.empty() && (!is_key(entry.mends) || entry.mends == entry.key)) {
    reader.report("mends", fmt::format("mends is \"{}\"", entry.mends), "It must be the key of an earlier entry");
  }
  const Json* body_value = reader.take("body");
  reader.report_unknown_keys();
  if (!json.is_object()) return problems;
  auto what = event_from_body(kind, static_cast<int>(version), body_value == nullptr ? Json() : *body_value, place);
  if (!what) problems.insert(problems.end(), what.problems().begin(), what.problems().end());
  if (!problems.empty()) return problems;
  entry.what = std::move(what.value());
  return entry;
}

Result<gyle::Entry> entry_from_text(std::string_view text, const std::string& path) {
  const auto json = parse_json_text(text, path);
  if (!json) return json.problems();
  return entry_from_json(json.value(), Place{path, 1, 1});
}

std::string name_in_brief(std::string_view brief_text) {
  Problems ignored;
  const auto table = parse_toml(brief_text, "brief", ignored);
  return table ? (*table)["name"].value_or(std::string()) : std::string();
}

}  // namespace oddgrist::files

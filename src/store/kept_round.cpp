#include "store/kept_round.hpp"

#include <fmt/format.h>

#include "files/json_reader.hpp"

namespace oddgrist::store {
namespace {

using files::Json;
using files::JsonReader;

constexpr std::size_t longest_name = 200;

void check_marks(const Json& marks, const std::string& field, files::Problems& problems) {
  if (!marks.is_object()) {
    problems.push_back({files::Place{}, field, "the marks are no object", "Send {} for a sheet without marks"});
    return;
  }
  for (const auto& [code, beer] : marks.items()) {
    if (!beer.is_object()) {
      problems.push_back({files::Place{}, field + "." + code, "these marks are no object", "Send {criterion: number}"});
      continue;
    }
    for (const auto& [criterion, mark] : beer.items()) {
      if (mark.is_number()) continue;
      problems.push_back({files::Place{},
                          fmt::format("{}.{}{}{}", field, code, criterion.empty() ? "" : ".", criterion),
                          "the mark is no number", "Leave out what was not marked"});
    }
  }
}

}  // namespace

Result<KeptRound> kept_round(const Store& store, const std::string& id) {
  const auto logged = store.entries("round/" + id);
  if (!logged) return logged.problems();
  std::vector<Mending> mendings;
  for (const Logged& entry : logged.value())
    mendings.push_back({entry.line.key, entry.line.mends, entry.line.kind == "struck"});
  KeptRound round;
  round.entries = static_cast<std::int64_t>(logged.value().size());
  if (!logged.value().empty()) round.changed_at = logged.value().back().line.at;
  for (const std::size_t holding : in_force(mendings)) {
    const Line& line = logged.value()[holding].line;
    // Another program may have written what this one would not.
    if (!problems_in_round_entry(line, "").empty()) continue;
    Json body = Json::parse(line.body, nullptr, false);
    if (line.kind == "closed") round.closed = true;
    if (line.kind == "sheet") round.sheets[body["judge"].get<std::string>()] = std::move(body["marks"]);
    if (line.kind != "part") continue;
    const std::string part = body["part"].get<std::string>();
    if (body["value"].is_null())
      round.parts.erase(part);
    else
      round.parts[part] = std::move(body["value"]);
  }
  return round;
}

files::Problems problems_in_round_entry(const Line& line, const std::string& path) {
  files::Problems problems;
  const Json body = Json::parse(line.body, nullptr, false);
  JsonReader reader(body, path, files::Place{}, problems);
  if (line.kind == "part") {
    (void)reader.text("part", longest_name, JsonReader::Blank::refused);
    (void)reader.take("value");
  } else if (line.kind == "sheet") {
    (void)reader.text("judge", longest_name, JsonReader::Blank::refused);
    const Json* marks = reader.take("marks");
    check_marks(marks == nullptr ? Json() : *marks, reader.field("marks"), problems);
  } else if (line.kind == "struck") {
    (void)reader.text("why", longest_name, JsonReader::Blank::allowed);
  } else if (line.kind != "closed") {
    problems.push_back({files::Place{}, "kind", fmt::format("\"{}\" is no kind of entry of a round", line.kind),
                        "It is part, sheet, closed or struck"});
    return problems;
  }
  reader.report_unknown_keys();
  return problems;
}

}  // namespace oddgrist::store

#include "server/sheet_json.hpp"

#include "files/event_json.hpp"

namespace oddgrist::server {

using files::Json;

Json sheet_line_json(const present::SheetLine& line) {
  Json expected = Json::array();
  for (const present::ExpectedReading& reading : line.expected) {
    expected.push_back(
        Json{{"what", reading.what}, {"value", reading.value}, {"unit", reading.unit}, {"words", reading.words}});
  }
  return Json{{"phase", present::phase_name(line.phase)},
              {"clock", line.clock},
              {"action", line.action},
              {"expected", std::move(expected)},
              {"warning", line.warning}};
}

Json day_json(const std::vector<present::SheetLine>& lines) {
  const std::vector<std::string> names = present::line_names(lines);
  Json day = Json::array();
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const present::SheetLine& line = lines[i];
    Json json = sheet_line_json(line);
    json["name"] = names[i];
    json["stage"] = files::stage_word(line.stage);
    if (line.reaches) json["reaches"] = files::stage_word(*line.reaches);
    if (line.minutes) json["minutes"] = *line.minutes;
    if (line.to_go) json["to_go"] = *line.to_go;
    day.push_back(std::move(json));
  }
  return day;
}

}  // namespace oddgrist::server

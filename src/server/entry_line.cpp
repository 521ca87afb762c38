#include "server/entry_line.hpp"

#include <utility>

#include <fmt/format.h>

#include "files/json_reader.hpp"
#include "server/problem_details.hpp"

namespace oddgrist::server {

using files::Json;

namespace {
constexpr std::size_t longest_word = 200;
}  // namespace

std::optional<store::Line> line_in(const Json& json, std::size_t number, std::string stream,
                                   files::Problems& problems) {
  const std::size_t before = problems.size();
  files::JsonReader reader(json, fmt::format("entries[{}]", number), files::Place{}, problems);
  using Blank = files::JsonReader::Blank;
  store::Line line;
  line.stream = std::move(stream);
  line.version = static_cast<int>(reader.whole("version", 1, 1, "1"));
  line.key = reader.text("key", longest_word, Blank::refused);
  line.kind = reader.text("kind", longest_word, Blank::refused);
  line.mends = reader.text("mends", longest_word, Blank::allowed);
  const auto at = files::instant_of(reader.text("at", longest_word, Blank::refused));
  if (!at) reader.report("at", "\"at\" is no moment", "Send it like 2026-11-25T13:18:14.123Z");
  const Json* body = reader.take("body");
  if (body == nullptr || !body->is_object())
    reader.report("body", "\"body\" is no object", "Send what docs/schema/entry.schema.json has for this kind");
  reader.report_unknown_keys();
  if (problems.size() != before) return std::nullopt;
  line.at = *at;
  line.body = files::compact_json(*body).value_or("");
  return line;
}

Reply append_reply(Service& service, const std::vector<store::Line>& lines, std::string_view wrong) {
  return service.shelf.write([&](store::Store& store) {
    const auto appended = store.append(lines);
    if (!appended) return problems_reply(wrong, appended.problems(), Lines::hide);
    Json keys = Json::array();
    for (const store::Line& line : lines) keys.push_back(line.key);
    return json_reply(Json{{"keys", std::move(keys)}, {"written", appended.value().written}});
  });
}

}  // namespace oddgrist::server

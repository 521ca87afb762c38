// Rounds kept in the store: a list, one as it stands, and what is written into it. What a judge marked stays with the device that wrote
// it until all sheets are in.
#include <vector>

#include "files/instant_text.hpp"
#include "server/entry_line.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"
#include "store/kept_round.hpp"

namespace oddgrist::server {
namespace {

constexpr std::string_view wrong = "round";

Reply no_round() { return problem_reply(404, "not-found", "there is no such round", "Open one from the list"); }

std::string name_of(const store::KeptRound& round) {
  const auto name = round.parts.find("name");
  return name != round.parts.end() && name->second.is_string() ? name->second.get<std::string>() : std::string();
}

Json sheets_json(const store::KeptRound& round) {
  Json sheets = Json::array();
  for (const auto& [judge, marks] : round.sheets) {
    Json sheet{{"judge", judge}, {"beers", marks.size()}};
    if (round.closed) sheet["marks"] = marks;
    sheets.push_back(std::move(sheet));
  }
  return sheets;
}

}  // namespace

Reply answer_rounds(Service& service, const Request&) {
  return service.shelf.read([](const store::Store& store) {
    const auto ids = store.rounds();
    if (!ids) return problems_reply(wrong, ids.problems(), Lines::hide);
    Json rounds = Json::array();
    for (const std::string& id : ids.value()) {
      const auto round = store::kept_round(store, id);
      if (!round) return problems_reply(wrong, round.problems(), Lines::hide);
      rounds.push_back(Json{{"round", id},
                            {"name", name_of(round.value())},
                            {"closed", round.value().closed},
                            {"changed_at", files::instant_text(round.value().changed_at)}});
    }
    return json_reply(Json{{"rounds", std::move(rounds)}});
  });
}

Reply answer_kept_round(Service& service, const Request& request) {
  const std::string& id = request.captures.at("round");
  return service.shelf.read([&](const store::Store& store) {
    const auto round = store::kept_round(store, id);
    if (!round) return problems_reply(wrong, round.problems(), Lines::hide);
    if (round.value().entries == 0) return no_round();
    Json parts = Json::object();
    for (const auto& [name, value] : round.value().parts) parts[name] = value;
    return json_reply(Json{{"round", id},
                           {"closed", round.value().closed},
                           {"parts", std::move(parts)},
                           {"sheets", sheets_json(round.value())}});
  });
}

Reply answer_round_entries(Service& service, const Request& request) {
  Json document;
  if (auto refused = refuse_entries(request, document)) return *refused;
  const std::string stream = "round/" + request.captures.at("round");
  if (!store::stream_name(stream))
    return bad_request("this cannot be the name of a round", "Use at most 120 bytes without a slash");
  std::vector<store::Line> lines;
  files::Problems problems;
  for (std::size_t i = 0; i < document["entries"].size(); ++i) {
    auto line = line_in(document["entries"][i], i, stream, problems);
    if (!line) continue;
    const std::string entry = "entries[" + std::to_string(i) + "]";
    for (files::Problem problem : store::problems_in_round_entry(*line, entry + ".body")) {
      if (problem.field == "kind") problem.field = entry + ".kind";
      problems.push_back(std::move(problem));
    }
    lines.push_back(std::move(*line));
  }
  if (!problems.empty()) return problems_reply(wrong, problems, Lines::hide);
  return append_reply(service, lines, wrong);
}

}  // namespace oddgrist::server

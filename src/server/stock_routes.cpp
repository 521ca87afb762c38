// What is in the house: a list, the log behind it, and what is written into that.
#include <algorithm>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "files/names.hpp"
#include "files/packet_json.hpp"
#include "larder/catalogue.hpp"
#include "larder/hazards.hpp"
#include "server/entry_line.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"

namespace oddgrist::server {
namespace {

constexpr std::string_view wrong = "stock";
constexpr std::string_view stream = "larder";
constexpr std::size_t most_shown = 100;

// Of the name the brewer wrote, and of what the catalogue knows under it.
std::vector<larder::Hazard> hazards_of(const std::string& name) {
  std::vector<larder::Hazard> hazards = larder::hazards_named(name);
  if (const larder::Ingredient* known = larder::catalogue().find(name);
      known != nullptr && !larder::is_refused(hazards))
    hazards = larder::hazards_in(*known);
  return hazards;
}

Json line_json(const store::StockLine& line) {
  const larder::Ingredient* known = larder::catalogue().find(line.ingredient);
  Json json{{"ingredient", line.ingredient}, {"name", known != nullptr ? known->name : line.ingredient}};
  if (known != nullptr) json["kind"] = files::kind_name(known->kind);
  json["grams"] = 1000.0 * line.kg;
  if (line.opened_on) json["opened_on"] = files::day_text(*line.opened_on);
  if (line.best_before) json["best_before"] = files::day_text(*line.best_before);
  json["changed_at"] = files::instant_text(line.changed_at);
  json["hazards"] = files::hazards_json(hazards_of(line.ingredient));
  return json;
}

}  // namespace

Reply answer_stock(Service& service, const Request&) {
  return service.shelf.read([](const store::Store& store) {
    const auto stock = store.stock();
    if (!stock) return problems_reply(wrong, stock.problems(), Lines::hide);
    Json lines = Json::array();
    for (const store::StockLine& line : stock.value()) lines.push_back(line_json(line));
    return json_reply(Json{{"stock", std::move(lines)}, {"notice", larder::hazard_notice}});
  });
}

Reply answer_stock_log(Service& service, const Request&) {
  return service.shelf.read([](const store::Store& store) {
    const auto logged = store.entries(stream);
    if (!logged) return problems_reply(wrong, logged.problems(), Lines::hide);
    std::vector<store::Mending> mendings;
    for (const store::Logged& entry : logged.value())
      mendings.push_back({entry.line.key, entry.line.mends, entry.line.kind == "struck"});
    const std::vector<std::size_t> in_force = store::in_force(mendings);
    Json entries = Json::array();
    for (std::size_t i = logged.value().size(); i-- > 0 && entries.size() < most_shown;) {
      const store::Line& line = logged.value()[i].line;
      Json entry{{"key", line.key},
                 {"at", files::instant_text(line.at)},
                 {"kind", line.kind},
                 {"holds", std::find(in_force.begin(), in_force.end(), i) != in_force.end()},
                 {"body", Json::parse(line.body, nullptr, false)}};
      if (!line.mends.empty()) entry["mends"] = line.mends;
      entries.push_back(std::move(entry));
    }
    return json_reply(Json{{"entries", std::move(entries)}, {"all", logged.value().size()}});
  });
}

Reply answer_stock_entries(Service& service, const Request& request) {
  Json document;
  if (auto refused = refuse_entries(request, document)) return *refused;
  std::vector<store::Line> lines;
  files::Problems problems;
  for (std::size_t i = 0; i < document["entries"].size(); ++i) {
    if (auto line = line_in(document["entries"][i], i, std::string(stream), problems))
      lines.push_back(std::move(*line));
  }
  if (!problems.empty()) return problems_reply(wrong, problems, Lines::hide);
  return append_reply(service, lines, wrong);
}

}  // namespace oddgrist::server

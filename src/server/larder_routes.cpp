// The catalogue searched, and a packet read.
#include <algorithm>
#include <charconv>
#include <vector>

#include "files/ingredient_json.hpp"
#include "files/names.hpp"
#include "files/own_larder.hpp"
#include "files/packet_json.hpp"
#include "larder/catalogue.hpp"
#include "larder/hazards.hpp"
#include "server/brief_text.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"

namespace oddgrist::server {
namespace {

using larder::Ingredient;

constexpr int usual_limit = 20, highest_limit = 100;

std::vector<std::string> words_of(const std::string& text) {
  std::vector<std::string> words;
  const std::string folded = larder::folded_name(text);
  for (std::size_t begin = 0; begin < folded.size();) {
    const std::size_t end = std::min(folded.find(' ', begin), folded.size());
    if (end > begin) words.push_back(folded.substr(begin, end - begin));
    begin = end + 1;
  }
  return words;
}

// How well one of its names fits: 0 is the name itself, 1 begins with the words, 2 has them at the beginnings of words, 3 somewhere.
constexpr int does_not_fit = 4;
int fit_of(const std::string& name, const std::string& joined, const std::vector<std::string>& words) {
  const std::string folded = larder::folded_name(name);
  if (folded == joined) return 0;
  if (folded.starts_with(joined)) return 1;
  int fit = 2;
  for (const std::string& word : words) {
    const auto place = folded.find(word);
    if (place == std::string::npos) return does_not_fit;
    if (!folded.starts_with(word) && folded.find(' ' + word) == std::string::npos) fit = 3;
  }
  return fit;
}

int fit_of(const Ingredient& ingredient, const std::string& joined, const std::vector<std::string>& words) {
  int best = std::min(fit_of(ingredient.name, joined, words), fit_of(ingredient.id, joined, words));
  for (const std::string& name : ingredient.also_called) best = std::min(best, fit_of(name, joined, words));
  if (best == does_not_fit && joined == files::kind_name(ingredient.kind)) best = does_not_fit - 1;
  return best;
}

std::string parameter(const Request& request, const std::string& name) {
  const auto found = request.query.find(name);
  return found == request.query.end() ? std::string() : found->second;
}

}  // namespace

Reply answer_larder(Service&, const Request& request) {
  int limit = usual_limit;
  const std::string limit_text = parameter(request, "limit");
  if (!limit_text.empty()) {
    const char* end = limit_text.data() + limit_text.size();
    const auto read = std::from_chars(limit_text.data(), end, limit);
    if (read.ec != std::errc() || read.ptr != end || limit < 1 || limit > highest_limit)
      return problem_reply(400, "bad-request", "limit is no whole number from 1 to 100", "Leave it out for 20");
  }
  const std::string joined = larder::folded_name(parameter(request, "q"));
  const std::string kind = parameter(request, "kind");
  const std::vector<std::string> words = words_of(joined);
  std::vector<std::pair<int, const Ingredient*>> found;
  const files::OwnLarder own = files::read_own_larder();
  const auto take = [&](const Ingredient& ingredient) {
    if (!kind.empty() && kind != files::kind_name(ingredient.kind)) return;
    const int fit = fit_of(ingredient, joined, words);
    if (fit < does_not_fit) found.emplace_back(fit, &ingredient);
  };
  for (const files::OwnEntry& entry : own.entries) take(entry.ingredient);
  // A name that people say and that the letters do not show: Weizenmalz, 2-row.
  const Ingredient* meant = joined.empty() ? nullptr : larder::catalogue().find(joined);
  for (const Ingredient& ingredient : larder::catalogue().all()) {
    if (&ingredient == meant && (kind.empty() || kind == files::kind_name(meant->kind)))
      found.emplace_back(0, meant);
    else
      take(ingredient);
  }
  std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  Json list = Json::array();
  for (const auto& entry : found) {
    if (list.size() == static_cast<std::size_t>(limit)) break;
    list.push_back(files::ingredient_json(*entry.second));
  }
  Json document{{"ingredients", std::move(list)}};
  // What must not be brewed with is answered with that, not with a name that is spelt like it.
  const std::vector<larder::Hazard> hazards =
      found.empty() ? larder::hazards_named(parameter(request, "q")) : std::vector<larder::Hazard>();
  if (!hazards.empty()) document["hazards"] = files::hazards_json(hazards);
  if (found.empty() && hazards.empty() && joined.size() <= 100)
    document["nearest"] = larder::catalogue().nearest(joined, 3);
  return json_reply(document);
}

Reply answer_ingredient(Service&, const Request& request) {
  const std::string& name = request.captures.at("ingredient");
  const files::OwnLarder own = files::read_own_larder();
  const files::OwnEntry* mine = files::find_own(own, name);
  const larder::Ingredient* ingredient = mine != nullptr ? &mine->ingredient : larder::catalogue().find(name);
  if (ingredient == nullptr)
    return problem_reply(404, "not-found", "the catalogue has no such ingredient", "Search for another name");
  return json_reply(Json{{"ingredient", files::ingredient_json(*ingredient)},
                         {"hazards", files::hazards_json(larder::hazards_in(*ingredient))},
                         {"notice", larder::hazard_notice}});
}

Reply answer_packet(Service&, const Request& request) {
  if (request.content_type != "application/json") return bare_problem(415);
  Json item = Json::parse(request.body, nullptr, false);
  if (!item.is_object()) {
    return problem_reply(400, "bad-request", "the body is not one packet as a JSON object",
                         "Send {\"name\": \"...\", \"declared\": \"...\", \"packet\": {\"per\": \"100 g\", ...}}");
  }
  const auto toml = toml_of(Json{{"item", Json::array({std::move(item)})}});
  if (!toml) return problems_reply("packet", toml.problems(), Lines::hide);
  const auto items = files::read_packet_text(toml.value(), "packet");
  if (!items) return problems_reply("packet", items.problems(), Lines::hide);
  return json_reply(files::packets_json(items.value()));
}

}  // namespace oddgrist::server

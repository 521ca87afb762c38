// A round among several brewers. Nothing of it is kept here: the whole of it comes with every question.
#include <optional>

#include <fmt/format.h>

#include "files/round_file.hpp"
#include "files/round_json.hpp"
#include "present/round.hpp"
#include "round/codes.hpp"
#include "server/brief_text.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"

namespace oddgrist::server {
namespace {

using round::Round;

constexpr std::string_view wrong = "round";
// Each parcel in each household is one recipe to seek. More than these belong on the command line, where one can watch it count.
constexpr std::size_t most_recipes = 150;

struct Looked {
  round::ParcelReport report;
  round::BarTable bars;
};

Looked look_at_parcels(Service& service, const Round& round) {
  Looked looked;
  service.briefs.alone([&] { looked.report = round::check_parcels(round); });
  looked.bars = round::bars_of(round, looked.report);
  return looked;
}

// What a pair is barred by, and what stands in the way of any draw, in the words the command line has for them.
void put_in_words(const Round& round, const round::BarTable& bars, Json& document) {
  Json words = Json::array();
  for (std::size_t giver = 0; giver < round.members.size(); ++giver) {
    for (std::size_t brewer = 0; brewer < round.members.size(); ++brewer) {
      if (brewer == giver) continue;
      for (const round::Bar& bar : bars.of[brewer][giver]) {
        words.push_back(Json{{"brewer", round.members[brewer].name},
                             {"giver", round.members[giver].name},
                             {"words", present::bar_words(round, {brewer, giver}, bar)}});
      }
    }
  }
  document["bar_words"] = std::move(words);
  const auto obstacle = round::hall_obstacle(round::open_pairs(bars));
  if (!obstacle) return;
  document["obstacle_words"] = present::obstacle_words(round, *obstacle);
  Json cures = Json::array();
  for (const round::Lift& lift : round::least_cure(bars)) {
    for (const round::Bar& bar : lift.bars) cures.push_back(present::cure_words(round, lift.pair, bar));
  }
  document["cure_words"] = std::move(cures);
}

Reply no_seed(std::string_view key) {
  return problem_reply(422, wrong, fmt::format("neither \"seed\" nor round.{} says which number to draw with", key),
                       "Agree on a number that nobody can choose alone, thrown with dice for instance");
}

Reply checked(Service& service, const Round& round) {
  const Looked looked = look_at_parcels(service, round);
  Json document{{"result", files::round_check_json(round, looked.report, looked.bars)}};
  put_in_words(round, looked.bars, document);
  return json_reply(document);
}

Reply drawn(Service& service, const Round& round, std::optional<std::uint64_t> seed) {
  if (!seed) seed = round.draw_seed;
  if (!seed) return no_seed("draw-seed");
  const Looked looked = look_at_parcels(service, round);
  const round::DrawResult result = round::draw_round(round, looked.bars, *seed);
  Json document{{"result", files::round_draw_json(round, looked.bars, result, *seed)}};
  put_in_words(round, looked.bars, document);
  return json_reply(document);
}

Reply sheets(const Round& round, std::optional<std::uint64_t> seed) {
  if (!seed) seed = round.code_seed;
  if (!seed) return no_seed("code-seed");
  return json_reply(Json{{"result", files::round_sheets_json(round, *seed)}});
}

Reply ranked(const Round& round, std::optional<std::uint64_t> seed) {
  if (!seed) seed = round.code_seed;
  bool coded = false;
  for (const round::Sheet& sheet : round.sheets) coded = coded || !sheet.code.empty();
  if (coded && !seed) return no_seed("code-seed");
  const round::Tally tally = round::tally_of(round, seed ? round::codes_of(round, *seed) : std::vector<std::string>{});
  const round::Ranking ranking = round::rank_beers(tally.scores, round.members.size(), round::judge_count(round));
  return json_reply(Json{{"result", files::round_rank_json(round, tally, ranking)}});
}

}  // namespace

Reply answer_round(Service& service, const Request& request) {
  const std::string& what = request.captures.at("what");
  if (what != "check" && what != "draw" && what != "sheets" && what != "rank") return bare_problem(404);
  if (!service.solves.allow(request.peer)) return too_many();
  if (request.content_type != "application/json") return bare_problem(415);
  const Json document = Json::parse(request.body, nullptr, false);
  if (!document.is_object() || !document.contains("round"))
    return bad_request("the body is not {\"round\": {...}}", "Send the round's file as JSON, docs/file-format.md");
  std::optional<std::uint64_t> seed;
  if (document.contains("seed")) {
    const Json& number = document["seed"];
    if (!number.is_number_unsigned())
      return bad_request("\"seed\" is no whole number from 0", "Leave it out if the round has one");
    seed = number.get<std::uint64_t>();
  }
  const auto toml = toml_of(document["round"]);
  if (!toml) return problems_reply(wrong, toml.problems(), Lines::hide);
  const auto read = files::read_round_text(toml.value(), "round");
  if (!read) return problems_reply(wrong, read.problems(), Lines::hide);
  const Round& round = read.value();
  if (what == "sheets") return sheets(round, seed);
  if (what == "rank") return ranked(round, seed);
  if (round.members.size() * round::households_of(round).size() > most_recipes) {
    return problem_reply(422, wrong, "the round is too large to be checked here",
                         "Save it as a file and use oddgrist round on the command line");
  }
  return what == "check" ? checked(service, round) : drawn(service, round, seed);
}

}  // namespace oddgrist::server

#include "files/round_json.hpp"

#include "larder/allergen_names.hpp"
#include "round/codes.hpp"
#include "round/obstacle.hpp"

namespace oddgrist::files {
namespace {

using round::Round;

constexpr std::string_view bar_names[] = {"own-parcel", "drawn-before", "not-sound",
                                          "beyond-kit", "allergen",     "unsafe"};
constexpr std::string_view verdict_names[] = {"sound", "nearly", "beyond-kit", "refused"};
constexpr std::string_view evenness_names[] = {"counted", "tried", "improvised"};

template <class Enum, std::size_t size>
std::string_view name_in(const std::string_view (&names)[size], Enum value) {
  return names[static_cast<std::size_t>(value)];
}

Json names_json(const Round& round, const std::vector<std::size_t>& members) {
  Json names = Json::array();
  for (std::size_t member : members) names.push_back(round.members[member].name);
  return names;
}

Json head_json(std::string_view what, const Round& round) {
  return Json{{"what", what}, {"round", round.name}, {"file", round.file}};
}

Json pair_json(const Round& round, const round::Pair& pair) {
  return Json{{"brewer", round.members[pair.brewer].name}, {"giver", round.members[pair.giver].name}};
}

Json barred_pair_json(const Round& round, const round::Pair& pair, const std::vector<round::Bar>& bars) {
  Json reasons = Json::array();
  for (const round::Bar& bar : bars)
    reasons.push_back(Json{{"kind", name_in(bar_names, bar.kind)}, {"detail", bar.detail}});
  Json json = pair_json(round, pair);
  json["bars"] = std::move(reasons);
  return json;
}

// null when a draw exists (straight swaps not looked at).
Json obstacle_json(const Round& round, const round::BarTable& bars) {
  const auto obstacle = round::hall_obstacle(round::open_pairs(bars));
  if (!obstacle) return nullptr;
  Json cure = Json::array();
  for (const round::Lift& lift : round::least_cure(bars)) cure.push_back(barred_pair_json(round, lift.pair, lift.bars));
  return Json{{"of", obstacle->of_brewers ? "brewers" : "parcels"},
              {"members", names_json(round, obstacle->members)},
              {"reach", names_json(round, obstacle->reach)},
              {"smallest", obstacle->smallest},
              {"cure", std::move(cure)}};
}

Json finding_json(const Round& round, const round::ParcelReport& report, std::size_t giver, std::size_t household) {
  const round::Finding& finding = *report.finding[giver][household];
  std::vector<std::size_t> others;
  for (std::size_t member : report.households[household].members) {
    if (member != giver) others.push_back(member);
  }
  Json json{{"brewers", names_json(round, others)},
            {"kit", round.kits[round.members[others.front()].kit].name},
            {"verdict", name_in(verdict_names, finding.verdict)},
            {"reasons", finding.reasons}};
  if (finding.verdict != round::Verdict::refused) {
    json["beer"] = Json{{"volume_l", finding.volume_l},
                        {"abv_percent", finding.abv_percent},
                        {"bitterness_ibu", finding.bitterness_ibu},
                        {"final_gravity_sg", finding.final_gravity_sg}};
  }
  return json;
}

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json places_json(const Round& round, const round::Ranking& ranking) {
  Json places = Json::array();
  for (const round::BeerPlace& place : ranking.beers) {
    Json json{{"brewer", round.members[place.beer].name}};
    if (round.drawn) json["giver"] = round.members[(*round.drawn)[place.beer]].name;
    json["group"] = place.group + 1;
    json["place"] = place.place;
    json["sheets"] = place.scores;
    json["score"] = place.adjusted;
    json["ahead"] = place.ahead;
    json["standard_error"] = or_null(place.standard_error);
    json["low"] = or_null(place.low);
    json["high"] = or_null(place.high);
    json["alike"] = names_json(round, place.alike);
    places.push_back(std::move(json));
  }
  return places;
}

Json left_out_json(const round::Tally& tally) {
  Json list = Json::array();
  for (const round::LeftOut& left : tally.left_out)
    list.push_back(Json{{"file", left.place.file},
                        {"line", left.place.line},
                        {"column", left.place.column},
                        {"what", left.what},
                        {"remedy", left.remedy}});
  return list;
}

}  // namespace

Json round_check_json(const Round& round, const round::ParcelReport& report, const round::BarTable& bars) {
  Json parcels = Json::array(), barred = Json::array();
  for (std::size_t giver = 0; giver < round.members.size(); ++giver) {
    Json items = Json::array(), allergens = Json::array(), findings = Json::array();
    for (const compose::Supply& supply : round.members[giver].parcel)
      items.push_back(
          Json{{"item", supply.ingredient.name}, {"amount_g", supply.amount ? supply.amount->in(gram) : 0.0}});
    for (larder::Allergen allergen : round::allergens_of(round.members[giver].parcel))
      allergens.push_back(larder::allergen_names[static_cast<std::size_t>(allergen)]);
    for (std::size_t h = 0; h < report.households.size(); ++h) {
      if (report.finding[giver][h]) findings.push_back(finding_json(round, report, giver, h));
    }
    parcels.push_back(Json{{"giver", round.members[giver].name},
                           {"items", std::move(items)},
                           {"allergens", std::move(allergens)},
                           {"findings", std::move(findings)}});
    for (std::size_t brewer = 0; brewer < round.members.size(); ++brewer) {
      if (brewer != giver && !bars.of[brewer][giver].empty())
        barred.push_back(barred_pair_json(round, {brewer, giver}, bars.of[brewer][giver]));
    }
  }
  Json json = head_json("check", round);
  json["parcels"] = std::move(parcels);
  json["barred"] = std::move(barred);
  json["obstacle"] = obstacle_json(round, bars);
  return json;
}

Json round_draw_json(const Round& round, const round::BarTable& bars, const round::DrawResult& result,
                     std::uint64_t seed) {
  Json json = head_json("draw", round);
  json["seed"] = seed;
  json["straight_swaps"] = round.straight_swaps;
  Json pairs = Json::array();
  if (result.draw) {
    for (std::size_t brewer = 0; brewer < result.draw->giver_of.size(); ++brewer)
      pairs.push_back(pair_json(round, {brewer, result.draw->giver_of[brewer]}));
    json["evenness"] = name_in(evenness_names, result.draw->evenness);
    json["ways"] = or_null(result.draw->ways);
  } else {
    json["proven_none"] = result.proven_none;
    json["obstacle"] = obstacle_json(round, bars);
  }
  json["pairs"] = std::move(pairs);
  return json;
}

Json round_sheets_json(const Round& round, std::uint64_t seed) {
  const std::vector<std::string> codes = round::codes_of(round, seed);
  Json key = Json::array(), sheets = Json::array();
  for (std::size_t beer = 0; beer < codes.size(); ++beer) {
    Json entry{{"code", codes[beer]}, {"brewer", round.members[beer].name}};
    if (round.drawn) entry["giver"] = round.members[(*round.drawn)[beer]].name;
    key.push_back(std::move(entry));
  }
  for (std::size_t judge = 0; judge < judge_count(round); ++judge) {
    Json order = Json::array();
    for (std::size_t beer : round::tasting_order(round, judge, seed)) order.push_back(codes[beer]);
    sheets.push_back(Json{{"judge", judge_name(round, judge)}, {"codes", std::move(order)}});
  }
  Json json = head_json("sheets", round);
  json["seed"] = seed;
  json["key"] = std::move(key);
  json["sheets"] = std::move(sheets);
  return json;
}

Json round_rank_json(const Round& round, const round::Tally& tally, const round::Ranking& ranking) {
  Json judges = Json::array(), pairs = Json::array();
  for (const round::JudgeLean& judge : ranking.judges)
    judges.push_back(Json{{"judge", judge_name(round, judge.judge)}, {"lean", judge.lean}, {"sheets", judge.scores}});
  for (const round::PairGap& pair : ranking.pairs)
    pairs.push_back(Json{{"better", round.members[pair.better].name},
                         {"worse", round.members[pair.worse].name},
                         {"gap", pair.gap},
                         {"standard_error", or_null(pair.standard_error)},
                         {"chance", pair.chance}});
  Json json = head_json("rank", round);
  json["level"] = round::ranking_level;
  json["freedom"] = ranking.freedom;
  json["scatter"] = or_null(ranking.residual_sd);
  json["groups"] = ranking.groups;
  json["beers"] = places_json(round, ranking);
  json["judges"] = std::move(judges);
  json["pairs"] = std::move(pairs);
  json["unscored"] = names_json(round, ranking.unscored);
  json["left_out"] = left_out_json(tally);
  return json;
}

}  // namespace oddgrist::files

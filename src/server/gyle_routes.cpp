// Gyles: begun from a proposal, written on, looked at, and what can still be done.
#include <chrono>
#include <optional>

#include <fmt/format.h>

#include "files/event_json.hpp"
#include "files/gyle_json.hpp"
#include "files/own_larder.hpp"
#include "present/gyle.hpp"
#include "present/run_sheet.hpp"
#include "server/asked.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"
#include "server/sheet_json.hpp"
#include "store/open_gyle.hpp"

namespace oddgrist::server {
namespace {

constexpr std::string_view wrong = "gyle";

std::string text_in(const Json& document, const char* name) {
  return document.contains(name) && document[name].is_string() ? document[name].get<std::string>() : std::string();
}

Reply no_gyle() { return problem_reply(404, "not-found", "there is no such gyle", "Open one from the list"); }

// Why nothing can be done with this gyle: it is not there, or the store cannot say whether it is.
std::optional<Reply> refuse_gyle(const store::Store& store, const std::string& id) {
  const auto entries = store.entries("gyle/" + id);
  if (!entries) return problems_reply(wrong, entries.problems(), Lines::hide);
  if (entries.value().empty()) return no_gyle();
  return std::nullopt;
}

// Does something with a gyle that is there. One that was begun with what its kit had taught is reckoned so.
template <class Answer>
Reply with_gyle(Service& service, const Request& request, Answer answer) {
  const std::string id = request.captures.at("gyle");
  std::optional<store::OpenGyle> opened;
  Reply refused = service.shelf.read([&](const store::Store& store) {
    if (auto refusal = refuse_gyle(store, id)) return *refusal;
    auto gyle = store::open_gyle(store, id);
    if (!gyle) return problems_reply(wrong, gyle.problems(), Lines::hide);
    if (gyle.value().state.learned) {
      const auto lesson = service.lessons.of(store, gyle.value().state.kit, id);
      if (!lesson) return problems_reply(wrong, lesson.problems(), Lines::hide);
      gyle.value().brief = taught(std::move(gyle.value().brief), *lesson.value());
    }
    opened = std::move(gyle.value());
    return Reply{};
  });
  // What takes time is reckoned with the store already free for others.
  return opened ? answer(id, *opened) : refused;
}

// Rises with whatever makes the gyle stand otherwise: its own entries, and those of other gyles if it reckons with them.
std::int64_t version_of(Service& service, const store::Store& store, const std::string& id,
                        const std::vector<store::Logged>& entries) {
  std::int64_t version = entries.back().id;
  for (const store::Logged& entry : entries) {
    if (entry.line.kind != "started") continue;
    const Json body = Json::parse(entry.line.body, nullptr, false);
    if (!body.is_object() || !body.contains("learned")) continue;
    const auto lesson = service.lessons.of(store, text_in(body, "kit"), id);
    if (lesson) version = std::max(version, lesson.value()->learned_at);
  }
  return version;
}

Json written_json(const std::string& id, const std::vector<gyle::Entry>& entries, const store::Appended& appended) {
  Json keys = Json::array(), short_of = Json::array();
  for (const gyle::Entry& entry : entries) keys.push_back(entry.key);
  for (const store::Shortfall& shortfall : appended.shortfalls) {
    if (shortfall.ever_in) short_of.push_back(shortfall.ingredient);
  }
  return Json{
      {"gyle", id}, {"keys", std::move(keys)}, {"short_of", std::move(short_of)}, {"written", appended.written}};
}

Reply write(store::Store& store, const std::string& id, const std::vector<gyle::Entry>& entries) {
  const auto appended = store.append_to_gyle(id, entries);
  if (!appended) return problems_reply(wrong, appended.problems(), Lines::hide);
  return json_reply(written_json(id, entries, appended.value()));
}

// The recipe of the proposal that is meant, or the reply that says why there is none.
struct Chosen {
  std::optional<gyle::Started> started;
  Reply refusal;
};

Chosen chosen_of(Service& service, const Json& document) {
  BriefQuestion question = question_in(service, document);
  if (!question.asked) return {std::nullopt, std::move(question.refusal)};
  const std::size_t number = question.proposal;
  const auto answered = service.briefs.answer_numbered(*question.asked);
  if (!answered) return {std::nullopt, problems_reply("brief", answered.problems(), Lines::hide)};
  const compose::Answer& answer = answered.value()->answer;
  if (answer.outcome == compose::Outcome::refused || number < 1 || number > answered.value()->ways()) {
    return {std::nullopt, problem_reply(422, "no-such-proposal",
                                        fmt::format("there are {} proposals to brew from", answered.value()->ways()),
                                        "Count them from 1; a refused brief has none")};
  }
  const compose::Brief& brief = answered.value()->brief;
  const std::string name = brief.name.empty() ? text_in(document, "gyle") : brief.name;
  // The brief is kept as it is written, with what it takes of the own larder: what was learned is put into it again whenever the gyle is reckoned.
  return {gyle::Started{name, files::with_own_entries(question.asked->toml),
                        answered.value()->only(number).proposals.front().recipe, brief.kit.name,
                        question.asked->lesson != nullptr},
          {}};
}

// The brief as the day now goes.
compose::Brief brief_now(const store::OpenGyle& gyle) {
  compose::Brief brief = gyle.brief;
  brief.kit.boil = gyle.state.boil_minutes * minute;
  const gyle::Changed& changed = gyle.state.changed;
  if (changed.carbonation_volumes) brief.carbonation_volumes = *changed.carbonation_volumes;
  if (changed.ferment_at_celsius) brief.ferment_at = *changed.ferment_at_celsius * celsius;
  return brief;
}

Json move_json(const gyle::Move& move, Json plain, bool us_first) {
  Json minds = Json::array();
  for (const gyle::Risk risk : move.risks) minds.push_back(present::risk_words(risk));
  return Json{{"words", present::move_words(move, us_first)}, {"minds", std::move(minds)}, {"move", std::move(plain)}};
}

}  // namespace

Reply answer_gyle_start(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  if (request.content_type != "application/json") return bare_problem(415);
  const Json document = Json::parse(request.body, nullptr, false);
  if (!document.is_object() || !document.contains("brief"))
    return bad_request("the body is not {\"gyle\": ..., \"key\": ..., \"at\": ..., \"brief\": {...}}",
                       "Send these four");
  const std::string id = text_in(document, "gyle"), key = text_in(document, "key");
  const auto at = files::instant_of(text_in(document, "at"));
  if (!store::stream_name("gyle/" + id))
    return bad_request("\"gyle\" cannot be the name of a gyle", "Use at most 120 bytes without a slash");
  if (!files::is_key(key)) return bad_request("\"key\" is no key", "Send 1 to 200 plain characters without spaces");
  if (!at) return bad_request("\"at\" is no moment", "Send it like 2026-11-25T13:18:14.123Z");
  // Sent twice, it is one beginning, whatever would be composed by now.
  bool begun = false;
  Reply known = service.shelf.read([&](const store::Store& store) {
    const auto entries = store.entries("gyle/" + id);
    if (!entries) return problems_reply(wrong, entries.problems(), Lines::hide);
    begun = !entries.value().empty() && entries.value().front().line.key == key;
    return json_reply(Json{{"gyle", id}, {"keys", Json::array({key})}, {"short_of", Json::array()}, {"written", 0}});
  });
  if (begun || known.status != 200) return known;
  Chosen chosen = chosen_of(service, document);
  if (!chosen.started) return chosen.refusal;
  const std::vector<gyle::Entry> entries{{key, *at, "", std::move(*chosen.started)}};
  return service.shelf.write([&](store::Store& store) { return write(store, id, entries); });
}

Reply answer_gyles(Service& service, const Request& request) {
  store::GyleFilter filter;
  if (const auto words = request.query.find("q"); words != request.query.end()) filter.text = words->second;
  return service.shelf.read([&](const store::Store& store) {
    const auto page = store.gyles(filter);
    if (!page) return problems_reply(wrong, page.problems(), Lines::hide);
    Json gyles = Json::array();
    for (const store::GyleLine& line : page.value().lines) {
      gyles.push_back(Json{{"gyle", line.id},
                           {"name", line.name},
                           {"stage", files::stage_word(line.stage)},
                           {"started_at", files::instant_text(line.started_at)},
                           {"changed_at", files::instant_text(line.changed_at)},
                           {"entries", line.entries}});
    }
    return json_reply(Json{{"gyles", std::move(gyles)}, {"all", page.value().all}});
  });
}

Reply answer_gyle(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  const std::string id = request.captures.at("gyle");
  std::int64_t version = 0;
  Reply refused = service.shelf.read([&](const store::Store& store) {
    const auto entries = store.entries("gyle/" + id);
    if (!entries) return problems_reply(wrong, entries.problems(), Lines::hide);
    if (entries.value().empty()) return no_gyle();
    version = version_of(service, store, id, entries.value());
    return Reply{};
  });
  if (version == 0) return refused;
  // Every device that shows this gyle asks again when one of them writes: it is reckoned once for all of them.
  return service.gyles.reply(id, version, [&] {
    return with_gyle(service, request, [](const std::string& gyle_id, const store::OpenGyle& gyle) {
      Json entries = Json::array();
      for (const gyle::Entry& entry : gyle.entries) entries.push_back(files::entry_json(entry));
      return json_reply(Json{{"gyle", gyle_id},
                             {"entries", std::move(entries)},
                             {"now", files::standing_json(gyle::standing_of(gyle.brief, gyle.state))}});
    });
  });
}

Reply answer_gyle_entries(Service& service, const Request& request) {
  Json document;
  if (auto refused = refuse_entries(request, document)) return *refused;
  std::vector<gyle::Entry> entries;
  files::Problems problems;
  for (std::size_t i = 0; i < document["entries"].size(); ++i) {
    auto entry = files::entry_from_json(document["entries"][i], files::Place{});
    if (entry) {
      entries.push_back(std::move(entry.value()));
      continue;
    }
    for (files::Problem problem : entry.problems()) {
      problem.field = fmt::format("entries[{}]{}{}", i, problem.field.empty() ? "" : ".", problem.field);
      problems.push_back(std::move(problem));
    }
  }
  if (!problems.empty()) return problems_reply(wrong, problems, Lines::hide);
  const std::string id = request.captures.at("gyle");
  return service.shelf.write([&](store::Store& store) {
    auto refusal = refuse_gyle(store, id);
    return refusal ? std::move(*refusal) : write(store, id, entries);
  });
}

Reply answer_gyle_moves(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  const auto system = request.query.find("units");
  const bool us_first = system != request.query.end() && system->second == "us";
  return with_gyle(service, request, [us_first](const std::string& id, const store::OpenGyle& gyle) {
    const auto now = std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
    const gyle::Replan replan = gyle::replan(gyle.brief, gyle.state, now);
    const Json plain = files::replan_json(replan);
    Json moves = Json::array();
    for (std::size_t m = 0; m < replan.moves.size(); ++m)
      moves.push_back(move_json(replan.moves[m], plain["moves"][m], us_first));
    return json_reply(Json{{"gyle", id}, {"moves", std::move(moves)}});
  });
}

Reply answer_gyle_sheet(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  const auto system = request.query.find("units");
  const bool us_first = system != request.query.end() && system->second == "us";
  return with_gyle(service, request, [us_first](const std::string& id, const store::OpenGyle& gyle) {
    compose::Brief brief = brief_now(gyle);
    brief.us_units_first = us_first;
    const auto lines = present::run_sheet(brief, compose::proposal_of(brief, gyle.state.went));
    return json_reply(Json{{"gyle", id},
                           {"name", gyle.state.name},
                           {"boil_minutes", gyle.state.boil_minutes},
                           {"sheet", day_json(lines)}});
  });
}

}  // namespace oddgrist::server

// A brief in, an answer or a run sheet out.
#include <chrono>
#include <optional>

#include <fmt/format.h>

#include "files/answer_json.hpp"
#include "present/run_sheet.hpp"
#include "server/brief_text.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"
#include "server/sheet_json.hpp"

namespace oddgrist::server {
namespace {

constexpr std::string_view unreadable = "brief";

// {"id": ..., "brief": {...}, ...}: the parts of a body that holds a brief and more.
struct Envelope {
  Json document;
  std::string toml;
};

// Either the envelope, or the reply that says what is wrong with it.
struct Opened {
  std::optional<Envelope> envelope;
  Reply refusal;
};

Opened open(const Request& request) {
  if (request.content_type != "application/json") return {std::nullopt, bare_problem(415)};
  Json document = Json::parse(request.body, nullptr, false);
  if (!document.is_object() || !document.contains("brief")) {
    return {std::nullopt, problem_reply(400, "bad-request", "the body is not {\"brief\": {...}, ...}",
                                        "Send the brief as docs/schema/brief.schema.json has it")};
  }
  auto toml = toml_of(document["brief"]);
  if (!toml) return {std::nullopt, problems_reply(unreadable, toml.problems(), Lines::hide)};
  return {Envelope{std::move(document), std::move(toml.value())}, {}};
}

// What happened to the batch after every step is a third of an answer, and the page draws none of it.
Json without_traces(Json answer) {
  for (Json& proposal : answer["proposals"]) proposal["trace"] = Json::array();
  return answer;
}

Json sheet_json(const compose::Brief& brief, const compose::Proposal& proposal) {
  Json lines = Json::array();
  for (const present::SheetLine& line : present::run_sheet(brief, proposal)) lines.push_back(sheet_line_json(line));
  return lines;
}

Reply no_id() {
  return problem_reply(400, "bad-request", "the open brief has no id of 8 to 64 characters",
                       "Choose one at random when the brief is opened and send it each time");
}

}  // namespace

Reply answer_compose(Service& service, const Request& request) {
  const bool written = request.content_type == "application/toml";
  if (!written && request.content_type != "application/json") return bare_problem(415);
  if (!service.solves.allow(request.peer)) return too_many();
  const auto toml = written ? files::Result<std::string>(request.body) : toml_of_json_text(request.body);
  if (!toml) return problems_reply(unreadable, toml.problems(), Lines::hide);
  const auto answered = service.briefs.answer(toml.value(), "brief");
  if (!answered) return problems_reply(unreadable, answered.problems(), written ? Lines::show : Lines::hide);
  return json_reply(files::answer_json(answered.value()->brief, answered.value()->answer));
}

Reply answer_compose_warm(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  Opened opened = open(request);
  if (!opened.envelope) return opened.refusal;
  const std::string id = open_id_of(opened.envelope->document);
  if (id.empty()) return no_id();
  const auto began = std::chrono::steady_clock::now();
  const Json& asked = opened.envelope->document;
  const bool settle = asked.contains("settle") && asked["settle"] == true;
  const auto answered = service.briefs.answer_open(id, opened.envelope->toml, settle);
  if (!answered) return problems_reply(unreadable, answered.problems(), Lines::hide);
  Json answer = without_traces(files::answer_json(answered.value()->brief, answered.value()->answer));
  const double took_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - began).count();
  return json_reply(Json{{"id", id},
                         {"took_ms", std::round(10.0 * took_ms) / 10.0},
                         {"settled", answered.value()->settled},
                         {"answer", std::move(answer)}});
}

Reply answer_compose_others(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  const Opened opened = open(request);
  if (!opened.envelope) return opened.refusal;
  const std::string id = open_id_of(opened.envelope->document);
  if (id.empty()) return no_id();
  const auto answered = service.briefs.answer_beside(id, opened.envelope->toml);
  if (!answered) return problems_reply(unreadable, answered.problems(), Lines::hide);
  const Answered& found = *answered.value();
  files::AnswerExtras extras;
  if (found.beside != nullptr) {
    extras.alternatives = &found.beside->alternatives;
    extras.reasons = &found.beside->reasons;
  }
  return json_reply(without_traces(files::answer_json(found.brief, found.answer, extras)));
}

Reply answer_sheet(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  Opened opened = open(request);
  if (!opened.envelope) return opened.refusal;
  const Json& document = opened.envelope->document;
  const bool numbered = document.contains("proposal");
  if (numbered && !document["proposal"].is_number_unsigned())
    return problem_reply(400, "bad-request", "\"proposal\" is no whole number", "Count the proposals from 1");
  const std::size_t number = numbered ? document["proposal"].get<std::size_t>() : 1;
  // An open brief has been answered already.
  const auto answered = service.briefs.answer_numbered(open_id_of(document), opened.envelope->toml);
  if (!answered) return problems_reply(unreadable, answered.problems(), Lines::hide);
  const compose::Brief& brief = answered.value()->brief;
  const compose::Answer& answer = answered.value()->answer;
  if (answer.outcome == compose::Outcome::refused || answer.proposals.empty())
    return json_reply(files::answer_json(brief, answer));
  if (number < 1 || number > answered.value()->ways()) {
    return problem_reply(422, "no-such-proposal", fmt::format("there are {} proposals", answered.value()->ways()),
                         "Count them from 1; other ways are there once they were asked for, until the brief changes");
  }
  const compose::Answer chosen = answered.value()->only(number);
  Json reply = without_traces(files::answer_json(brief, chosen));
  reply["sheet"] = sheet_json(brief, chosen.proposals.front());
  return json_reply(reply);
}

Reply answer_brief_text(Service&, const Request& request) {
  if (request.content_type != "application/json") return bare_problem(415);
  auto toml = toml_of_json_text(request.body);
  if (!toml) return problems_reply(unreadable, toml.problems(), Lines::hide);
  return Reply{200, "application/toml", std::move(toml.value()), {}};
}

}  // namespace oddgrist::server

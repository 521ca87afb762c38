// A brief in, an answer or a run sheet out.
#include <chrono>
#include <optional>

#include <fmt/format.h>

#include "files/answer_json.hpp"
#include "files/kit_json.hpp"
#include "present/run_sheet.hpp"
#include "server/asked.hpp"
#include "server/brief_text.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"
#include "server/sheet_json.hpp"

namespace oddgrist::server {
namespace {

constexpr std::string_view unreadable = "brief";

// The body of a request that holds a brief and more, or the reply that says what is wrong with it.
struct Opened {
  Json document;
  BriefQuestion question;
};

Opened open(Service& service, const Request& request) {
  if (request.content_type != "application/json") return {{}, {std::nullopt, 1, bare_problem(415)}};
  Json document = Json::parse(request.body, nullptr, false);
  if (!document.is_object() || !document.contains("brief")) {
    return {{},
            {std::nullopt, 1,
             bad_request("the body is not {\"brief\": {...}, ...}",
                         "Send the brief as docs/schema/brief.schema.json has it")}};
  }
  BriefQuestion question = question_in(service, document);
  return {std::move(document), std::move(question)};
}

// "learned": what of the kit was reckoned with.
void add_learned(const Answered& answered, Json& answer) {
  if (answered.lesson == nullptr || answered.answer.outcome == compose::Outcome::refused) return;
  answer["learned"] = files::learned_json(taught_figures(*answered.lesson, answered.stated));
}

// The page draws no traces, and each takes a forecast to make.
files::AnswerExtras untraced() {
  files::AnswerExtras extras;
  extras.traces = false;
  return extras;
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
  auto toml = written ? files::Result<std::string>(request.body) : toml_of_json_text(request.body);
  if (!toml) return problems_reply(unreadable, toml.problems(), Lines::hide);
  const auto said = request.query.find("learned");
  const bool learned = said != request.query.end() && said->second == "yes";
  if (said != request.query.end() && !learned)
    return bad_request("\"learned\" is not yes", "Leave it out for the kit as it is stated");
  const BriefQuestion question = question_about(service, std::move(toml.value()), learned);
  if (!question.asked) return question.refusal;
  const auto answered = service.briefs.answer(*question.asked, "brief");
  if (!answered) return problems_reply(unreadable, answered.problems(), written ? Lines::show : Lines::hide);
  Json answer = files::answer_json(answered.value()->brief, answered.value()->answer);
  add_learned(*answered.value(), answer);
  return json_reply(answer);
}

Reply answer_compose_warm(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  const Opened opened = open(service, request);
  if (!opened.question.asked) return opened.question.refusal;
  const Asked& asked = *opened.question.asked;
  if (asked.id.empty()) return no_id();
  const auto began = std::chrono::steady_clock::now();
  const bool settle = opened.document.contains("settle") && opened.document["settle"] == true;
  const auto answered = service.briefs.answer_open(asked, settle);
  if (!answered) return problems_reply(unreadable, answered.problems(), Lines::hide);
  Json answer = files::answer_json(answered.value()->brief, answered.value()->answer, untraced());
  if (answered.value()->settled) add_learned(*answered.value(), answer);
  const double took_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - began).count();
  return json_reply(Json{{"id", asked.id},
                         {"took_ms", std::round(10.0 * took_ms) / 10.0},
                         {"settled", answered.value()->settled},
                         {"answer", std::move(answer)}});
}

Reply answer_compose_others(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  const Opened opened = open(service, request);
  if (!opened.question.asked) return opened.question.refusal;
  if (opened.question.asked->id.empty()) return no_id();
  const auto answered = service.briefs.answer_beside(*opened.question.asked);
  if (!answered) return problems_reply(unreadable, answered.problems(), Lines::hide);
  const Answered& found = *answered.value();
  files::AnswerExtras extras = untraced();
  if (found.beside != nullptr) {
    extras.alternatives = &found.beside->alternatives;
    extras.reasons = &found.beside->reasons;
  }
  Json answer = files::answer_json(found.brief, found.answer, extras);
  add_learned(found, answer);
  return json_reply(answer);
}

Reply answer_sheet(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  const Opened opened = open(service, request);
  if (!opened.question.asked) return opened.question.refusal;
  const std::size_t number = opened.question.proposal;
  // An open brief has been answered already.
  const auto answered = service.briefs.answer_numbered(*opened.question.asked);
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
  Json reply = files::answer_json(brief, chosen, untraced());
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

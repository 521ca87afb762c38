// Readings held against the forecast of a brief.
#include <optional>

#include <fmt/format.h>

#include "files/readings_file.hpp"
#include "files/watch_json.hpp"
#include "gyle/local_time.hpp"
#include "present/watch.hpp"
#include "server/asked.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"

namespace oddgrist::server {
namespace {

// What is asked beside the brief and the readings, or the reply that says what is wrong with it.
struct Question {
  gyle::Instant now;
  gyle::WatchFacts facts;
  std::optional<Reply> refusal;
};

Question question_of(const Json& document) {
  Question question;
  question.now = gyle::local_now();
  if (document.contains("now")) {
    const auto now = document["now"].is_string() ? gyle::parse_local_time(document["now"].get<std::string>())
                                                 : std::optional<gyle::Instant>();
    if (!now) question.refusal = bad_request("\"now\" is no time", "Send such as \"2026-11-25T18:30\"");
    question.now = now.value_or(question.now);
  }
  question.facts.warmest_c = 30.0;
  if (document.contains("warmest_c")) {
    const double warmest_c = document["warmest_c"].is_number() ? document["warmest_c"].get<double>() : -1.0;
    if (!(warmest_c >= 0.0 && warmest_c <= 40.0)) {
      question.refusal = bad_request("\"warmest_c\" cannot be used", "Send a temperature from 0 to 40 degrees C");
    } else {
      question.facts.warmest_c = warmest_c;
    }
  }
  question.facts.container = science::Container::one_way_glass;
  if (document.contains("container")) {
    const auto container = document["container"].is_string()
                               ? files::container_named(document["container"].get<std::string>())
                               : std::optional<science::Container>();
    if (!container)
      question.refusal = bad_request("\"container\" is none that is known", "Leave it out, or see the list");
    question.facts.container = container.value_or(question.facts.container);
  }
  return question;
}

}  // namespace

Reply answer_watch(Service& service, const Request& request) {
  if (request.content_type != "application/json") return bare_problem(415);
  if (!service.solves.allow(request.peer)) return too_many();
  const Json document = Json::parse(request.body, nullptr, false);
  if (!document.is_object() || !document.contains("brief") || !document.contains("readings") ||
      !document["readings"].is_string()) {
    return bad_request("the body is not {\"brief\": {...}, \"readings\": \"...\"}",
                       "Send the brief, and the readings as a table with commas");
  }
  Question question = question_of(document);
  if (question.refusal) return *question.refusal;
  const BriefQuestion about = question_in(service, document);
  if (!about.asked) return about.refusal;
  const auto read = files::read_readings_text(document["readings"].get<std::string>(), "readings");
  if (!read) return problems_reply("readings", read.problems(), Lines::show);
  const auto answered = service.briefs.answer_numbered(*about.asked);
  if (!answered) return problems_reply("brief", answered.problems(), Lines::hide);
  if (about.proposal < 1 || about.proposal > answered.value()->ways()) {
    return problem_reply(422, "no-such-proposal", fmt::format("there are {} proposals", answered.value()->ways()),
                         "Count them from 1; a refused brief has none to watch");
  }
  question.facts.pitched = read.value().pitched;
  question.facts.dosed = read.value().dosed;
  const compose::Brief& brief = answered.value()->brief;
  const compose::Answer chosen = answered.value()->only(about.proposal);
  const compose::Proposal& proposal = chosen.proposals.front();
  const auto& readings = read.value().readings;
  const gyle::Watch watch = gyle::watch_of(brief, proposal, readings, question.now, question.facts);
  return json_reply(files::watch_json(brief, proposal, readings, watch, present::question_words));
}

}  // namespace oddgrist::server

#include "server/asked.hpp"

#include <utility>

#include "files/brief_file.hpp"
#include "server/brief_text.hpp"
#include "server/problem_details.hpp"

namespace oddgrist::server {
namespace {

// Puts what the gyles on that kit taught into the question.
void teach(Service& service, const std::string& kit, BriefQuestion& question) {
  Reply looked = service.shelf.read([&](const store::Store& store) {
    auto lesson = service.lessons.of(store, kit);
    if (!lesson) return problems_reply("kit", lesson.problems(), Lines::hide);
    question.asked->lesson = std::move(lesson.value());
    return Reply{};
  });
  if (question.asked->lesson != nullptr) return;
  question.asked.reset();
  question.refusal = std::move(looked);
}

std::string kit_named_in(const Json& brief) {
  if (!brief.is_object() || !brief.contains("kit") || !brief["kit"].is_object()) return process::Kit{}.name;
  const Json& kit = brief["kit"];
  return kit.contains("name") && kit["name"].is_string() ? kit["name"].get<std::string>() : process::Kit{}.name;
}

}  // namespace

BriefQuestion question_in(Service& service, const Json& body) {
  BriefQuestion question;
  auto toml = toml_of(body["brief"]);
  if (!toml) {
    question.refusal = problems_reply("brief", toml.problems(), Lines::hide);
    return question;
  }
  const auto proposal = proposal_in(body);
  if (!proposal) {
    question.refusal = bad_request("\"proposal\" is no whole number", "Count the proposals from 1");
    return question;
  }
  question.proposal = *proposal;
  const bool said = body.contains("learned");
  if (said && !body["learned"].is_boolean()) {
    question.refusal = bad_request("\"learned\" is not true or false", "Leave it out for the kit as it is stated");
    return question;
  }
  question.asked = Asked{open_id_of(body), std::move(toml.value()), nullptr};
  if (said && body["learned"] == true) teach(service, kit_named_in(body["brief"]), question);
  return question;
}

BriefQuestion question_about(Service& service, std::string toml, bool learned) {
  BriefQuestion question;
  question.asked = Asked{{}, std::move(toml), nullptr};
  if (!learned) return question;
  const auto brief = files::read_brief_text(question.asked->toml, "brief");
  // What is wrong with it will be said by whoever answers it.
  if (brief) teach(service, brief.value().kit.name, question);
  return question;
}

}  // namespace oddgrist::server

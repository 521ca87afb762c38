#include "server/problem_details.hpp"

#include <fmt/format.h>

namespace oddgrist::server {
namespace {

struct Title {
  int status;
  std::string_view kind;
  std::string_view title;
  std::string_view what;
  std::string_view remedy;
};

constexpr Title titles[] = {
    {400, "bad-request", "Not understood", "the request is not one this program can read",
     "Send it as docs/openapi.json says"},
    {401, "not-paired", "Not paired", "this device is not paired", "Type the code that stands on the terminal"},
    {403, "refused", "Refused", "the request comes from another site", "Open the page itself and use it there"},
    {404, "not-found", "Not found", "there is nothing at this address", "Start again at the first page"},
    {405, "wrong-method", "Wrong method", "this address does not take that method", "See docs/openapi.json"},
    {411, "length-missing", "Length missing", "the length of the body is not stated", "Send Content-Length"},
    {413, "too-large", "Too large", "the body is larger than this program reads", "Send less"},
    {414, "too-long", "Address too long", "the address is too long", "Shorten it"},
    {415, "wrong-type", "Wrong type", "the body is of a type this address does not read", "See docs/openapi.json"},
    {416, "no-parts", "No parts", "this program sends things whole, never a part", "Leave out the Range header"},
    {417, "no-expectations", "No expectations", "this program keeps no Expect header", "Send the body at once"},
    {421, "wrong-host", "Wrong host", "the address in the request is not this program's",
     "Use an address the terminal shows"},
    {422, "wrong-content", "Wrong content", "the body says something wrong", "See the problems listed"},
    {429, "too-many", "Too many requests", "too many requests in a short time", "Wait a second and try again"},
    {431, "head-too-large", "Headers too large", "the headers are longer or more than this program reads",
     "Send fewer or shorter ones; old cookies of other programs at this address may be to blame"},
    {500, "fault", "Fault", "a fault of the program, not of your request", "Try again; if it comes back, report it"},
    {503, "busy", "Busy", "the program has no room for this now", "Try again in a few seconds"},
    {500, "damaged", "Damaged", "what is kept is damaged", "Restore the last backup"},
    {500, "cannot-open", "Cannot open", "what is kept cannot be opened", "Look at the terminal of the program"},
    {500, "cannot-write", "Cannot write", "nothing can be written", "Look at the terminal of the program"},
    {507, "full", "Disk full", "the disk is full", "Make room and try again"},
};

// The one of this kind, else the first of this status.
const Title& title_for(int status, std::string_view kind = {}) {
  for (const Title& title : titles) {
    if (title.status == status && title.kind == kind) return title;
  }
  for (const Title& title : titles) {
    if (title.status == status) return title;
  }
  return title_for(status >= 500 ? 500 : 400);
}

Reply reply_of(int status, std::string_view kind, std::string_view detail, Json problems) {
  const Json document{{"type", fmt::format("/problems/{}", kind)},
                      {"title", title_for(status, kind).title},
                      {"status", status},
                      {"detail", detail},
                      {"problems", std::move(problems)}};
  return Reply{status, "application/problem+json", files::json_text(document), {}};
}

}  // namespace

Reply json_reply(const Json& json) {
  // Without indent: a third shorter, and a machine reads it. Text that is no UTF-8 is mended, never thrown over.
  return Reply{200, "application/json", json.dump(-1, ' ', false, Json::error_handler_t::replace), {}};
}

Reply problem_reply(int status, std::string_view kind, std::string_view what, std::string_view remedy) {
  return reply_of(status, kind, what, Json::array({Json{{"what", what}, {"remedy", remedy}}}));
}

Reply problems_reply(std::string_view own_kind, const files::Problems& problems, Lines lines) {
  Json list = Json::array();
  for (const files::Problem& problem : problems) {
    Json entry = Json::object();
    if (lines == Lines::show && problem.place.line > 0) {
      entry["line"] = problem.place.line;
      entry["column"] = problem.place.column;
    }
    if (!problem.field.empty()) entry["field"] = problem.field;
    entry["what"] = problem.what;
    entry["remedy"] = problem.remedy;
    list.push_back(std::move(entry));
  }
  const std::string detail =
      problems.size() == 1 ? problems.front().what : fmt::format("{} things are wrong", problems.size());
  const files::Trouble trouble = files::trouble_of(problems);
  const files::Fault& fault = files::fault_of(trouble);
  Reply reply = reply_of(fault.http_status, trouble == files::Trouble::bad_content ? own_kind : fault.word, detail,
                         std::move(list));
  if (fault.retry_after_s > 0) reply.headers.emplace_back("Retry-After", std::to_string(fault.retry_after_s));
  return reply;
}

Reply bare_problem(int status) {
  const Title& title = title_for(status);
  return problem_reply(status, title.kind, title.what, title.remedy);
}

Reply bad_request(std::string_view what, std::string_view remedy) {
  return problem_reply(400, "bad-request", what, remedy);
}

std::optional<Reply> refuse_entries(const Request& request, files::Json& document) {
  constexpr std::size_t most_at_once = 200;
  if (request.content_type != "application/json") return bare_problem(415);
  document = files::Json::parse(request.body, nullptr, false);
  const bool sound = document.is_object() && document.contains("entries") && document["entries"].is_array() &&
                     !document["entries"].empty() && document["entries"].size() <= most_at_once;
  if (sound) return std::nullopt;
  return bad_request("the body is not {\"entries\": [...]} with 1 to 200 of them",
                     "Send entries as docs/schema/entry.schema.json has them");
}

Reply too_many() {
  Reply reply = bare_problem(429);
  reply.headers.emplace_back("Retry-After", "1");
  return reply;
}

}  // namespace oddgrist::server

#include <fmt/format.h>

#include "server/problem_details.hpp"
#include "server/routes.hpp"

namespace oddgrist::server {
namespace {

Reply of(const Service& service, const Pairing& pairing) {
  if (pairing.outcome == Pairing::Outcome::wait) {
    Reply reply = problem_reply(429, "too-many", "too many codes have been tried, so this one was not looked at",
                                "Point the device's camera at the terminal, or wait two minutes");
    reply.headers.emplace_back("Retry-After", "120");
    return reply;
  }
  if (pairing.outcome == Pairing::Outcome::wrong) {
    return problem_reply(403, "wrong-code", "this is not what the terminal shows now",
                         "Read it again: after each device that was paired it shows another");
  }
  // No script can read it, no other site can make the browser send it; a year.
  Reply reply = json_reply(Json{{"paired", true}, {"kept", !pairing.not_kept.has_value()}});
  reply.headers.emplace_back("Set-Cookie",
                             fmt::format("oddgrist_device={}; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000{}",
                                         pairing.token, service.secure ? "; Secure" : ""));
  return reply;
}

}  // namespace

Reply answer_pair(Service& service, const Request& request) {
  if (request.content_type != "application/json") return bare_problem(415);
  const Json body = Json::parse(request.body, nullptr, false);
  const auto is_text = [&](const char* key) { return body.contains(key) && body[key].is_string(); };
  if (!body.is_object() || is_text("code") == is_text("link") || (body.contains("name") && !is_text("name"))) {
    return bad_request("the body is not {\"code\": \"...\", \"name\": \"...\"}, or the same with \"link\"",
                       "Send the code that stands on the terminal, or what its link carries");
  }
  const std::string name = body.value("name", std::string("device"));
  if (is_text("link")) return of(service, service.devices.pair_by_link(body["link"].get<std::string>(), name));
  return of(service, service.devices.pair(body["code"].get<std::string>(), name, request.peer));
}

Reply answer_devices(Service& service, const Request& request) {
  const std::string own = service.devices.id_of(request.token);
  Json list = Json::array();
  for (const Device& device : service.devices.list())
    list.push_back(Json{{"id", device.id},
                        {"name", device.name},
                        {"paired", device.paired},
                        {"seen", device.seen},
                        {"this", device.id == own}});
  return json_reply(Json{{"devices", std::move(list)}});
}

Reply answer_shut_out(Service& service, const Request& request) {
  if (request.content_type != "application/json") return bare_problem(415);
  std::optional<files::Problem> not_kept;
  if (!service.devices.shut_out(request.captures.at("device"), not_kept)) return bare_problem(404);
  service.changes.publish("devices", "");  // and whoever is shut out hears no more
  return json_reply(Json{{"shut_out", true}, {"kept", !not_kept.has_value()}});
}

}  // namespace oddgrist::server

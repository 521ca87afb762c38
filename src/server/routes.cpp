#include "server/routes.hpp"

#include <optional>

#include "server/embedded.hpp"
#include "server/problem_details.hpp"

namespace oddgrist::server {
namespace {

constexpr Route all_routes[] = {
    {"GET", "/api/health", Access::anyone, answer_health, true},
    {"POST", "/api/pair", Access::anyone, answer_pair},
    {"GET", "/api/devices", Access::paired, answer_devices},
    {"POST", "/api/devices/{device}/shut-out", Access::paired, answer_shut_out},
    {"GET", "/api/openapi.json", Access::paired, answer_openapi},
    {"GET", "/api/schema/{name}", Access::paired, answer_schema},
    {"GET", "/api/changes", Access::paired, nullptr},
    {"POST", "/api/compose", Access::paired, answer_compose},
    {"POST", "/api/compose/warm", Access::paired, answer_compose_warm},
    {"POST", "/api/compose/others", Access::paired, answer_compose_others},
    {"POST", "/api/sheet", Access::paired, answer_sheet},
    {"POST", "/api/watch", Access::paired, answer_watch},
    {"POST", "/api/brief/text", Access::paired, answer_brief_text},
    {"GET", "/api/larder", Access::paired, answer_larder},
    {"GET", "/api/larder/{ingredient}", Access::paired, answer_ingredient},
    {"POST", "/api/packet", Access::paired, answer_packet},
    {"GET", "/api/store", Access::paired, answer_store},
    {"GET", "/api/stock", Access::paired, answer_stock},
    {"GET", "/api/stock/entries", Access::paired, answer_stock_log},
    {"POST", "/api/stock/entries", Access::paired, answer_stock_entries},
    {"GET", "/api/kits", Access::paired, answer_kits},
    {"GET", "/api/kits/{kit}", Access::paired, answer_kit},
    {"POST", "/api/gas", Access::paired, answer_gas},
    {"POST", "/api/trial", Access::paired, answer_trial},
    {"POST", "/api/round/{what}", Access::paired, answer_round},
    {"GET", "/api/rounds", Access::paired, answer_rounds},
    {"GET", "/api/rounds/{round}", Access::paired, answer_kept_round},
    {"POST", "/api/rounds/{round}/entries", Access::paired, answer_round_entries},
    {"GET", "/api/gyles", Access::paired, answer_gyles},
    {"POST", "/api/gyles", Access::paired, answer_gyle_start},
    {"GET", "/api/gyles/{gyle}", Access::paired, answer_gyle},
    {"POST", "/api/gyles/{gyle}/entries", Access::paired, answer_gyle_entries},
    {"GET", "/api/gyles/{gyle}/moves", Access::paired, answer_gyle_moves},
    {"GET", "/api/gyles/{gyle}/sheet", Access::paired, answer_gyle_sheet},
};

std::string_view first_part(std::string_view& path) {
  const auto slash = path.find('/', 1);
  const std::string_view part = path.substr(0, slash);
  path = slash == std::string_view::npos ? std::string_view() : path.substr(slash);
  return part;
}

// The captures, or nothing if the path is another one.
std::optional<std::map<std::string, std::string>> captures_of(std::string_view pattern, std::string_view path) {
  std::map<std::string, std::string> captures;
  while (!pattern.empty() && !path.empty()) {
    const std::string_view wanted = first_part(pattern);
    const std::string_view got = first_part(path);
    if (wanted.starts_with("/{")) {
      if (got.size() < 2) return std::nullopt;
      captures.emplace(wanted.substr(2, wanted.size() - 3), got.substr(1));
    } else if (wanted != got) {
      return std::nullopt;
    }
  }
  if (!pattern.empty() || !path.empty()) return std::nullopt;
  return captures;
}

Reply embedded_reply(const std::string& path) {
  for (const EmbeddedFile& file : embedded_files()) {
    if (file.path == path) return Reply{200, "application/json", {}, {}, file.text};
  }
  return bare_problem(404);
}

}  // namespace

std::span<const Route> routes() { return all_routes; }

Found find_route(Request& request, bool paired) {
  bool other_method = false;
  for (const Route& route : all_routes) {
    auto captures = captures_of(route.path, request.path);
    if (!captures) continue;
    const bool head = request.method == "HEAD" && route.method == "GET";
    if (route.method != request.method && !head) {
      other_method = true;
      continue;
    }
    if (route.access == Access::paired && !paired) return {nullptr, 401};
    request.captures = std::move(*captures);
    return {&route, 200};
  }
  return {nullptr, other_method ? 405 : 404};
}

Reply answer_health(Service&, const Request&) {
  return json_reply(Json{{"status", "well"}, {"program", "oddgrist"}, {"version", "0.1.0"}});
}

Reply answer_openapi(Service&, const Request&) { return embedded_reply("docs/openapi.json"); }

Reply answer_schema(Service&, const Request& request) {
  return embedded_reply("docs/schema/" + request.captures.at("name"));
}

}  // namespace oddgrist::server

// Every address of the API, in one table. docs/openapi.json describes the same list; a test holds the two against each other.
#pragma once

#include <span>
#include <string_view>

#include "server/exchange.hpp"
#include "server/service.hpp"

namespace oddgrist::server {

// Who may call: everybody the server answers at all, or only a paired device (every peer counts as paired where no pairing is asked).
enum class Access { anyone, paired };

struct Route {
  std::string_view method;
  std::string_view path;  // as OpenAPI writes it: "/api/schema/{name}"
  Access access;
  Reply (*answer)(Service&, const Request&);  // null: /api/changes, which the server streams itself
  bool at_once = false;  // takes no time and no lock: answered before anything that waits for a worker
};

[[nodiscard]] std::span<const Route> routes();

// The route that fits, its captures filled in; or why there is none: 404, 405, 401 (`paired`: the peer needs no (more) pairing).
struct Found {
  const Route* route = nullptr;
  int status = 200;
};
[[nodiscard]] Found find_route(Request& request, bool paired);

// One function a subject; each in the file of its name.
Reply answer_health(Service& service, const Request& request);
Reply answer_openapi(Service& service, const Request& request);
Reply answer_schema(Service& service, const Request& request);
Reply answer_pair(Service& service, const Request& request);            // device_routes.cpp
Reply answer_devices(Service& service, const Request& request);         // device_routes.cpp
Reply answer_shut_out(Service& service, const Request& request);        // device_routes.cpp
Reply answer_compose(Service& service, const Request& request);         // compose_routes.cpp
Reply answer_compose_warm(Service& service, const Request& request);    // compose_routes.cpp
Reply answer_compose_others(Service& service, const Request& request);  // compose_routes.cpp
Reply answer_sheet(Service& service, const Request& request);           // compose_routes.cpp
Reply answer_watch(Service& service, const Request& request);           // watch_routes.cpp
Reply answer_brief_text(Service& service, const Request& request);      // compose_routes.cpp
Reply answer_larder(Service& service, const Request& request);          // larder_routes.cpp
Reply answer_packet(Service& service, const Request& request);          // larder_routes.cpp

Reply answer_ingredient(Service& service, const Request& request);     // larder_routes.cpp
Reply answer_store(Service& service, const Request& request);          // store_routes.cpp
Reply answer_stock(Service& service, const Request& request);          // stock_routes.cpp
Reply answer_stock_log(Service& service, const Request& request);      // stock_routes.cpp
Reply answer_stock_entries(Service& service, const Request& request);  // stock_routes.cpp
Reply answer_kits(Service& service, const Request& request);           // kit_routes.cpp
Reply answer_kit(Service& service, const Request& request);            // kit_routes.cpp
Reply answer_gas(Service& service, const Request& request);            // gas_routes.cpp
Reply answer_trial(Service& service, const Request& request);          // trial_routes.cpp
Reply answer_round(Service& service, const Request& request);          // round_routes.cpp
Reply answer_rounds(Service& service, const Request& request);         // kept_round_routes.cpp
Reply answer_kept_round(Service& service, const Request& request);     // kept_round_routes.cpp
Reply answer_round_entries(Service& service, const Request& request);  // kept_round_routes.cpp

Reply answer_gyle_start(Service& service, const Request& request);    // gyle_routes.cpp
Reply answer_gyles(Service& service, const Request& request);         // gyle_routes.cpp
Reply answer_gyle(Service& service, const Request& request);          // gyle_routes.cpp
Reply answer_gyle_entries(Service& service, const Request& request);  // gyle_routes.cpp
Reply answer_gyle_moves(Service& service, const Request& request);    // gyle_routes.cpp
Reply answer_gyle_sheet(Service& service, const Request& request);    // gyle_routes.cpp

}  // namespace oddgrist::server

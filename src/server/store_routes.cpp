// How the store fares, without opening it: asked by the page when it opens, so that every screen can say it.
#include "server/problem_details.hpp"
#include "server/routes.hpp"

namespace oddgrist::server {

Reply answer_store(Service& service, const Request&) {
  const auto damage = service.shelf.damage();
  Json json{{"kept", service.shelf.keeps()}, {"read_only", damage.has_value()}};
  if (damage) json["damage"] = *damage;
  return json_reply(json);
}

}  // namespace oddgrist::server

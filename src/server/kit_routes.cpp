// The kits that gyles were brewed with or that were stated, and what the gyles say of each: the same that kit --json prints.
#include <optional>

#include "files/kit_json.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"
#include "store/known_kit.hpp"

namespace oddgrist::server {
namespace {

constexpr std::string_view wrong = "kit";

Json known_json(const std::string& name, const store::KnownKit& kit) {
  Json strange = Json::array();
  for (const int number : kit.knowledge.strange) strange.push_back(kit.told[static_cast<std::size_t>(number) - 1]);
  return Json{{"kit", name},
              {"gyles", kit.gyles},
              {"told_by", kit.told},
              {"did_not_fit", std::move(strange)},
              {"left_out", kit.left_out},
              {"figures", files::learned_json(gyle::figures_of(kit.knowledge))},
              {"read_next", files::useful_json(kit.useful)}};
}

}  // namespace

Reply answer_kits(Service& service, const Request&) {
  return service.shelf.read([](const store::Store& store) {
    const auto kits = store::kits_in_use(store);
    if (!kits) return problems_reply(wrong, kits.problems(), Lines::hide);
    Json list = Json::array();
    for (const store::KitUse& kit : kits.value()) list.push_back(Json{{"kit", kit.name}, {"gyles", kit.gyles}});
    return json_reply(Json{{"kits", std::move(list)}});
  });
}

Reply answer_kit(Service& service, const Request& request) {
  if (!service.solves.allow(request.peer)) return too_many();
  const std::string& name = request.captures.at("kit");
  return service.shelf.read([&](const store::Store& store) {
    const auto kits = store::kits_in_use(store);
    if (!kits) return problems_reply(wrong, kits.problems(), Lines::hide);
    bool known = false;
    for (const store::KitUse& kit : kits.value()) known = known || kit.name == name;
    if (!known) return problem_reply(404, "not-found", "there is no such kit", "Open one from the list");
    const auto lesson = service.lessons.of(store, name);
    if (!lesson) return problems_reply(wrong, lesson.problems(), Lines::hide);
    return json_reply(known_json(name, lesson.value()->kit));
  });
}

}  // namespace oddgrist::server

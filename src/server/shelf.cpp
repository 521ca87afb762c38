#include "server/shelf.hpp"

#include "server/problem_details.hpp"

namespace oddgrist::server {

Reply Shelf::with(const std::function<Reply(store::Store&)>& answer) {
  if (path_.empty()) return problem_reply(503, "no-store", "this server keeps nothing", "Start it with --store FILE");
  const std::lock_guard one_at_a_time(mutex_);
  if (!store_) {
    auto opened = store::Store::open(path_, store::Mode::create);
    if (!opened) {
      const files::Problem& first = opened.problems().front();
      return problem_reply(503, "no-store", "the store cannot be opened: " + first.what, first.remedy);
    }
    store_.emplace(std::move(opened.value()));
  }
  return answer(*store_);
}

}  // namespace oddgrist::server

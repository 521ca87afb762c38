#include "server/once_made.hpp"

#include <algorithm>
#include <exception>

namespace oddgrist::server {

Reply OnceMade::reply(const std::string& name, std::int64_t version, const std::function<Reply()>& make) {
  std::promise<Reply> made;
  std::shared_future<Reply> reply;
  {
    const std::lock_guard lock(mutex_);
    const auto known = std::find_if(kept_.begin(), kept_.end(), [&](const Kept& kept) { return kept.name == name; });
    if (known != kept_.end() && known->version == version) {
      kept_.splice(kept_.begin(), kept_, known);
      reply = known->reply;
    } else {
      if (known != kept_.end()) kept_.erase(known);
      kept_.push_front({name, version, made.get_future().share()});
      if (kept_.size() > most_kept_) kept_.pop_back();
    }
  }
  if (reply.valid()) return reply.get();
  try {
    Reply fresh = make();
    made.set_value(fresh);
    if (fresh.status != 200) forget(name, version);
    return fresh;
  } catch (...) {
    made.set_exception(std::current_exception());
    forget(name, version);
    throw;
  }
}

void OnceMade::forget(const std::string& name, std::int64_t version) {
  const std::lock_guard lock(mutex_);
  kept_.remove_if([&](const Kept& kept) { return kept.name == name && kept.version == version; });
}

}  // namespace oddgrist::server

#include "server/changes.hpp"

#include <fmt/format.h>

#include "files/answer_json.hpp"

namespace oddgrist::server {

void Changes::publish(const std::string& topic, const std::string& subject) {
  {
    const std::lock_guard lock(mutex_);
    kept_.push_back({++latest_, topic, subject});
    if (kept_.size() > most_kept) kept_.pop_front();
  }
  if (on_change_) on_change_();
}

bool Changes::arrive() {
  const std::lock_guard lock(mutex_);
  if (listeners_ >= most_listeners_) return false;
  ++listeners_;
  return true;
}

void Changes::leave() {
  const std::lock_guard lock(mutex_);
  --listeners_;
}

std::uint64_t Changes::latest() {
  const std::lock_guard lock(mutex_);
  return latest_;
}

std::string Changes::since(std::uint64_t& seen) {
  const std::lock_guard lock(mutex_);
  if (latest_ <= seen) return {};
  std::string text;
  if (!kept_.empty() && kept_.front().number > seen + 1) text = "event: all\ndata: {}\n\n";
  for (const Change& change : kept_) {
    if (change.number <= seen) continue;
    const files::Json data{{"topic", change.topic}, {"subject", change.subject}};
    text += fmt::format("id: {}\nevent: change\ndata: {}\n\n", change.number,
                        data.dump(-1, ' ', true, files::Json::error_handler_t::replace));
  }
  seen = latest_;
  return text;
}

}  // namespace oddgrist::server

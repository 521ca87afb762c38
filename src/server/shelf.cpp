#include "server/shelf.hpp"

#include <set>

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
    if (const auto last = store_->last_id()) told_ = last.value();
  }
  Reply reply = answer(*store_);
  tell();
  return reply;
}

void Shelf::look() {
  const std::lock_guard one_at_a_time(mutex_);
  if (store_) tell();
}

void Shelf::tell() {
  const auto last = store_->last_id();
  if (!last || last.value() == told_) return;
  std::set<std::string> streams;
  for (;;) {
    const auto written = store_->changes_since(told_);
    if (!written || written.value().empty()) break;
    for (const store::Logged& entry : written.value()) streams.insert(entry.line.stream);
    told_ = written.value().back().id;
  }
  for (const std::string& stream : streams) {
    const std::size_t slash = stream.find('/');
    changes_.publish(stream.substr(0, slash), slash == std::string::npos ? "" : stream.substr(slash + 1));
  }
}

}  // namespace oddgrist::server

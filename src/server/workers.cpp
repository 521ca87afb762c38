#include "server/workers.hpp"

#include <system_error>
#include <utility>

namespace oddgrist::server {

// With the mutex held.
void Workers::start_if_needed() {
  if (jobs_.size() <= idle_ || threads_.size() - aside_ >= most_at_work_) return;
  const auto self = threads_.emplace(threads_.end());
  try {
    *self = std::thread([this, self] { work(self); });
  } catch (const std::system_error&) {
    // The system grants no more threads. Those there are will come to it; without a single one nobody would.
    threads_.erase(self);
    if (threads_.empty()) throw;
  }
}

void Workers::join_finished(std::unique_lock<std::mutex>& lock) {
  std::list<std::thread> finished = std::move(finished_);
  finished_.clear();
  lock.unlock();
  for (std::thread& thread : finished) thread.join();
  lock.lock();
}

void Workers::add(Job job) {
  std::unique_lock lock(mutex_);
  if (!finished_.empty()) join_finished(lock);
  jobs_.push_back(std::move(job));
  start_if_needed();
  added_.notify_one();
}

void Workers::work(std::list<std::thread>::iterator self) {
  std::unique_lock lock(mutex_);
  // One too many since a listener stepped back: this one goes.
  while (threads_.size() - aside_ <= most_at_work_) {
    ++idle_;
    added_.wait(lock, [this] { return ended_ || !jobs_.empty(); });
    --idle_;
    if (jobs_.empty()) break;
    Job job = std::move(jobs_.front());
    jobs_.pop_front();
    lock.unlock();
    job();
    job = nullptr;
    lock.lock();
  }
  finished_.splice(finished_.end(), threads_, self);
  left_.notify_all();
}

void Workers::step_aside() {
  const std::lock_guard lock(mutex_);
  ++aside_;
  start_if_needed();
}

void Workers::step_back() {
  const std::lock_guard lock(mutex_);
  --aside_;
}

void Workers::end() {
  std::unique_lock lock(mutex_);
  ended_ = true;
  added_.notify_all();
  left_.wait(lock, [this] { return threads_.empty(); });
  join_finished(lock);
}

std::size_t Workers::threads() {
  const std::lock_guard lock(mutex_);
  return threads_.size();
}

}  // namespace oddgrist::server

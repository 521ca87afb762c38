// The threads that answer requests. A listener to changes holds its thread for as long as it listens, so it steps aside: another thread
// takes its place among those at work, and however many listen, requests are answered. Threads are made when there is work for them.
#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <list>
#include <mutex>
#include <thread>

namespace oddgrist::server {

class Workers {
 public:
  using Job = std::function<void()>;

  explicit Workers(std::size_t most_at_work) : most_at_work_(most_at_work) {}
  ~Workers() { end(); }
  Workers(const Workers&) = delete;
  Workers& operator=(const Workers&) = delete;

  void add(Job job);
  // Does what has been added, then joins every thread.
  void end();

  // Said by a job about the thread it runs on: now it will only wait; now it works on, or is done.
  void step_aside();
  void step_back();

  [[nodiscard]] std::size_t threads();

 private:
  void work(std::list<std::thread>::iterator self);
  void start_if_needed();
  void join_finished(std::unique_lock<std::mutex>& lock);

  const std::size_t most_at_work_;
  std::mutex mutex_;
  std::condition_variable added_, left_;
  std::deque<Job> jobs_;
  std::list<std::thread> threads_, finished_;
  std::size_t idle_ = 0, aside_ = 0;
  bool ended_ = false;
};

}  // namespace oddgrist::server

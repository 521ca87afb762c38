// What open pages are told as it happens: one line of text a change, sent to every listener (server-sent events).
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <mutex>
#include <string>
#include <utility>

namespace oddgrist::server {

class Changes {
 public:
  struct Change {
    std::uint64_t number = 0;  // counts up from 1
    std::string topic;         // "gyle", "larder": what to fetch again
    std::string subject;       // which one: an id, or empty for all of them
  };
  explicit Changes(int most_listeners) : most_listeners_(most_listeners) {}

  void publish(const std::string& topic, const std::string& subject);

  // False: there are too many already.
  [[nodiscard]] bool arrive();
  void leave();
  // The number to listen from: changes after it are new.
  [[nodiscard]] std::uint64_t latest();

  // What a listener is sent next, as server-sent event text; empty if nothing is new.
  [[nodiscard]] std::string since(std::uint64_t& seen);
  // Called after each change, by whoever made it. Set before anything is published.
  void on_change(std::function<void()> call) { on_change_ = std::move(call); }

 private:
  static constexpr std::size_t most_kept = 256;  // a listener that missed more is told to fetch everything again
  std::mutex mutex_;
  std::function<void()> on_change_;
  std::deque<Change> kept_;
  std::uint64_t latest_ = 0;
  int listeners_ = 0;
  const int most_listeners_;
};

}  // namespace oddgrist::server

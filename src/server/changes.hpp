// What open pages are told as it happens: one line of text a change, sent to every listener (server-sent events).
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <mutex>
#include <string>

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

  // What a listener is sent next, as server-sent event text; a comment if nothing happens for `patience`. Empty: the server ends.
  [[nodiscard]] std::string next(std::uint64_t& seen, std::chrono::milliseconds patience);
  void end();

 private:
  static constexpr std::size_t most_kept = 256;  // a listener that missed more is told to fetch everything again
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<Change> kept_;
  std::uint64_t latest_ = 0;
  int listeners_ = 0;
  const int most_listeners_;
  bool ended_ = false;
};

}  // namespace oddgrist::server

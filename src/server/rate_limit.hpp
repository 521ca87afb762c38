// So many requests a second from one address, with a burst at once. Safe to call from several threads.
#pragma once

#include <chrono>
#include <cstddef>
#include <map>
#include <mutex>
#include <string>

namespace oddgrist::server {

class RateLimit {
 public:
  using Clock = std::chrono::steady_clock;
  RateLimit(double per_second, double burst) : per_second_(per_second), burst_(burst) {}

  // Whether one more is allowed now; if it is, it counts.
  [[nodiscard]] bool allow(const std::string& peer, Clock::time_point now = Clock::now());

 private:
  struct Bucket {
    double left = 0.0;
    Clock::time_point filled;
  };
  // Addresses not seen for long are full again, so forgetting them changes nothing.
  void forget_the_full(Clock::time_point now);
  [[nodiscard]] double left_now(const Bucket& bucket, Clock::time_point now) const;

  static constexpr std::size_t most_peers = 4096;
  const double per_second_, burst_;
  std::mutex mutex_;
  std::map<std::string, Bucket> buckets_;
};

}  // namespace oddgrist::server

#include "server/rate_limit.hpp"

#include <algorithm>

namespace oddgrist::server {

double RateLimit::left_now(const Bucket& bucket, Clock::time_point now) const {
  const double seconds = std::chrono::duration<double>(now - bucket.filled).count();
  return std::min(burst_, bucket.left + per_second_ * std::max(0.0, seconds));
}

void RateLimit::forget_the_full(Clock::time_point now) {
  std::erase_if(buckets_, [&](const auto& entry) { return left_now(entry.second, now) >= burst_; });
}

bool RateLimit::allow(const std::string& peer, Clock::time_point now) {
  const std::lock_guard lock(mutex_);
  if (buckets_.size() >= most_peers && !buckets_.contains(peer)) {
    forget_the_full(now);
    if (buckets_.size() >= most_peers) return false;
  }
  const auto [entry, is_new] = buckets_.try_emplace(peer, Bucket{burst_, now});
  Bucket& bucket = entry->second;
  bucket.left = left_now(bucket, now);
  bucket.filled = now;
  if (bucket.left < 1.0) return false;
  bucket.left -= 1.0;
  return true;
}

}  // namespace oddgrist::server

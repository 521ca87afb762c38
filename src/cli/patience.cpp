#include "cli/patience.hpp"

#include <unistd.h>

#include <chrono>
#include <cstdio>

#include <fmt/format.h>

namespace oddgrist::cli {

Patience::Patience(std::string doing, bool quiet) : doing_(std::move(doing)) {
  if (!quiet && ::isatty(STDERR_FILENO) == 1) counting_ = std::thread([this] { count(); });
}

Patience::~Patience() {
  if (!counting_.joinable()) return;
  {
    const std::lock_guard lock(mutex_);
    is_done_ = true;
  }
  done_.notify_one();
  counting_.join();
}

void Patience::count() {
  std::unique_lock lock(mutex_);
  int seconds = 0;
  while (!done_.wait_for(lock, std::chrono::seconds(1), [this] { return is_done_; })) {
    fmt::print(stderr, "\r{}, {} s (Ctrl-C ends it, nothing is lost) ", doing_, ++seconds);
    std::fflush(stderr);
  }
  if (seconds > 0) {
    fmt::print(stderr, "\r{:78}\r", "");
    std::fflush(stderr);
  }
}

}  // namespace oddgrist::cli

// A line on a terminal for whoever waits: what is being done, and for how long already. Nothing in the first second, nothing where nobody
// watches.
#pragma once

#include <condition_variable>
#include <mutex>
#include <string>
#include <thread>

namespace oddgrist::cli {

class Patience {
 public:
  Patience(std::string doing, bool quiet);
  ~Patience();
  Patience(const Patience&) = delete;
  Patience& operator=(const Patience&) = delete;

 private:
  void count();

  std::string doing_;
  std::mutex mutex_;
  std::condition_variable done_;
  bool is_done_ = false;
  std::thread counting_;  // none where nobody watches
};

}  // namespace oddgrist::cli

// Who has a store open. Every Store shares the lock; putting another file in its place needs it alone. It goes with the process, however
// that ends. Internal to src/store.
#pragma once

#include <chrono>
#include <optional>
#include <string>

#include "files/problem.hpp"

namespace oddgrist::store {

class UseLock {
 public:
  enum class Share { shared, alone };
  // On an empty file beside the store: SQLite's own locks would be lost if anybody but SQLite opened and closed the store itself.
  // Nothing, without a problem: the folder is read-only and there is no such file, so nobody can put another store there either.
  static std::optional<UseLock> take(const std::string& store_path, Share share, std::chrono::milliseconds patience,
                                     std::optional<files::Problem>& problem);
  UseLock(UseLock&& other) noexcept : descriptor_(other.descriptor_) { other.descriptor_ = -1; }
  UseLock& operator=(UseLock&&) = delete;
  ~UseLock();

 private:
  explicit UseLock(int descriptor) : descriptor_(descriptor) {}
  int descriptor_;
};

}  // namespace oddgrist::store

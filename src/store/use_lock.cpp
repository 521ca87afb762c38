#include "store/use_lock.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>
#include <thread>

namespace oddgrist::store {

std::optional<UseLock> UseLock::take(const std::string& store_path, Share share, std::chrono::milliseconds patience,
                                     std::optional<files::Problem>& problem) {
  const std::string path = store_path + "-use";
  int descriptor = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
  if (descriptor < 0) descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (descriptor < 0) {
    if (share == Share::shared) return std::nullopt;
    problem = files::Problem{files::Place{path, 0, 0}, "",
                             "cannot make the lock file: " + std::generic_category().message(errno),
                             "Check the permissions of the folder, and whether the disk is read-only or full",
                             files::trouble_of_error(errno, files::Trouble::cannot_write)};
    return std::nullopt;
  }
  UseLock lock(descriptor);
  const auto deadline = std::chrono::steady_clock::now() + patience;
  while (::flock(descriptor, (share == Share::shared ? LOCK_SH : LOCK_EX) | LOCK_NB) != 0) {
    if (errno != EWOULDBLOCK && errno != EINTR) break;  // a file system that knows no locks: SQLite will say so itself
    if (std::chrono::steady_clock::now() >= deadline) {
      problem =
          files::Problem{files::Place{store_path, 0, 0}, "", "another program has the store open",
                         "End it (oddgrist serve, perhaps) and try again; nothing was changed", files::Trouble::busy};
      return std::nullopt;
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
  return lock;
}

UseLock::~UseLock() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

}  // namespace oddgrist::store

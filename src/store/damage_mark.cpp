#include "store/damage_mark.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cstdio>
#include <fstream>
#include <optional>

#include "store/store.hpp"

namespace oddgrist::store {
namespace {

std::string mark_of(const std::string& path) { return path + "-damaged"; }

}  // namespace

void mark_damaged(const std::string& path, const std::string& what) {
  const int descriptor = ::open(mark_of(path).c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  if (descriptor < 0) return;  // it is marked already, or nobody can write here
  const std::string line = what + '\n';
  // On a full disk the mark stays empty, and is one all the same.
  [[maybe_unused]] const ssize_t written = ::write(descriptor, line.data(), line.size());
  ::fsync(descriptor);
  ::close(descriptor);
}

void unmark_damaged(const std::string& path) { ::unlink(mark_of(path).c_str()); }

void move_damage_mark(const std::string& from, const std::string& to) {
  [[maybe_unused]] const int failed = ::rename(mark_of(from).c_str(), mark_of(to).c_str());
}

std::optional<std::string> noted_damage(const std::string& path) {
  std::ifstream mark(mark_of(path));
  if (!mark) return std::nullopt;
  std::string what;
  std::getline(mark, what);
  return what.empty() ? "it was found damaged" : what;
}

void refuse_if_damaged(const std::string& path) {
  const auto what = noted_damage(path);
  if (!what) return;
  files::Problem problem = damage_problem(path, "the store is damaged and is only read until it is mended: " + *what);
  problem.remedy = "Restore the last backup: oddgrist store restore BACKUP; oddgrist store check says what is damaged";
  throw Refused(problem);
}

}  // namespace oddgrist::store

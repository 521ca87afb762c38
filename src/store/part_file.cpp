#include "store/part_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

#include "store/room.hpp"

namespace oddgrist::store {

void refuse_writing(const std::string& path, int error) {
  throw Refused(file_problem(path, "cannot write: " + std::generic_category().message(error),
                             error == EEXIST ? "Choose a name that is not taken: nothing is ever overwritten"
                                             : "Nothing was left there. Check the folder, or choose another place",
                             files::trouble_of_error(error, files::Trouble::cannot_write)));
}

void make_folder_of(const std::string& path) {
  const std::filesystem::path folder = std::filesystem::path(path).parent_path();
  if (!folder.empty()) std::filesystem::create_directories(folder);
}

void sync_folder_of(const std::string& path) {
  const std::string folder = std::filesystem::path(path).parent_path().string();
  const int descriptor = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;  // some file systems have folders that cannot be opened; they cannot be synced either
  ::fsync(descriptor);
  ::close(descriptor);
}

PartFile::PartFile(std::string target) : target_(std::move(target)), path_(target_ + ".part-XXXXXX") {
  const int descriptor = ::mkstemp(path_.data());
  if (descriptor < 0) refuse_writing(target_, errno);
  const mode_t mask = ::umask(0);
  ::umask(mask);
  ::fchmod(descriptor, static_cast<mode_t>(0644 & ~mask));
  ::close(descriptor);
}

PartFile::~PartFile() {
  if (path_.empty()) return;
  for (const char* end : {"", "-journal", "-wal", "-shm", "-use"}) ::unlink((path_ + end).c_str());
}

void PartFile::sync() const {
  const int descriptor = ::open(path_.c_str(), O_RDWR | O_CLOEXEC);
  if (descriptor < 0) refuse_writing(target_, errno);
  const int failed = ::fsync(descriptor) != 0 ? errno : 0;
  ::close(descriptor);
  if (failed != 0) refuse_writing(target_, failed);
}

void PartFile::put_in_place() {
  sync();
  int failed = ::renameat2(AT_FDCWD, path_.c_str(), AT_FDCWD, target_.c_str(), RENAME_NOREPLACE) != 0 ? errno : 0;
  if (failed == EINVAL) {
    // A file system that cannot promise it: look, then rename.
    failed = std::filesystem::exists(target_) ? EEXIST : 0;
    if (failed == 0 && ::rename(path_.c_str(), target_.c_str()) != 0) failed = errno;
  }
  if (failed != 0) refuse_writing(target_, failed);
  for (const char* end : {"-wal", "-shm", "-use"}) ::unlink((path_ + end).c_str());
  path_.clear();
  sync_folder_of(target_);
}

void PartFile::replace() {
  sync();
  if (::rename(path_.c_str(), target_.c_str()) != 0) refuse_writing(target_, errno);
  for (const char* end : {"-wal", "-shm", "-use"}) ::unlink((path_ + end).c_str());
  path_.clear();
  sync_folder_of(target_);
}

}  // namespace oddgrist::store

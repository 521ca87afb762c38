// A file that is made beside its place and put there when it is whole. Internal to src/store.
#pragma once

#include <string>

namespace oddgrist::store {

class PartFile {
 public:
  // An empty file `<target>.part-XXXXXX`; throws Refused if it cannot be made.
  explicit PartFile(std::string target);
  // Removes it, and what SQLite left beside it, unless it was put in place.
  ~PartFile();
  PartFile(const PartFile&) = delete;
  PartFile& operator=(const PartFile&) = delete;

  [[nodiscard]] const std::string& path() const { return path_; }
  // Synced, then renamed; nobody may have it open. Refuses if something is there by now.
  void put_in_place();
  // Puts it in the place of whatever is there.
  void replace();

 private:
  void sync() const;
  std::string target_;
  std::string path_;
};

// The folder a file is to stand in, and those above it; nothing to do for a name without a folder.
void make_folder_of(const std::string& path);
// So that a rename in it survives a power cut.
void sync_folder_of(const std::string& path);
[[noreturn]] void refuse_writing(const std::string& path, int error);

}  // namespace oddgrist::store

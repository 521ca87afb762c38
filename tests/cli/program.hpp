// Runs the real program and catches what it says.
#pragma once

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>

extern char** environ;

namespace oddgrist::test {

struct ProgramRun {
  int exit_code = -1;  // 128 + signal if it was killed
  std::string out;
  std::string err;
};

inline std::string file_text(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

inline void write_text(const std::filesystem::path& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}

// A folder of the test's own, gone when the test is over.
class Scratch {
 public:
  Scratch() {
    std::string name = (std::filesystem::temp_directory_path() / "oddgrist-test-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) ADD_FAILURE() << "cannot make a scratch folder";
    folder_ = name;
  }
  ~Scratch() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  [[nodiscard]] std::string operator/(const std::string& name) const { return (folder_ / name).string(); }
  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }

 private:
  std::filesystem::path folder_;
};

// `program` is looked up in PATH. Runs in the source folder, so that messages name paths as a user there would see them.
inline ProgramRun run(const std::string& program, const std::vector<std::string>& arguments,
                      const std::string& input_path = "/dev/null") {
  const Scratch scratch;
  const std::string out = scratch / "out";
  const std::string err = scratch / "err";
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addchdir_np(&actions, ODDGRIST_SOURCE_DIR);
  posix_spawn_file_actions_addopen(&actions, 0, input_path.c_str(), O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, 1, out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  posix_spawn_file_actions_addopen(&actions, 2, err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  std::vector<std::string> words{program};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> argv;
  for (std::string& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  pid_t child = 0;
  const int failed = ::posix_spawnp(&child, program.c_str(), &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  ProgramRun result;
  if (failed != 0) {
    ADD_FAILURE() << "cannot start " << program;
    return result;
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  result.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  result.out = file_text(out);
  result.err = file_text(err);
  return result;
}

inline ProgramRun oddgrist(const std::vector<std::string>& arguments, const std::string& input_path = "/dev/null") {
  if (std::string(ODDGRIST_BINARY).empty()) {
    ADD_FAILURE() << "the program oddgrist is not part of this build";
    return {};
  }
  return run(ODDGRIST_BINARY, arguments, input_path);
}

inline std::vector<std::filesystem::path> files_in(const std::string& folder, const std::string& suffix) {
  std::vector<std::filesystem::path> found;
  for (const auto& entry : std::filesystem::directory_iterator(std::filesystem::path(ODDGRIST_SOURCE_DIR) / folder)) {
    if (entry.path().extension() == suffix) found.push_back(entry.path());
  }
  std::sort(found.begin(), found.end());
  return found;
}

}  // namespace oddgrist::test

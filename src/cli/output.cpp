#include "cli/output.hpp"

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <optional>

#include <fmt/format.h>

#include "files/answer_json.hpp"
#include "files/text_file.hpp"
#include "quantity/text.hpp"
#include "store/store.hpp"

namespace oddgrist::cli {
namespace {

bool print(std::string_view text) {
  const std::string shown = text::harmless(text);  // names come from strangers' files
  const bool whole = std::fwrite(shown.data(), 1, shown.size(), stdout) == shown.size();
  return std::fflush(stdout) == 0 && whole;
}

// An interruption between writing and renaming would leave a stray file: it waits until the file is complete or gone.
class InterruptionHeld {
 public:
  InterruptionHeld() {
    sigset_t held;
    sigemptyset(&held);
    sigaddset(&held, SIGINT);
    sigaddset(&held, SIGTERM);
    sigaddset(&held, SIGHUP);
    ::pthread_sigmask(SIG_BLOCK, &held, &before_);
  }
  ~InterruptionHeld() { ::pthread_sigmask(SIG_SETMASK, &before_, nullptr); }
  InterruptionHeld(const InterruptionHeld&) = delete;
  InterruptionHeld& operator=(const InterruptionHeld&) = delete;

 private:
  sigset_t before_{};
};

std::optional<files::Problem> write_result(const OutputOptions& options, std::string_view text) {
  if (options.path.empty() || options.path == "-") {
    errno = 0;
    if (print(text)) return std::nullopt;
    const int error = errno;
    return files::Problem{files::Place{"standard output", 0, 0}, "", "cannot write all of it",
                          "Check the disk, or use --output",
                          files::trouble_of_error(error, files::Trouble::cannot_write)};
  }
  const InterruptionHeld held;
  return files::write_text_file(options.path, text);
}

}  // namespace

void complain(std::string_view line) {
  const std::string whole = text::harmless(line) + '\n';
  std::fwrite(whole.data(), 1, whole.size(), stderr);
}

void warn_of_damage(const std::string& store_path) {
  const auto what = store::noted_damage(store_path);
  if (!what) return;
  complain(
      fmt::format("{}: the store is damaged ({}) and is only read until it is mended: oddgrist store restore BACKUP",
                  store_path, *what));
}

int emit(const OutputOptions& options, std::string_view text, int code) {
  const auto problem = write_result(options, text);
  if (!problem) return code;
  return fail(options, {*problem});
}

int fail(const OutputOptions& options, const files::Problems& problems) {
  // Problems never go into the output file: what it held before stays.
  const bool said = options.json && print(files::json_text(files::problems_json(problems)));
  if (!said) {
    for (const files::Problem& problem : problems) complain(files::problem_line(problem));
  }
  return files::fault_of(files::trouble_of(problems)).exit_code;
}

int fail_usage(bool json, std::string_view what, std::string_view remedy) {
  const files::Problem problem{files::Place{"oddgrist", 0, 0}, "", std::string(what), std::string(remedy)};
  const OutputOptions options{json, ""};
  static_cast<void>(fail(options, {problem}));
  return wrong_usage;
}

}  // namespace oddgrist::cli

#include "files/text_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <filesystem>
#include <system_error>
#include <vector>

#include <fmt/format.h>

namespace oddgrist::files {
namespace {

namespace fs = std::filesystem;

Problem of_whole_file(const std::string& path, std::string what, std::string remedy, Trouble trouble) {
  return Problem{Place{path, 0, 0}, "", std::move(what), std::move(remedy), trouble};
}

std::string error_words(int error) { return std::generic_category().message(error); }

// A file descriptor that is closed when it goes out of scope.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ > 2) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  [[nodiscard]] int number() const { return number_; }
  // Closing can report a write that failed late.
  int close_now() {
    const int result = number_ > 2 ? ::close(number_) : 0;
    number_ = -1;
    return result;
  }

 private:
  int number_;
};

Problem too_large(const std::string& path) {
  return of_whole_file(path, "the file is larger than 1 MiB",
                       "A brief is a page or two of text; is this the file you meant?", Trouble::bad_content);
}

Result<std::string> read_all(const std::string& path, int descriptor) {
  std::string text;
  std::array<char, 65536> piece{};
  for (;;) {
    const ssize_t got = ::read(descriptor, piece.data(), piece.size());
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) {
      return of_whole_file(path, "cannot read: " + error_words(errno), "Check the disk and the file's permissions",
                           Trouble::cannot_open);
    }
    if (got == 0) break;
    text.append(piece.data(), static_cast<std::size_t>(got));
    if (text.size() > largest_text_file_bytes) return too_large(path);
  }
  if (auto problem = problem_in_text(text, path)) return *problem;
  return text;
}

// Length of the UTF-8 sequence that starts here, or 0 if it is not a valid one (RFC 3629: no overlong forms, no surrogates, at
// most U+10FFFF).
std::size_t utf8_length(std::string_view rest) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(rest[i]); };
  const auto follows = [&](std::size_t i, unsigned low = 0x80, unsigned high = 0xBF) {
    return i < rest.size() && byte(i) >= low && byte(i) <= high;
  };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  if (first >= 0xC2 && first <= 0xDF) return follows(1) ? 2 : 0;
  if (first >= 0xE0 && first <= 0xEF) {
    const bool second = follows(1, first == 0xE0 ? 0xA0 : 0x80, first == 0xED ? 0x9F : 0xBF);
    return second && follows(2) ? 3 : 0;
  }
  if (first >= 0xF0 && first <= 0xF4) {
    const bool second = follows(1, first == 0xF0 ? 0x90 : 0x80, first == 0xF4 ? 0x8F : 0xBF);
    return second && follows(2) && follows(3) ? 4 : 0;
  }
  return 0;
}

bool write_all(int descriptor, std::string_view text) {
  while (!text.empty()) {
    const ssize_t put = ::write(descriptor, text.data(), text.size());
    if (put < 0 && errno == EINTR) continue;
    if (put <= 0) return false;
    text.remove_prefix(static_cast<std::size_t>(put));
  }
  return true;
}

Problem cannot_write(const std::string& path, int error) {
  return of_whole_file(path, "cannot write: " + error_words(error),
                       "Nothing was written there. Choose another place with --output",
                       trouble_of_error(error, Trouble::cannot_write));
}

std::optional<Problem> write_directly(const std::string& path, std::string_view text) {
  Descriptor out(::open(path.c_str(), O_WRONLY | O_CLOEXEC));
  if (out.number() < 0) return cannot_write(path, errno);
  if (!write_all(out.number(), text)) return cannot_write(path, errno);
  if (out.close_now() != 0) return cannot_write(path, errno);
  return std::nullopt;
}

mode_t mode_for_new_file() {
  const mode_t mask = ::umask(0);
  ::umask(mask);
  return static_cast<mode_t>(0666 & ~mask);
}

}  // namespace

std::optional<Problem> problem_in_text(std::string_view text, const std::string& path) {
  int line = 1;
  int column = 1;
  bool anything = false;
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] == '\0') {
      return Problem{Place{path, line, column}, "", "the file holds a NUL byte, so it is not text",
                     "Save it as plain UTF-8 text", Trouble::bad_content};
    }
    const std::size_t length = utf8_length(text.substr(i));
    if (length == 0) {
      return Problem{Place{path, line, column}, "",
                     fmt::format("byte 0x{:02X} is not valid UTF-8", static_cast<unsigned char>(text[i])),
                     "Save the file as UTF-8 text", Trouble::bad_content};
    }
    anything = anything || (text[i] != ' ' && text[i] != '\t' && text[i] != '\r' && text[i] != '\n');
    if (text[i] == '\n') {
      ++line;
      column = 1;
    } else {
      ++column;
    }
    i += length;
  }
  if (anything) return std::nullopt;
  return of_whole_file(path, "the file is empty", "Start from one of the files in examples/", Trouble::bad_content);
}

Result<std::string> read_text_file(const std::string& path) {
  if (path == "-") return read_all("standard input", 0);
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (status.type() == fs::file_type::not_found) {
    return of_whole_file(path, "there is no such file", "Check the name and the folder", Trouble::cannot_open);
  }
  if (fs::is_directory(status)) {
    return of_whole_file(path, "this is a folder, not a file", "Name a file inside it", Trouble::cannot_open);
  }
  if (error)
    return of_whole_file(path, "cannot open: " + error.message(), "Check the name and its folder",
                         Trouble::cannot_open);
  if (fs::is_regular_file(status) && fs::file_size(path, error) > largest_text_file_bytes && !error)
    return too_large(path);
  // A pipe is fine (process substitution); a device would never end, which the size limit catches.
  const Descriptor in(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (in.number() < 0) {
    return of_whole_file(path, "cannot open: " + error_words(errno), "Check that you may read it",
                         Trouble::cannot_open);
  }
  return read_all(path, in.number());
}

std::optional<Problem> write_text_file(const std::string& path, std::string_view text) {
  std::error_code ignored;
  // Through a symbolic link the file it points to is replaced, not the link.
  fs::path target = fs::is_symlink(path, ignored) ? fs::weakly_canonical(path, ignored) : fs::path(path);
  if (target.empty()) target = path;
  const fs::file_status status = fs::status(target, ignored);
  if (fs::is_directory(status)) return cannot_write(path, EISDIR);
  if (fs::exists(status) && !fs::is_regular_file(status)) return write_directly(path, text);
  // Renaming would get past a file the brewer has write-protected.
  if (fs::exists(status) && ::access(target.c_str(), W_OK) != 0) return cannot_write(path, errno);

  std::string beside = target.string() + ".XXXXXX";
  Descriptor out(::mkstemp(beside.data()));
  if (out.number() < 0) return cannot_write(path, errno);
  const mode_t mode = fs::exists(status) ? static_cast<mode_t>(status.permissions()) : mode_for_new_file();
  const bool good = write_all(out.number(), text) && ::fchmod(out.number(), mode) == 0 && ::fsync(out.number()) == 0 &&
                    out.close_now() == 0 && ::rename(beside.c_str(), target.c_str()) == 0;
  if (good) return std::nullopt;
  const int error = errno;
  ::unlink(beside.c_str());
  return cannot_write(path, error);
}

}  // namespace oddgrist::files

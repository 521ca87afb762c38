#include "files/problem.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <tuple>

#include <fmt/format.h>

namespace oddgrist::files {
namespace {

// A text quoted from the file may hold line ends and terminal commands: a problem stays one harmless line.
std::string sentence(std::string_view words) {
  if (words.empty()) return {};
  std::string line(words);
  for (char& letter : line) {
    if (static_cast<unsigned char>(letter) < 0x20 || letter == 0x7F) letter = ' ';
  }
  const char last = line.back();
  const bool closed = last == '.' || last == '?' || last == '!';
  return closed ? line : line + '.';
}

}  // namespace

const Fault& fault_of(Trouble trouble) {
  static constexpr std::array<Fault, 7> faults{{{Trouble::bad_content, "wrong-content", 422, 65, 0},
                                                {Trouble::missing, "not-found", 404, 66, 0},
                                                {Trouble::cannot_open, "cannot-open", 500, 66, 0},
                                                {Trouble::cannot_write, "cannot-write", 500, 74, 0},
                                                {Trouble::busy, "busy", 503, 75, 2},
                                                {Trouble::full, "full", 507, 73, 10},
                                                {Trouble::damaged, "damaged", 500, 72, 0}}};
  return faults.at(static_cast<std::size_t>(trouble));
}

Trouble trouble_of(const Problems& problems) {
  Trouble gravest = Trouble::bad_content;
  for (const Problem& problem : problems) gravest = std::max(gravest, problem.trouble);
  return gravest;
}

Trouble trouble_of_error(int error, Trouble otherwise) {
  return error == ENOSPC || error == EDQUOT || error == EFBIG ? Trouble::full : otherwise;
}

std::string problem_line(const Problem& problem) {
  std::string line = problem.place.file;
  if (problem.place.line > 0) line += fmt::format(":{}:{}", problem.place.line, problem.place.column);
  line += ": " + sentence(problem.what);
  if (!problem.remedy.empty()) line += ' ' + sentence(problem.remedy);
  return line;
}

void sort_by_place(Problems& problems) {
  std::stable_sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
    return std::tie(a.place.line, a.place.column) < std::tie(b.place.line, b.place.column);
  });
}

}  // namespace oddgrist::files

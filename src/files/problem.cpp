#include "files/problem.hpp"

#include <algorithm>
#include <string_view>
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

#include "files/problem.hpp"

#include <algorithm>
#include <string_view>
#include <tuple>

#include <fmt/format.h>

namespace oddgrist::files {
namespace {

std::string sentence(std::string_view words) {
  if (words.empty()) return {};
  const char last = words.back();
  const bool closed = last == '.' || last == '?' || last == '!';
  return closed ? std::string(words) : std::string(words) + '.';
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

// What is wrong with a file, where, and what to do about it; and the result type that makes a caller look.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "compose/brief.hpp"

namespace oddgrist::files {

using compose::Place;

// Why a file gave nothing, the least grave first. What each is called, and what the program's exit code and the server's status say of it,
// stands in one table: fault_of.
enum class Trouble { bad_content, missing, cannot_open, cannot_write, busy, full, damaged };
struct Fault {
  Trouble trouble;
  std::string_view word;  // last part of a problem document's type; bad_content goes by the word of whoever read it
  int http_status;
  int exit_code;
  int retry_after_s;  // 0: waiting alone does not help
};
[[nodiscard]] const Fault& fault_of(Trouble trouble);

struct Problem {
  Place place;         // line 0: the file as a whole
  std::string field;   // "want.volume", "given[2].amount"; empty when no field is meant
  std::string what;    // a sentence without its full stop
  std::string remedy;  // likewise
  Trouble trouble = Trouble::bad_content;
};
using Problems = std::vector<Problem>;

// The gravest of them.
[[nodiscard]] Trouble trouble_of(const Problems& problems);
// A disk or a quota that is used up, or a file that may not grow (EFBIG), is full; any other error is what it was taken for.
[[nodiscard]] Trouble trouble_of_error(int error, Trouble otherwise);

// "path:line:column: what is wrong. What to do."
std::string problem_line(const Problem& problem);

// By line, then column; problems of the file as a whole come first.
void sort_by_place(Problems& problems);

// Either a value or at least one problem. Asking for the wrong one is a programming error and throws std::bad_variant_access.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : content_(std::move(value)) {}                      // NOLINT: meant to be implicit
  Result(Problems problems) : content_(std::move(problems)) {}         // NOLINT
  Result(Problem problem) : content_(Problems{std::move(problem)}) {}  // NOLINT

  explicit operator bool() const { return std::holds_alternative<T>(content_); }
  [[nodiscard]] const T& value() const { return std::get<T>(content_); }
  [[nodiscard]] T& value() { return std::get<T>(content_); }
  [[nodiscard]] const Problems& problems() const { return std::get<Problems>(content_); }

 private:
  std::variant<T, Problems> content_;
};

}  // namespace oddgrist::files

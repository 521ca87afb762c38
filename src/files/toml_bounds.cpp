#include "files/toml_bounds.hpp"

#include <algorithm>

namespace oddgrist::files {
namespace {

// Past the end of the string that begins here: basic or literal, on one line or, with three marks, on many. One that is never closed
// ends with its line, or with the text.
std::size_t after_string(std::string_view text, std::size_t at) {
  const char mark = text[at];
  const std::string_view three = mark == '"' ? R"(""")" : "'''";
  const bool many_lines = text.substr(at, 3) == three;
  const std::size_t marks = many_lines ? 3 : 1;
  for (std::size_t i = at + marks; i < text.size(); ++i) {
    if (mark == '"' && text[i] == '\\') {
      ++i;
    } else if (!many_lines && text[i] == '\n') {
      return i;
    } else if (text.substr(i, marks) == three.substr(0, marks)) {
      return i + marks;
    }
  }
  return text.size();
}

class Walk {
 public:
  explicit Walk(std::string_view text) : text_(text) {}

  std::optional<TomlExcess> first() {
    for (std::size_t at = 0; at < text_.size() && !excess_;) {
      const char letter = text_[at];
      if (letter == '"' || letter == '\'') {
        at = after_string(text_, at);
      } else if (letter == '#') {
        at = std::min(text_.find('\n', at), text_.size());
      } else {
        take(letter, at);
        ++at;
      }
    }
    return excess_;
  }

 private:
  void take(char letter, std::size_t at) {
    switch (letter) {
      case '.': count(++dots_, most_toml_names_in_a_key - 1, TomlExcess::Kind::long_key, at); return;
      case '[':
      case '{': count(++open_, most_toml_brackets, TomlExcess::Kind::deep_nesting, at); break;
      case ']':
      case '}': --open_; break;
      case '=':
      case ',':
      case '\n': break;
      default: return;
    }
    dots_ = 0;
    if (letter == '=' || letter == '[' || letter == ',')
      count(++entries_, most_toml_entries, TomlExcess::Kind::many_entries, at);
  }

  void count(int number, int most, TomlExcess::Kind kind, std::size_t at) {
    if (number > most && !excess_) excess_ = TomlExcess{kind, at};
  }

  std::string_view text_;
  std::optional<TomlExcess> excess_;
  int dots_ = 0, open_ = 0, entries_ = 0;
};

}  // namespace

std::optional<TomlExcess> toml_excess(std::string_view text) { return Walk(text).first(); }

}  // namespace oddgrist::files

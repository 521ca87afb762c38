// What no file of ours comes near, looked for before the TOML library reads a text: that library follows nesting by recursion, and a
// chain of a few ten thousand names would use up the stack.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

namespace oddgrist::files {

inline constexpr int most_toml_names_in_a_key = 8;  // a.b.c is three
inline constexpr int most_toml_brackets = 16;       // open at once
inline constexpr int most_toml_entries = 20'000;    // keys, headings and elements of lists together

struct TomlExcess {
  enum class Kind { long_key, deep_nesting, many_entries } kind = Kind::long_key;
  std::size_t offset = 0;  // bytes before the place
};

// The first place past one of the bounds; nothing if there is none. Takes any bytes, whether or not they are TOML: strings and comments
// are passed over, and what is no TOML is left for the library to refuse.
[[nodiscard]] std::optional<TomlExcess> toml_excess(std::string_view text);

}  // namespace oddgrist::files

// The few things parsing needs to know of UTF-8: where characters begin, which ones do not belong in a quantity, how to
// show them.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace oddgrist::text {

struct Character {
  char32_t code = 0;
  std::size_t size = 1;  // bytes
  bool valid = true;     // false: not UTF-8; one byte long
};

// The character that begins at this byte; `at` must be inside the text.
Character character_at(std::string_view text, std::size_t at);

// Characters before this byte: the column to put a caret under, counted from 0.
std::size_t column_of(std::string_view text, std::size_t byte);

// Control characters, invisible marks, marks that turn the direction of writing, and bytes that are not UTF-8.
bool is_unwelcome(Character character);

// The text without what could command a terminal: control characters other than breaks of line and page and tabs, and marks that turn the direction of
// writing, as \u009b (which JSON reads as the same character); bytes that are not UTF-8 as the replacement character.
std::string harmless(std::string_view text);

// Bytes of the space that begins here (plain, no-break, thin), or 0.
std::size_t space_size(std::string_view text, std::size_t at);
std::size_t skip_spaces(std::string_view text, std::size_t at);
std::string_view trimmed(std::string_view text);

// In quotation marks, at most 40 characters, unwelcome bytes as \xNN.
std::string shown(std::string_view text);

}  // namespace oddgrist::text

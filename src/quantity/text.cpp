#include "quantity/text.hpp"

#include <fmt/format.h>

namespace oddgrist::text {

Character character_at(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t index) { return static_cast<unsigned char>(text[index]); };
  const unsigned lead = byte(at);
  if (lead < 0x80) return {lead, 1, true};
  const Character broken{lead, 1, false};
  const std::size_t size = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || at + size > text.size()) return broken;
  char32_t code = lead & (0xFFU >> (size + 1));
  for (std::size_t index = 1; index < size; ++index) {
    if ((byte(at + index) & 0xC0U) != 0x80U) return broken;
    code = (code << 6U) | (byte(at + index) & 0x3FU);
  }
  const bool overlong = (size == 3 && code < 0x800) || (size == 4 && code < 0x10000);
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  if (overlong || surrogate || code > 0x10FFFF) return broken;
  return {code, size, true};
}

std::size_t column_of(std::string_view text, std::size_t byte) {
  std::size_t column = 0;
  for (std::size_t at = 0; at < byte && at < text.size(); at += character_at(text, at).size) ++column;
  return column;
}

namespace {

bool is_control(char32_t code) { return code < 0x20 || (code >= 0x7F && code < 0xA0); }

bool turns_writing(char32_t code) {
  return code == 0x200E || code == 0x200F || (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

}  // namespace

bool is_unwelcome(Character character) {
  const char32_t code = character.code;
  const bool invisible = (code >= 0x200B && code <= 0x200F) || code == 0x2060 || code == 0xFEFF || code == 0xAD;
  return !character.valid || is_control(code) || invisible || turns_writing(code);
}

std::string harmless(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const Character character = character_at(text, at);
    const bool layout = character.code == '\n' || character.code == '\t' || character.code == '\f';
    if (!character.valid) {
      out += "\uFFFD";
    } else if (!layout && (is_control(character.code) || turns_writing(character.code))) {
      out += fmt::format("\\u{:04x}", static_cast<unsigned>(character.code));
    } else {
      out += text.substr(at, character.size);
    }
    at += character.size;
  }
  return out;
}

std::size_t space_size(std::string_view text, std::size_t at) {
  if (at >= text.size()) return 0;
  const Character character = character_at(text, at);
  const char32_t code = character.code;
  const bool space = code == ' ' || code == 0xA0 || code == 0x2009 || code == 0x202F;
  return character.valid && space ? character.size : 0;
}

std::size_t skip_spaces(std::string_view text, std::size_t at) {
  while (const std::size_t size = space_size(text, at)) at += size;
  return at;
}

std::string_view trimmed(std::string_view text) {
  text.remove_prefix(skip_spaces(text, 0));
  std::size_t end = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = character_at(text, at).size;
    if (space_size(text, at) == 0) end = at + size;
    at += size;
  }
  return text.substr(0, end);
}

std::string shown(std::string_view text) {
  constexpr int most_characters = 40;
  std::string out = "“";
  int count = 0;
  for (std::size_t at = 0; at < text.size();) {
    if (++count > most_characters) {
      out += "…";
      break;
    }
    const Character character = character_at(text, at);
    for (const char c : text.substr(at, character.size)) {
      if (is_unwelcome(character)) {
        out += fmt::format("\\x{:02X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
      } else {
        out += c;
      }
    }
    at += character.size;
  }
  return out + "”";
}

}  // namespace oddgrist::text

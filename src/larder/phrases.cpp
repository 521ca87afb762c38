#include "larder/phrases.hpp"

#include <cctype>

#include "larder/singular.hpp"

namespace oddgrist::larder {
namespace {

const std::string divider = "|";

bool match_from(const Words& phrase, std::size_t p, const Words& text, std::size_t t, std::size_t& end) {
  if (p == phrase.size()) {
    end = t;
    return true;
  }
  if (phrase[p] != "*") return t < text.size() && text[t] == phrase[p] && match_from(phrase, p + 1, text, t + 1, end);
  for (std::size_t skipped = 0; skipped <= 2; ++skipped) {
    if (match_from(phrase, p + 1, text, t + skipped, end)) return true;
    if (t + skipped >= text.size() || text[t + skipped] == divider) return false;
  }
  return false;
}

bool taken_back(const Words& text, const PhrasePlace& place) {
  if (place.end < text.size() && text[place.end] == "free") return true;
  if (place.begin == 0) return false;
  const std::string& before = text[place.begin - 1];
  if (before == "no" || before == "without" || before == "non") return true;
  return before == "from" && place.begin >= 2 && text[place.begin - 2] == "free";
}

}  // namespace

Words words_of(std::string_view text) {
  Words words;
  std::string word;
  const auto finish_word = [&] {
    if (!word.empty()) words.push_back(singular(std::move(word)));
    word.clear();
  };
  for (const char letter : text) {
    const auto byte = static_cast<unsigned char>(letter);
    if (std::isalnum(byte) || byte >= 0x80 || letter == '*') {
      word += static_cast<char>(std::tolower(byte));
    } else if (letter == '\'') {
      continue;
    } else {
      finish_word();
      const bool divides = letter == ',' || letter == ';' || letter == '.' || letter == ':' || letter == '(' ||
                           letter == ')' || letter == '[' || letter == ']' || letter == '\n';
      if (divides && !words.empty() && words.back() != divider) words.push_back(divider);
    }
  }
  finish_word();
  return words;
}

std::vector<PhrasePlace> places_of(const Words& phrase, const Words& text) {
  std::vector<PhrasePlace> places;
  if (phrase.empty()) return places;
  for (std::size_t begin = 0; begin < text.size(); ++begin) {
    PhrasePlace place{begin, begin};
    if (match_from(phrase, 0, text, begin, place.end) && !taken_back(text, place)) places.push_back(place);
  }
  return places;
}

}  // namespace oddgrist::larder

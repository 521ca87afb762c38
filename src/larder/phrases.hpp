// Finding words in what is printed on a packet: whole words only, singular or plural, never across a comma.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace oddgrist::larder {

// Lower-case words in the singular; "|" stands where commas, brackets, stops and the like divide the text.
using Words = std::vector<std::string>;

Words words_of(std::string_view text);

struct PhrasePlace {
  std::size_t begin = 0, end = 0;  // word numbers, end not included
};

// Every place where `phrase` stands in `text`. "*" in a phrase is any one or two words, or none. A place is left out if
// the text takes it back: "nut-free", "free from nuts", "without nuts", "no nuts".
std::vector<PhrasePlace> places_of(const Words& phrase, const Words& text);

}  // namespace oddgrist::larder

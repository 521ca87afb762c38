// Finding things in a name or a list by the words they are called by, in whatever order these stand.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "larder/plain_words.hpp"

namespace oddgrist::larder {

// Written "dried/raw kidney bean": a slot a word, each filled by one of its alternatives. "fingerhut~" stands for every word that begins so,
// "~honig" for every one that ends so. The words of a find stand in any order, with at most two others between two of them; words written as
// one or apart are alike ("elder berry", "elderberry").
class WordPattern {
 public:
  struct Term {
    std::string text;
    bool open_front = false, open_back = false;

    bool fits(std::string_view word) const;
  };

  explicit WordPattern(std::string_view written);

  const std::vector<std::vector<Term>>& slots() const { return slots_; }
  // Texts the pattern is found in, one for each choice among the alternatives.
  std::vector<std::string> examples() const;

  // Word numbers of each find, ascending. A find that the text takes back is left out: "nut-free", "free from nuts", "without nuts".
  std::vector<std::vector<std::size_t>> finds(const PlainText& text) const;

 private:
  struct Search;
  std::vector<std::vector<Term>> slots_;
};

// Many patterns, asked at once: which of them can be in a text at all?
class PatternIndex {
 public:
  void add(const WordPattern& pattern, std::size_t number);
  // Their numbers, ascending, each once.
  std::vector<std::size_t> possible_in(const PlainText& text) const;

 private:
  std::unordered_map<std::string, std::vector<std::size_t>> by_word_;
  std::vector<std::pair<WordPattern::Term, std::size_t>> open_;
};

}  // namespace oddgrist::larder

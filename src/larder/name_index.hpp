// Names as people say them: which entry of a list is meant, and which are near when none is.
#pragma once

#include <cstddef>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

namespace oddgrist::larder {

// Lower case; accents off, umlauts written out; "-", "_", commas and brackets as spaces, runs of spaces as one, none at
// the ends; apostrophes and full stops gone.
std::string folded_name(std::string_view name);

// The words of a name as they are compared: folded, in the singular, with German and American words in the terms of the
// catalogue ("Weizenmalz" is wheat, malt) and without words that tell nothing ("organic", "pellets").
std::vector<std::string> telling_words(std::string_view name);

class NameIndex {
 public:
  NameIndex();
  ~NameIndex();
  NameIndex(NameIndex&&) noexcept;
  NameIndex& operator=(NameIndex&&) noexcept;

  // Registers one name of an entry; the other entry that has it already, if there is one.
  std::optional<std::size_t> add(std::string_view name, std::size_t entry);

  // The entry called so: by its name; else by the same words in another order, number or language, if that is but one.
  std::optional<std::size_t> find(std::string_view words) const;

  // At most `count` entries of which a name is near to the words, nearest first; empty if none is near. Letters may be
  // wrong, telling words must agree: what shares nothing but "malt" or "yeast" is not near.
  std::vector<std::size_t> nearest(std::string_view words, std::size_t count) const;

 private:
  struct Words;  // made at the first question that a plain name does not answer
  const Words& words() const;

  std::unordered_map<std::string, std::size_t> by_name_;
  std::vector<std::pair<std::string, std::size_t>> names_;
  mutable std::unique_ptr<std::once_flag> once_;
  mutable std::unique_ptr<Words> made_;
};

// Single letters put in, taken out or changed, and neighbours swapped, that lie between two words; `most` + 1 for more.
std::size_t letters_apart(std::string_view one, std::string_view other, std::size_t most);

}  // namespace oddgrist::larder

// Reads a JSON object key by key, collecting every problem instead of stopping at the first; and JSON text without throwing.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/answer_json.hpp"
#include "files/problem.hpp"

namespace oddgrist::files {

// The document, or the first break of the grammar with its line (counted from `first_line`) and column: text that is not UTF-8, a
// number too large to hold, a key written twice, nesting deeper than anything of ours.
Result<Json> parse_json_text(std::string_view text, const std::string& path, int first_line = 1);

// One line, no spaces: what the store keeps. Nothing if a text in it is not valid UTF-8.
std::optional<std::string> compact_json(const Json& json);

// A word and what it stands for.
template <class Enum, std::size_t count>
using WordsFor = std::array<std::pair<std::string_view, Enum>, count>;

class JsonReader {
 public:
  // `path` is how a message names the object: "body", "body.recipe.amounts[2]"; empty for the document. What is no object is reported
  // and reads as an empty one.
  JsonReader(const Json& value, std::string path, Place place, Problems& problems);

  // The value under a key, which from now on counts as known. Null if it is not there or is null.
  const Json* take(std::string_view key);

  // A required text of at most `most_bytes`; `may_be_empty` also lets it be absent.
  enum class Blank { refused, allowed };
  std::string text(std::string_view key, std::size_t most_bytes, Blank blank);
  // A required number, and one that may be absent. `words` completes "... must be ".
  double number(std::string_view key, double low, double high, std::string_view words);
  std::optional<double> number_if_any(std::string_view key, double low, double high, std::string_view words);
  std::int64_t whole(std::string_view key, std::int64_t low, std::int64_t high, std::string_view words);
  // A required object inside.
  JsonReader object(std::string_view key);
  // A required list; empty when it is none.
  const std::vector<Json>& list(std::string_view key, std::size_t most);
  template <class Enum, std::size_t count>
  Enum word(std::string_view key, const WordsFor<Enum, count>& words);

  void report_unknown_keys();
  void report(std::string_view key, std::string what, std::string remedy);
  [[nodiscard]] std::string field(std::string_view key) const;
  [[nodiscard]] const Place& place() const { return place_; }
  [[nodiscard]] Problems& problems() { return problems_; }

 private:
  std::optional<double> number_of(const Json& value, std::string_view key, double low, double high,
                                  std::string_view words);
  std::optional<std::size_t> choice(std::string_view key, const std::vector<std::string>& words);
  void report_absent(std::string_view key, std::string_view wanted);

  const Json& object_;
  std::string path_;
  Place place_;
  Problems& problems_;
  std::vector<std::string> known_;
};

template <class Enum, std::size_t count>
Enum JsonReader::word(std::string_view key, const WordsFor<Enum, count>& words) {
  std::vector<std::string> all;
  for (const auto& one : words) all.emplace_back(one.first);
  const auto found = choice(key, all);
  return words[found ? *found : 0].second;
}

template <class Enum, std::size_t count>
std::string_view word_for(const WordsFor<Enum, count>& words, Enum value) {
  for (const auto& one : words) {
    if (one.second == value) return one.first;
  }
  return words[0].first;
}

}  // namespace oddgrist::files

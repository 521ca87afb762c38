// Reads a TOML table key by key, collecting every problem instead of stopping at the first. Only files of this room include it:
// no other room sees the TOML library through us.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "files/problem.hpp"
#include "quantity/parse.hpp"
#include "quantity/quantity.hpp"

namespace oddgrist::files {

// What a quantity may be. `words` completes "... must be ".
template <class Kind>
struct Limits {
  Quantity<Kind> low;
  Quantity<Kind> high;
  std::string_view words;
};

template <class Kind>
struct Range {
  Quantity<Kind> low;
  Quantity<Kind> high;
  bool single = false;  // the brewer wrote one value
};

// A text and where it stands.
struct Words {
  std::string text;
  Place place;
};

// Of `known`, the word spelt most like `word`; empty if none is near.
std::string nearest_word(std::string_view word, const std::vector<std::string>& known);

class TableReader {
 public:
  // `path` is how a message names the table: "kit", "given[2]"; empty for the file itself.
  TableReader(const toml::table& table, std::string path, std::string file, Problems& problems)
      : table_(table), path_(std::move(path)), file_(std::move(file)), problems_(problems) {}

  // The value under a key, which from now on counts as known. Null if it is not there.
  const toml::node* take(std::string_view key);
  [[nodiscard]] bool has(std::string_view key) const { return table_.contains(key); }

  std::optional<Words> words(std::string_view key);
  std::optional<double> number(std::string_view key, double low, double high, std::string_view limit_words);
  // One plain number, or [low, high]; for what has no unit.
  std::optional<std::pair<double, double>> number_range(std::string_view key, double low, double high,
                                                        std::string_view limit_words);
  std::optional<int> whole_number(std::string_view key, int low, int high);
  const toml::table* table(std::string_view key);
  // A list of tables, [[key]]. Entries that are no tables are reported and left out.
  std::vector<const toml::table*> tables(std::string_view key);
  // The texts of a list, or of one text alone.
  std::vector<const toml::node*> list(std::string_view key);

  template <class Kind>
  std::optional<Quantity<Kind>> quantity(std::string_view key, const Limits<Kind>& limits, std::string_view example);
  // One value, [low, high], or "low to high".
  template <class Kind>
  std::optional<Range<Kind>> range(std::string_view key, const Limits<Kind>& limits, std::string_view example);
  template <class Kind>
  std::optional<Quantity<Kind>> quantity_of(const toml::node& node, std::string_view key, const Limits<Kind>& limits,
                                            std::string_view example);

  // Reports every key nobody took, with the nearest known one.
  void report_unknown_keys();

  void report(const Place& place, std::string_view key, std::string what, std::string remedy);
  [[nodiscard]] Place place_of(const toml::node& node) const;
  [[nodiscard]] Place place_of(std::string_view key) const;  // of the value; of the table if the key is not there
  [[nodiscard]] Place place() const { return place_of(static_cast<const toml::node&>(table_)); }
  [[nodiscard]] std::string field(std::string_view key) const;
  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] Problems& problems() { return problems_; }

 private:
  template <class Kind>
  bool within(Quantity<Kind> value, const toml::node& node, std::string_view key, const Limits<Kind>& limits,
              std::string_view example);
  std::optional<double> number_of(const toml::node& node, std::string_view key, double low, double high,
                                  std::string_view limit_words);
  void report_type(const toml::node& node, std::string_view key, std::string_view wanted, std::string_view example);

  const toml::table& table_;
  std::string path_;
  std::string file_;
  Problems& problems_;
  std::vector<std::string> known_;
};

// The document, or nothing with the problem reported: unsound text, a break of the grammar, nesting too deep to be meant.
std::optional<toml::table> parse_toml(std::string_view text, const std::string& path, Problems& problems);

// "write 5 US gal" begins a sentence of its own in a remedy.
std::string with_capital(std::string words);

// A word that tells the reader what a TOML value is: "a number", "a list", ...
std::string_view type_words(const toml::node& node);

template <class Kind>
std::optional<Quantity<Kind>> TableReader::quantity_of(const toml::node& node, std::string_view key,
                                                       const Limits<Kind>& limits, std::string_view example) {
  // A specific gravity has no unit, so a bare number is one; everything else without a unit could mean several things.
  std::string text;
  if (const auto* string = node.as_string()) {
    text = string->get();
  } else if (std::is_same_v<Kind, GravityKind> && node.is_floating_point()) {
    text = fmt::format("{}", node.as_floating_point()->get());
  } else if (node.is_number()) {
    report(place_of(node), key, fmt::format("{} has no unit", field(key)),
           fmt::format("Write for instance {} = \"{}\"", key, example));
    return std::nullopt;
  } else {
    report_type(node, key, "a quantity with its unit", fmt::format("\"{}\"", example));
    return std::nullopt;
  }

  const auto parsed = parse<Kind>(text);
  if (!parsed) {
    Place place = place_of(node);
    place.column += 1 + static_cast<int>(parsed.error().offset);  // 1 for the quotation mark
    std::string remedy = with_capital(parsed.error().hint);
    if (remedy.empty()) remedy = fmt::format("Write for instance {} = \"{}\"", key, example);
    report(place, key, fmt::format("{}: {}", field(key), parsed.error().message), remedy);
    return std::nullopt;
  }
  if (!within(parsed.value(), node, key, limits, example)) return std::nullopt;
  return parsed.value();
}

// Nothing if the node is no text or the text is no range: it may still be a single value.
template <class Kind>
std::optional<QuantityRange<Kind>> written_range(const toml::node& node) {
  const auto* string = node.as_string();
  if (string == nullptr || parse<Kind>(string->get())) return std::nullopt;
  const auto range = parse_range<Kind>(string->get());
  if (!range) return std::nullopt;
  return range.value();
}

template <class Kind>
bool TableReader::within(Quantity<Kind> value, const toml::node& node, std::string_view key, const Limits<Kind>& limits,
                         std::string_view example) {
  if (value >= limits.low && value <= limits.high) return true;
  const std::string written = node.is_string() ? fmt::format(" \"{}\"", node.as_string()->get()) : std::string();
  report(place_of(node), key, fmt::format("{}{} must be {}", field(key), written, limits.words),
         fmt::format("A usual value is \"{}\"", example));
  return false;
}

template <class Kind>
std::optional<Quantity<Kind>> TableReader::quantity(std::string_view key, const Limits<Kind>& limits,
                                                    std::string_view example) {
  const toml::node* node = take(key);
  if (node == nullptr) return std::nullopt;
  return quantity_of<Kind>(*node, key, limits, example);
}

template <class Kind>
std::optional<Range<Kind>> TableReader::range(std::string_view key, const Limits<Kind>& limits,
                                              std::string_view example) {
  const toml::node* node = take(key);
  if (node == nullptr) return std::nullopt;
  const toml::array* pair = node->as_array();
  if (pair == nullptr) {
    if (const auto written = written_range<Kind>(*node)) {
      if (!within(written->low, *node, key, limits, example) || !within(written->high, *node, key, limits, example))
        return std::nullopt;
      return Range<Kind>{written->low, written->high, false};
    }
    const auto value = quantity_of<Kind>(*node, key, limits, example);
    if (!value) return std::nullopt;
    return Range<Kind>{*value, *value, true};
  }
  if (pair->size() != 2) {
    report(place_of(*node), key, fmt::format("{} is a list of {}", field(key), pair->size()),
           fmt::format("Give one value, \"{}\", or two: the lowest and the highest you accept", example));
    return std::nullopt;
  }
  const auto low = quantity_of<Kind>(*pair->get(0), key, limits, example);
  const auto high = quantity_of<Kind>(*pair->get(1), key, limits, example);
  if (!low || !high) return std::nullopt;
  if (*low > *high) {
    report(place_of(*node), key, fmt::format("{} runs from a higher value to a lower one", field(key)),
           "Write the lowest first, then the highest");
    return std::nullopt;
  }
  return Range<Kind>{*low, *high, false};
}

}  // namespace oddgrist::files

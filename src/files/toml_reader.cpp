#include "files/toml_reader.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "files/text_file.hpp"
#include "files/toml_bounds.hpp"

namespace oddgrist::files {
namespace {

// Levenshtein distance: letters to change, add or drop.
std::size_t spelling_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i + 1;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, row[j + 1] + 1});
    }
  }
  return row.back();
}

Problem problem_of(const TomlExcess& excess, std::string_view text, const std::string& path) {
  const std::string_view before = text.substr(0, excess.offset);
  const auto last_break = before.rfind('\n');
  const std::size_t column = last_break == std::string_view::npos ? before.size() : before.size() - last_break - 1;
  std::string what;
  switch (excess.kind) {
    case TomlExcess::Kind::long_key:
      what = fmt::format("a key of more than {} names joined by points", most_toml_names_in_a_key);
      break;
    case TomlExcess::Kind::deep_nesting:
      what = fmt::format("more than {} brackets open at once", most_toml_brackets);
      break;
    case TomlExcess::Kind::many_entries: what = fmt::format("more than {} entries", most_toml_entries); break;
  }
  return Problem{
      Place{path, 1 + static_cast<int>(std::count(before.begin(), before.end(), '\n')), static_cast<int>(column) + 1},
      "", what + ", which no file of ours needs", "Keep to the tables of docs/file-format.md", Trouble::bad_content};
}

}  // namespace

std::string nearest_word(std::string_view word, const std::vector<std::string>& known) {
  std::string best;
  std::size_t least = std::numeric_limits<std::size_t>::max();
  for (const std::string& candidate : known) {
    const std::size_t distance = spelling_distance(word, candidate);
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  // Half the word wrong is another word.
  return least * 2 <= std::max(word.size(), best.size()) ? best : std::string();
}

std::optional<toml::table> parse_toml(std::string_view text, const std::string& path, Problems& problems) {
  if (auto problem = problem_in_text(text, path)) {
    problems.push_back(std::move(*problem));
    return std::nullopt;
  }
  if (const auto excess = toml_excess(text)) {
    problems.push_back(problem_of(*excess, text, path));
    return std::nullopt;
  }
  try {
    return toml::parse(text, path);
  } catch (const toml::parse_error& error) {
    const toml::source_position& begin = error.source().begin;
    problems.push_back(Problem{Place{path, static_cast<int>(begin.line), static_cast<int>(begin.column)}, "",
                               fmt::format("this is not TOML here: {}", error.description()),
                               "Look for a missing quotation mark, bracket or equals sign, or a key written twice",
                               Trouble::bad_content});
    return std::nullopt;
  }
}

std::string with_capital(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

std::string_view type_words(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::table: return "a table";
    case toml::node_type::array: return "a list";
    case toml::node_type::string: return "a text";
    case toml::node_type::integer: return "a whole number";
    case toml::node_type::floating_point: return "a number";
    case toml::node_type::boolean: return "true or false";
    default: return "a date or time";
  }
}

const toml::node* TableReader::take(std::string_view key) {
  known_.emplace_back(key);
  return table_.get(key);
}

std::string TableReader::field(std::string_view key) const {
  if (path_.empty()) return std::string(key);
  return key.empty() ? path_ : fmt::format("{}.{}", path_, key);
}

Place TableReader::place_of(const toml::node& node) const {
  const toml::source_position& begin = node.source().begin;
  return Place{file_, static_cast<int>(begin.line), static_cast<int>(begin.column)};
}

Place TableReader::place_of(std::string_view key) const {
  const toml::node* node = table_.get(key);
  return node != nullptr ? place_of(*node) : place();
}

void TableReader::report(const Place& place, std::string_view key, std::string what, std::string remedy) {
  problems_.push_back(Problem{place, field(key), std::move(what), std::move(remedy), Trouble::bad_content});
}

void TableReader::report_type(const toml::node& node, std::string_view key, std::string_view wanted,
                              std::string_view example) {
  report(place_of(node), key, fmt::format("{} is {}, but {} belongs here", field(key), type_words(node), wanted),
         fmt::format("Write for instance {} = {}", key, example));
}

std::optional<Words> TableReader::words(std::string_view key) {
  const toml::node* node = take(key);
  if (node == nullptr) return std::nullopt;
  const auto* string = node->as_string();
  if (string == nullptr) {
    report_type(*node, key, "a text", "\"...\" in quotation marks");
    return std::nullopt;
  }
  if (string->get().find_first_not_of(" \t\r\n") == std::string::npos) {
    report(place_of(*node), key, fmt::format("{} is empty", field(key)), "Fill it in or leave the line out");
    return std::nullopt;
  }
  return Words{string->get(), place_of(*node)};
}

std::optional<double> TableReader::number_of(const toml::node& node, std::string_view key, double low, double high,
                                             std::string_view limit_words) {
  const std::optional<double> value = node.is_number() ? node.value<double>() : std::nullopt;
  if (!value) {
    report_type(node, key, "a plain number", "2.5, without quotation marks");
    return std::nullopt;
  }
  if (!(*value >= low && *value <= high)) {
    report(place_of(node), key, fmt::format("{} is {}, but must be {}", field(key), *value, limit_words),
           "Correct the number");
    return std::nullopt;
  }
  return value;
}

std::optional<double> TableReader::number(std::string_view key, double low, double high, std::string_view limit_words) {
  const toml::node* node = take(key);
  if (node == nullptr) return std::nullopt;
  return number_of(*node, key, low, high, limit_words);
}

std::optional<std::pair<double, double>> TableReader::number_range(std::string_view key, double low, double high,
                                                                   std::string_view limit_words) {
  const std::vector<const toml::node*> nodes = list(key);
  if (nodes.empty() && !has(key)) return std::nullopt;
  if (nodes.empty() || nodes.size() > 2) {
    report(place_of(key), key, fmt::format("{} is a list of {}", field(key), nodes.size()),
           "Give one number, or the lowest and the highest");
    return std::nullopt;
  }
  const auto first = number_of(*nodes.front(), key, low, high, limit_words);
  const auto last = nodes.size() == 1 ? first : number_of(*nodes.back(), key, low, high, limit_words);
  if (!first || !last) return std::nullopt;
  if (*first > *last) {
    report(place_of(key), key, fmt::format("{} runs from a higher value to a lower one", field(key)),
           "Write the lowest first, then the highest");
    return std::nullopt;
  }
  return std::pair{*first, *last};
}

std::optional<int> TableReader::whole_number(std::string_view key, int low, int high) {
  const toml::node* node = take(key);
  if (node == nullptr) return std::nullopt;
  const auto* integer = node->as_integer();
  if (integer == nullptr) {
    report_type(*node, key, "a whole number", fmt::format("{}, without quotation marks", low + 3));
    return std::nullopt;
  }
  if (integer->get() < low || integer->get() > high) {
    report(place_of(*node), key,
           fmt::format("{} is {}, but must be from {} to {}", field(key), integer->get(), low, high),
           "Correct the number");
    return std::nullopt;
  }
  return static_cast<int>(integer->get());
}

const toml::table* TableReader::table(std::string_view key) {
  const toml::node* node = take(key);
  if (node == nullptr) return nullptr;
  if (const toml::table* inner = node->as_table()) return inner;
  report(place_of(*node), key, fmt::format("{} is {}, but a table belongs here", field(key), type_words(*node)),
         fmt::format("Begin it with a line [{}]", field(key)));
  return nullptr;
}

std::vector<const toml::table*> TableReader::tables(std::string_view key) {
  std::vector<const toml::table*> found;
  const toml::node* node = take(key);
  if (node == nullptr) return found;
  const std::string remedy = fmt::format("Begin each entry with a line [[{}]]", field(key));
  const toml::array* entries = node->as_array();
  if (entries == nullptr) {
    const std::string_view is = node->is_table() ? std::string_view("one table") : type_words(*node);
    report(place_of(*node), key, fmt::format("{} is {}, but a list of tables belongs here", field(key), is), remedy);
    return found;
  }
  for (const toml::node& entry : *entries) {
    if (const toml::table* inner = entry.as_table()) {
      found.push_back(inner);
    } else {
      report(place_of(entry), key,
             fmt::format("an entry of {} is {}, but a table belongs here", field(key), type_words(entry)), remedy);
    }
  }
  return found;
}

std::vector<const toml::node*> TableReader::list(std::string_view key) {
  std::vector<const toml::node*> found;
  const toml::node* node = take(key);
  if (node == nullptr) return found;
  const toml::array* entries = node->as_array();
  if (entries == nullptr) {
    found.push_back(node);
    return found;
  }
  for (const toml::node& entry : *entries) found.push_back(&entry);
  return found;
}

void TableReader::report_unknown_keys() {
  for (const auto& [key, node] : table_) {
    const std::string name(key.str());
    if (std::find(known_.begin(), known_.end(), name) != known_.end()) continue;
    const toml::source_position& begin = key.source().begin;
    const Place place{file_, static_cast<int>(begin.line), static_cast<int>(begin.column)};
    const std::string near = nearest_word(name, known_);
    const std::string where = path_.empty() ? "the brief has no such key" : fmt::format("[{}] has no such key", path_);
    report(place, name, fmt::format("\"{}\": {}", name, where),
           near.empty() ? fmt::format("Known here: {}", fmt::join(known_, ", "))
                        : fmt::format("Did you mean \"{}\"?", near));
  }
}

}  // namespace oddgrist::files

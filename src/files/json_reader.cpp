#include "files/json_reader.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "files/text_file.hpp"

namespace oddgrist::files {
namespace {

constexpr int deepest = 16;

Place place_at(std::string_view text, std::size_t offset, const std::string& path, int first_line) {
  const std::string_view before = text.substr(0, offset);
  const auto last_break = before.rfind('\n');
  const auto column = last_break == std::string_view::npos ? before.size() : before.size() - last_break - 1;
  return Place{path, first_line + static_cast<int>(std::count(before.begin(), before.end(), '\n')),
               static_cast<int>(column) + 1};
}

// Where brackets first nest deeper than `deepest`; nothing if they never do.
std::optional<std::size_t> too_deep_at(std::string_view text) {
  int depth = 0;
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char letter = text[i];
    if (quoted) {
      if (letter == '\\')
        ++i;
      else if (letter == '"')
        quoted = false;
    } else if (letter == '"') {
      quoted = true;
    } else if (letter == '{' || letter == '[') {
      if (++depth > deepest) return i;
    } else if (letter == '}' || letter == ']') {
      --depth;
    }
  }
  return std::nullopt;
}

// Of two equal keys the library would quietly keep one.
class TwiceWritten {
 public:
  bool operator()(int /*depth*/, Json::parse_event_t event, const Json& parsed) {
    if (event == Json::parse_event_t::object_start) {
      keys_.emplace_back();
    } else if (event == Json::parse_event_t::object_end) {
      keys_.pop_back();
    } else if (event == Json::parse_event_t::key) {
      const auto& key = parsed.get_ref<const std::string&>();
      if (!keys_.back().insert(key).second && first_.empty()) first_ = key;
    }
    return true;
  }
  [[nodiscard]] const std::string& first() const { return first_; }

 private:
  std::vector<std::set<std::string>> keys_;
  std::string first_;
};

const Json& no_object() {
  static const Json empty = Json::object();
  return empty;
}

const std::vector<Json>& no_list() {
  static const std::vector<Json> empty;
  return empty;
}

}  // namespace

Result<Json> parse_json_text(std::string_view text, const std::string& path, int first_line) {
  if (auto unsound = problem_in_text(text, path)) {
    if (unsound->place.line > 0) unsound->place.line += first_line - 1;
    if (unsound->place.line == 0) unsound->place.line = first_line;
    unsound->remedy = "Write one JSON document as plain UTF-8 text";
    return *unsound;
  }
  if (const auto deep = too_deep_at(text)) {
    return Problem{place_at(text, *deep, path, first_line), "", "the JSON nests too deep to be meant",
                   "Nothing of ours has more than a few levels"};
  }
  TwiceWritten twice;
  try {
    Json document = Json::parse(
        text, [&twice](int depth, Json::parse_event_t event, Json& parsed) { return twice(depth, event, parsed); });
    if (!twice.first().empty()) {
      return Problem{Place{path, first_line, 1}, twice.first(), fmt::format("\"{}\" is written twice", twice.first()),
                     "Keep one of the two"};
    }
    return document;
  } catch (const Json::parse_error& error) {
    const std::size_t offset = std::min(error.byte > 0 ? error.byte - 1 : 0, text.size());
    return Problem{place_at(text, offset, path, first_line), "", "this is not JSON from here on",
                   "Look for a missing comma, bracket or quotation mark"};
  } catch (const Json::exception&) {
    return Problem{Place{path, first_line, 1}, "", "a number in the JSON is too large to hold",
                   "Write it in the unit the field asks for"};
  }
}

std::optional<std::string> compact_json(const Json& json) {
  try {
    return json.dump();
  } catch (const Json::exception&) {
    return std::nullopt;
  }
}

JsonReader::JsonReader(const Json& value, std::string path, Place place, Problems& problems)
    : object_(value.is_object() ? value : no_object()),
      path_(std::move(path)),
      place_(std::move(place)),
      problems_(problems) {
  if (value.is_object()) return;
  problems_.push_back(Problem{place_, path_,
                              fmt::format("{} is {}, not an object", path_.empty() ? "the document" : path_,
                                          value.is_null() ? "missing" : value.type_name()),
                              "Write { ... } with the keys the schema lists"});
}

std::string JsonReader::field(std::string_view key) const {
  if (path_.empty()) return std::string(key);
  return key.empty() ? path_ : fmt::format("{}.{}", path_, key);
}

void JsonReader::report(std::string_view key, std::string what, std::string remedy) {
  problems_.push_back(Problem{place_, field(key), std::move(what), std::move(remedy)});
}

void JsonReader::report_absent(std::string_view key, std::string_view wanted) {
  // An object that was none has been reported already.
  if (&object_ == &no_object()) return;
  report(key, fmt::format("{} is missing", field(key)), fmt::format("It must be {}", wanted));
}

const Json* JsonReader::take(std::string_view key) {
  known_.emplace_back(key);
  const auto found = object_.find(std::string(key));
  return found == object_.end() || found->is_null() ? nullptr : &*found;
}

JsonReader JsonReader::object(std::string_view key) {
  static const Json nothing;
  const Json* value = take(key);
  return {value == nullptr ? nothing : *value, field(key), place_, problems_};
}

std::string JsonReader::text(std::string_view key, std::size_t most_bytes, Blank blank) {
  const Json* value = take(key);
  if (value == nullptr) {
    if (blank == Blank::refused) report_absent(key, "a text");
    return {};
  }
  if (!value->is_string()) {
    report(key, fmt::format("{} is {}, not a text", field(key), value->type_name()), "Put it in quotation marks");
    return {};
  }
  const auto& words = value->get_ref<const std::string&>();
  if (words.empty() && blank == Blank::refused) {
    report(key, fmt::format("{} is empty", field(key)), "Write what is meant");
  } else if (words.size() > most_bytes) {
    report(key, fmt::format("{} is {} bytes long", field(key), words.size()),
           fmt::format("At most {} are kept", most_bytes));
  } else if (words.find('\0') != std::string::npos) {
    report(key, fmt::format("{} holds a NUL character, so it is not text", field(key)), "Leave it out");
  } else {
    return words;
  }
  return {};
}

std::optional<double> JsonReader::number_of(const Json& value, std::string_view key, double low, double high,
                                            std::string_view words) {
  if (!value.is_number()) {
    report(key, fmt::format("{} is {}, not a number", field(key), value.type_name()),
           fmt::format("It must be {}", words));
    return std::nullopt;
  }
  const double number = value.get<double>();
  if (number >= low && number <= high) return number;
  report(key, fmt::format("{} is {}", field(key), number), fmt::format("It must be {}", words));
  return std::nullopt;
}

double JsonReader::number(std::string_view key, double low, double high, std::string_view words) {
  const Json* value = take(key);
  if (value == nullptr) {
    report_absent(key, words);
    return low;
  }
  return number_of(*value, key, low, high, words).value_or(low);
}

std::optional<double> JsonReader::number_if_any(std::string_view key, double low, double high, std::string_view words) {
  const Json* value = take(key);
  return value == nullptr ? std::nullopt : number_of(*value, key, low, high, words);
}

std::int64_t JsonReader::whole(std::string_view key, std::int64_t low, std::int64_t high, std::string_view words) {
  const Json* value = take(key);
  if (value == nullptr) {
    report_absent(key, words);
    return low;
  }
  const bool fits =
      value->is_number_integer() && (!value->is_number_unsigned() || value->get<std::uint64_t>() <= INT64_MAX);
  if (fits && value->get<std::int64_t>() >= low && value->get<std::int64_t>() <= high)
    return value->get<std::int64_t>();
  report(key, fmt::format("{} is {}", field(key), compact_json(*value).value_or("no number")),
         fmt::format("It must be {}", words));
  return low;
}

const std::vector<Json>& JsonReader::list(std::string_view key, std::size_t most) {
  const Json* value = take(key);
  if (value == nullptr) {
    report_absent(key, "a list");
    return no_list();
  }
  if (!value->is_array()) {
    report(key, fmt::format("{} is {}, not a list", field(key), value->type_name()), "Write [ ... ]");
    return no_list();
  }
  if (value->size() > most) {
    report(key, fmt::format("{} has {} members", field(key), value->size()), fmt::format("At most {} are kept", most));
    return no_list();
  }
  return value->get_ref<const Json::array_t&>();
}

std::optional<std::size_t> JsonReader::choice(std::string_view key, const std::vector<std::string>& words) {
  const Json* value = take(key);
  const std::string all = fmt::format("one of {}", fmt::join(words, ", "));
  if (value == nullptr) {
    report_absent(key, all);
    return std::nullopt;
  }
  if (value->is_string()) {
    const auto found = std::find(words.begin(), words.end(), value->get_ref<const std::string&>());
    if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  }
  report(key, fmt::format("{} is {}", field(key), compact_json(*value).value_or("no word")),
         fmt::format("It must be {}", all));
  return std::nullopt;
}

void JsonReader::report_unknown_keys() {
  for (const auto& [key, value] : object_.items()) {
    if (std::find(known_.begin(), known_.end(), key) != known_.end()) continue;
    report(key, fmt::format("\"{}\" is not known here", key), fmt::format("Known are {}", fmt::join(known_, ", ")));
  }
}

}  // namespace oddgrist::files

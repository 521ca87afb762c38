#include "server/brief_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace oddgrist::server {
namespace {

using files::Json;
using files::Problem;

Problem whole_problem(std::string what, std::string remedy) {
  Problem problem;
  problem.what = std::move(what);
  problem.remedy = std::move(remedy);
  return problem;
}

bool is_bare(std::string_view key) {
  return !key.empty() && std::all_of(key.begin(), key.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  });
}

std::string toml_string(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (byte < 0x20 || byte == 0x7f) {
      out += fmt::format("\\u{:04x}", byte);
    } else {
      out += c;
    }
  }
  return out + '"';
}

std::string key_of(const std::string& key) { return is_bare(key) ? key : toml_string(key); }

// A list of tables is written with headings, so that the text can be kept as a brief file and read by a person.
bool is_table_list(const Json& value) {
  return value.is_array() && !value.empty() &&
         std::all_of(value.begin(), value.end(), [](const Json& entry) { return entry.is_object(); });
}

class Writer {
 public:
  void table(const std::string& path, const Json& object, int depth) {
    if (!fits(depth)) return;
    for (const auto& [key, value] : object.items()) {
      if (value.is_null() || value.is_object() || is_table_list(value)) continue;
      text_ += key_of(key) + " = ";
      inline_value(value, depth + 1);
      text_ += '\n';
    }
    for (const auto& [key, value] : object.items()) {
      const std::string inner = path.empty() ? key_of(key) : path + '.' + key_of(key);
      if (value.is_object()) {
        text_ += fmt::format("\n[{}]\n", inner);
        table(inner, value, depth + 1);
      } else if (is_table_list(value)) {
        for (const Json& entry : value) {
          text_ += fmt::format("\n[[{}]]\n", inner);
          table(inner, entry, depth + 1);
        }
      }
    }
  }

  [[nodiscard]] files::Result<std::string> result() && {
    if (!too_much_) return std::move(text_);
    return whole_problem("the brief nests deeper or holds more than a brief can",
                         fmt::format("Keep to the tables of docs/file-format.md, at most {} values", most_values));
  }

 private:
  bool fits(int depth) {
    if (++values_ > most_values || depth > deepest_table) too_much_ = true;
    return !too_much_;
  }

  void inline_value(const Json& value, int depth) {
    if (!fits(depth)) return;
    if (value.is_string()) {
      text_ += toml_string(value.get_ref<const std::string&>());
    } else if (value.is_array()) {
      list(value, depth);
    } else if (value.is_object()) {
      inline_table(value, depth);
    } else {
      text_ += value.is_null() ? std::string("\"\"") : value.dump();
    }
  }

  void list(const Json& value, int depth) {
    text_ += '[';
    for (std::size_t i = 0; i < value.size(); ++i) {
      if (i > 0) text_ += ", ";
      inline_value(value[i], depth + 1);
    }
    text_ += ']';
  }

  // Only where tables and other things are mixed in one list; the reader will say so.
  void inline_table(const Json& value, int depth) {
    text_ += '{';
    bool first = true;
    for (const auto& [key, inner] : value.items()) {
      if (inner.is_null()) continue;
      if (!first) text_ += ", ";
      first = false;
      text_ += key_of(key) + " = ";
      inline_value(inner, depth + 1);
    }
    text_ += '}';
  }

  std::string text_;
  int values_ = 0;
  bool too_much_ = false;
};

}  // namespace

files::Result<std::string> toml_of(const Json& document) {
  if (!document.is_object())
    return whole_problem("the brief is no JSON object", "Send {\"want\": {\"volume\": \"10 L\"}, ...}");
  Writer writer;
  writer.table("", document, 1);
  return std::move(writer).result();
}

files::Result<std::string> toml_of_json_text(std::string_view text) {
  const Json document = Json::parse(text, nullptr, false);
  if (document.is_discarded())
    return whole_problem("the body is not JSON", "Look for a missing quotation mark, bracket or comma");
  return toml_of(document);
}

}  // namespace oddgrist::server

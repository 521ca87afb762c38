#include "larder/singular.hpp"

#include <algorithm>
#include <initializer_list>
#include <string_view>

namespace oddgrist::larder {
namespace {

bool ends_with_any(std::string_view word, std::initializer_list<std::string_view> endings) {
  return std::any_of(endings.begin(), endings.end(), [&](std::string_view ending) { return word.ends_with(ending); });
}

}  // namespace

std::string singular(std::string word) {
  if (word.size() > 4 && word.ends_with("ies")) return word.replace(word.size() - 3, 3, "y");
  if (word == "leaves") return "leaf";
  if (word.size() > 4 && ends_with_any(word, {"oes", "shes", "ches", "xes", "sses"}))
    return word.substr(0, word.size() - 2);
  if (word.size() > 3 && word.back() == 's' && !ends_with_any(word, {"ss", "us", "is"})) word.pop_back();
  return word;
}

}  // namespace oddgrist::larder

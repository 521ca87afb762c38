// The fields of one row of a data file: read, checked, and remembered as asked for.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "larder/catalogue.hpp"
#include "larder/class_names.hpp"
#include "larder/ingredient.hpp"

namespace oddgrist::larder {

// A figure as data rows give it: one number, or [low, usual, high].
struct Figure {
  double low = 0.0, usual = 0.0, high = 0.0;
};

inline Figure scaled(const Figure& figure, double factor) {
  return {figure.low * factor, figure.usual * factor, figure.high * factor};
}

// Reads fields of one row and remembers which were asked for, so that a misspelt field is an error and not silently
// ignored.
class Row {
 public:
  Row(const toml::table& table, std::string place) : table_(table), place_(std::move(place)) {}

  [[noreturn]] void fail(std::string_view field, std::string_view why) const {
    throw CatalogueError(fmt::format("{}: {}: {}", place_, field, why));
  }

  bool has(std::string_view field) const { return table_.contains(field); }

  std::string text(std::string_view field) {
    asked_.push_back(field);
    const auto value = table_[field].value_exact<std::string>();
    if (!value || value->empty()) fail(field, "a text is wanted");
    return *value;
  }

  std::vector<std::string> texts(std::string_view field) {
    asked_.push_back(field);
    std::vector<std::string> result;
    if (!has(field)) return result;
    const toml::array* list = table_[field].as_array();
    if (list == nullptr) fail(field, "a list of texts is wanted");
    for (const toml::node& entry : *list) {
      const auto value = entry.value_exact<std::string>();
      if (!value || value->empty()) fail(field, "a list of texts is wanted");
      result.push_back(*value);
    }
    return result;
  }

  bool flag(std::string_view field, bool otherwise) {
    asked_.push_back(field);
    if (!has(field)) return otherwise;
    const auto value = table_[field].value_exact<bool>();
    if (!value) fail(field, "true or false is wanted");
    return *value;
  }

  // One of the words of a list; `otherwise` if the row does not say.
  template <class Enum, std::size_t count>
  Enum word(std::string_view field, const std::array<Word<Enum>, count>& words, Enum otherwise) {
    asked_.push_back(field);
    if (!has(field)) return otherwise;
    const std::string said = text(field);
    const std::optional<Enum> value = named(words, said);
    if (!value) fail(field, fmt::format("\"{}\" is none of its words", said));
    return *value;
  }

  Figure figure(std::string_view field) {
    asked_.push_back(field);
    if (!has(field)) fail(field, "is missing");
    return figure_from(*table_.get(field), field);
  }

  Figure figure_or(std::string_view field, double otherwise) {
    return has(field) ? figure(field) : (asked_.push_back(field), Figure{otherwise, otherwise, otherwise});
  }

  std::pair<double, double> range(std::string_view field) {
    asked_.push_back(field);
    const toml::array* list = table_[field].as_array();
    const auto low = list != nullptr && list->size() == 2 ? list->get(0)->value<double>() : std::nullopt;
    const auto high = low ? list->get(1)->value<double>() : std::nullopt;
    if (!low || !high || !std::isfinite(*high) || !(0.0 <= *low && *low <= *high))
      fail(field, "[low, high] is wanted, two numbers in order");
    return {*low, *high};
  }

  const toml::table* inner(std::string_view field) {
    asked_.push_back(field);
    if (!has(field)) return nullptr;
    const toml::table* table = table_[field].as_table();
    if (table == nullptr) fail(field, "a table is wanted");
    return table;
  }

  std::vector<std::pair<std::string, Figure>> figures(std::string_view field) {
    asked_.push_back(field);
    std::vector<std::pair<std::string, Figure>> result;
    const toml::table* inner = table_[field].as_table();
    if (inner == nullptr) fail(field, "a table of figures is wanted");
    for (const auto& [key, node] : *inner) result.emplace_back(std::string(key.str()), figure_from(node, key.str()));
    return result;
  }

  void refuse_unknown_fields() const {
    for (const auto& [key, node] : table_)
      if (std::find(asked_.begin(), asked_.end(), key.str()) == asked_.end())
        fail(key.str(), "no such field for this kind of ingredient");
  }

 private:
  Figure figure_from(const toml::node& node, std::string_view field) const {
    Figure result;
    if (const auto number = node.value<double>(); number && node.is_number()) {
      result = {*number, *number, *number};
    } else if (const toml::array* list = node.as_array(); list != nullptr && list->size() == 3) {
      const auto low = list->get(0)->value<double>(), usual = list->get(1)->value<double>(),
                 high = list->get(2)->value<double>();
      if (!low || !usual || !high) fail(field, "[low, usual, high] are three numbers");
      result = {*low, *usual, *high};
    } else {
      fail(field, "a number or [low, usual, high] is wanted");
    }
    if (!std::isfinite(result.low) || !std::isfinite(result.high) || !(result.low <= result.usual) ||
        !(result.usual <= result.high))
      fail(field, "low, usual and high are out of order");
    if (result.low < 0.0) fail(field, "is below zero");
    return result;
  }

  const toml::table& table_;
  std::string place_;
  std::vector<std::string_view> asked_;  // fields are named by literals
};

inline void keep_spread(Ingredient& ingredient, std::string name, const Figure& figure) {
  if (figure.low < figure.high)
    ingredient.spreads.push_back({std::move(name), figure.low, figure.high, ingredient.source});
}

}  // namespace oddgrist::larder

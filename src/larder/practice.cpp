#include "larder/practice.hpp"

#include <algorithm>
#include <array>

#include <toml++/toml.h>

#include <fmt/format.h>

#include "larder/catalogue.hpp"

namespace oddgrist::larder {
namespace {

constexpr std::array<std::string_view, practice_count> figure_names = {"mash-thickness",
                                                                       "strike-temperature",
                                                                       "rest-temperature",
                                                                       "sugar-share",
                                                                       "malt-per-litre",
                                                                       "roasted-share",
                                                                       "crystal-share",
                                                                       "acidulated-share",
                                                                       "unmalted-share",
                                                                       "grain-share",
                                                                       "enzyme-power",
                                                                       "raw-grain",
                                                                       "hops-boiled",
                                                                       "hops-late",
                                                                       "hops-dry",
                                                                       "alcohol",
                                                                       "bitterness-per-gravity",
                                                                       "attenuation",
                                                                       "sodium",
                                                                       "salts",
                                                                       "dose-by-taste",
                                                                       "dose-by-safety",
                                                                       "yeast-pitch"};
constexpr std::array<std::string_view, 9> row_fields = {"id",    "of",    "name",  "unit",  "assumed",
                                                        "usual", "limit", "means", "source"};

std::string wanted_text(const toml::table& row, std::string_view field, const std::string& place) {
  const auto value = row[field].value_exact<std::string>();
  if (!value || value->empty()) throw CatalogueError(fmt::format("{}: {}: a text is wanted", place, field));
  return *value;
}

PracticeRange range(const toml::table& row, std::string_view field, const std::string& place) {
  PracticeRange result;
  if (!row.contains(field)) return result;
  const toml::table* bounds = row[field].as_table();
  if (bounds != nullptr) {
    result = {(*bounds)["low"].value<double>(), (*bounds)["high"].value<double>()};
    const std::size_t read = (result.low ? 1U : 0U) + (result.high ? 1U : 0U);
    if (read > 0 && read == bounds->size() && !(result.low && result.high && *result.low > *result.high)) return result;
  }
  throw CatalogueError(fmt::format("{}: {}: low, high or both are wanted, as numbers, low first", place, field));
}

PracticeOf figure_named(const std::string& name, const std::string& place) {
  const auto* found = std::find(figure_names.begin(), figure_names.end(), name);
  if (found == figure_names.end()) throw CatalogueError(fmt::format("{}: of: no such figure: {}", place, name));
  return static_cast<PracticeOf>(found - figure_names.begin());
}

PracticeRow read_row(const toml::table& row, const std::string& place) {
  for (const auto& [key, node] : row) {
    if (std::find(row_fields.begin(), row_fields.end(), key.str()) == row_fields.end())
      throw CatalogueError(fmt::format("{}: {}: no such field", place, key.str()));
  }
  PracticeRow result;
  result.id = wanted_text(row, "id", place);
  result.of = figure_named(wanted_text(row, "of", place), place);
  result.name = wanted_text(row, "name", place);
  result.unit = wanted_text(row, "unit", place);
  result.assumed = range(row, "assumed", place);
  result.usual = range(row, "usual", place);
  result.limit = range(row, "limit", place);
  result.means = wanted_text(row, "means", place);
  result.source = wanted_text(row, "source", place);
  const auto passes = [](const std::optional<double>& limit, const std::optional<double>& usual, double sign) {
    return limit && usual && sign * (*usual - *limit) > 0.0;
  };
  if (passes(result.limit.high, result.usual.high, 1.0) || passes(result.limit.low, result.usual.low, -1.0))
    throw CatalogueError(fmt::format("{}: usual: goes past the limit", place));
  return result;
}

}  // namespace

PracticeTable::PracticeTable(const EmbeddedFile& file) {
  toml::table table;
  try {
    table = toml::parse(file.text, file.path);
  } catch (const toml::parse_error& error) {
    throw CatalogueError(fmt::format("{}: line {}: {}", file.path, error.source().begin.line, error.description()));
  }
  const toml::array* rows = table["practice"].as_array();
  if (rows == nullptr || table.size() != 1)
    throw CatalogueError(fmt::format("{}: [[practice]] rows and nothing else are wanted", file.path));
  std::array<int, practice_count> seen{};
  for (const toml::node& node : *rows) {
    if (!node.is_table()) throw CatalogueError(fmt::format("{}: practice: a row is a table", file.path));
    rows_.push_back(read_row(*node.as_table(), fmt::format("{}: line {}", file.path, node.source().begin.line)));
    if (++seen[static_cast<std::size_t>(rows_.back().of)] > 1)
      throw CatalogueError(fmt::format("{}: {}: a figure has one row", file.path, rows_.back().id));
  }
  const auto* missing = std::find(seen.begin(), seen.end(), 0);
  if (missing != seen.end())
    throw CatalogueError(
        fmt::format("{}: no row of {}", file.path, figure_names[static_cast<std::size_t>(missing - seen.begin())]));
}

const PracticeRow& PracticeTable::row(PracticeOf of) const {
  return *std::find_if(rows_.begin(), rows_.end(), [&](const PracticeRow& row) { return row.of == of; });
}

const PracticeTable& practice_table() {
  static const PracticeTable table = [] {
    for (const EmbeddedFile& file : embedded_files())
      if (file.path == "data/practice.toml") return PracticeTable(file);
    throw CatalogueError("data/practice.toml was not built into the program");
  }();
  return table;
}

}  // namespace oddgrist::larder

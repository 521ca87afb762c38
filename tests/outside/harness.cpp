#include "harness.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <optional>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string_view>
#include <utility>

namespace outside {
namespace {

constexpr std::string_view header = "model,input,expected,tolerance,tolerance_kind,source,provenance,note";
constexpr std::size_t column_count = 8;
enum Column : std::size_t { model, input, expected, tolerance, tolerance_kind, source, provenance, note };

constexpr std::array<std::string_view, 4> provenances = {"published", "common practice, no source", "from memory",
                                                         "independent calculator"};

struct Registry {
  std::map<std::string, Model> models;
  std::vector<std::string> twice;
};

// A function's static, because models are added while other files' statics are being made.
Registry& registry() {
  static Registry instance;
  return instance;
}

// Fields of one csv line; a quoted field may hold commas, and "" for a quote. Empty if a quote is left open.
std::optional<std::vector<std::string>> split_csv(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"') {
      fields.back() += '"';
      ++i;
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      fields.emplace_back();
    } else {
      fields.back() += c;
    }
  }
  if (quoted) return std::nullopt;
  return fields;
}

std::optional<double> number(const std::string& text) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::optional<Inputs> read_inputs(const std::string& text) {
  Inputs inputs;
  std::istringstream stream(text);
  std::string pair;
  while (std::getline(stream, pair, ';')) {
    const std::size_t equals = pair.find('=');
    if (equals == std::string::npos || equals == 0) return std::nullopt;
    const auto value = number(pair.substr(equals + 1));
    if (!value || !inputs.emplace(pair.substr(0, equals), *value).second) return std::nullopt;
  }
  return inputs;
}

// Half a unit of the last digit that was printed: 998.21 gives 0.005, 163 gives 0.5, 2.5e-3 gives 0.00005.
double half_last_digit(const std::string& printed) {
  const std::size_t exponent_at = printed.find_first_of("eE");
  const std::string mantissa = printed.substr(0, exponent_at);
  const std::size_t point = mantissa.find('.');
  int last = point == std::string::npos ? 0 : -static_cast<int>(mantissa.size() - point - 1);
  if (exponent_at != std::string::npos) last += static_cast<int>(number(printed.substr(exponent_at + 1)).value_or(0.0));
  return 0.5 * std::pow(10.0, last);
}

// What is wrong with a row's fields, or nothing; fills the row on the way.
std::string fill(Row& row, const std::vector<std::string>& fields) {
  if (fields.size() != column_count) return fmt::format("{} fields, should be {}", fields.size(), column_count);
  row.model = fields[model];
  row.source = fields[source];
  row.provenance = fields[provenance];
  row.note = fields[note];
  if (row.model.empty()) return "no model";
  if (row.source.empty()) return "no source";
  if (std::find(provenances.begin(), provenances.end(), row.provenance) == provenances.end()) {
    return fmt::format("unknown provenance \"{}\"", row.provenance);
  }
  const auto inputs = read_inputs(fields[input]);
  if (!inputs) return fmt::format("cannot read the input \"{}\"", fields[input]);
  const auto value = number(fields[expected]);
  if (!value) return fmt::format("cannot read the expected value \"{}\"", fields[expected]);
  const auto margin = number(fields[tolerance]);
  if (!margin || *margin <= 0.0) return fmt::format("the tolerance \"{}\" is not above 0", fields[tolerance]);
  row.inputs = *inputs;
  row.expected = *value;
  if (fields[tolerance_kind] == "abs") {
    row.tolerance = *margin;
  } else if (fields[tolerance_kind] == "rel") {
    row.tolerance = *margin * std::abs(*value);
  } else {
    return fmt::format("tolerance kind \"{}\" is neither abs nor rel", fields[tolerance_kind]);
  }
  if (row.tolerance <= 0.0) return "a relative tolerance of an expected 0 is no tolerance";
  if (row.note.empty() && row.tolerance > half_last_digit(fields[expected]) * (1.0 + 1e-9)) {
    return "the tolerance is wider than half the last printed digit, and no note says why";
  }
  return {};
}

}  // namespace

bool add(const std::string& name, Model added) {
  const bool is_new = registry().models.emplace(name, std::move(added)).second;
  if (!is_new) registry().twice.push_back(name);
  return is_new;
}

const std::map<std::string, Model>& models() { return registry().models; }
const std::vector<std::string>& names_added_twice() { return registry().twice; }

Table read_text(const std::string& file, const std::string& text) {
  Table table;
  std::istringstream stream(text);
  std::string line;
  for (int number_of_line = 1; std::getline(stream, line); ++number_of_line) {
    const auto refuse = [&](const std::string& why) {
      table.problems.push_back(fmt::format("{}:{}: {}", file, number_of_line, why));
    };
    if (!line.empty() && line.back() == '\r') line.pop_back();
    if (number_of_line == 1) {
      if (line != header) refuse(fmt::format("the header must be {}", header));
      continue;
    }
    if (line.empty()) continue;
    const auto fields = split_csv(line);
    if (!fields) {
      refuse("a quote is left open");
      continue;
    }
    Row row;
    row.file = file;
    row.line = number_of_line;
    const std::string problem = fill(row, *fields);
    if (problem.empty()) {
      table.rows.push_back(std::move(row));
    } else {
      refuse(problem);
    }
  }
  return table;
}

Table read_folder(const std::string& folder) {
  std::set<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() == ".csv") files.insert(entry.path());
  }
  Table all;
  for (const auto& path : files) {
    std::ostringstream text;
    text << std::ifstream(path).rdbuf();
    Table one = read_text(path.filename().string(), text.str());
    all.rows.insert(all.rows.end(), one.rows.begin(), one.rows.end());
    all.problems.insert(all.problems.end(), one.problems.begin(), one.problems.end());
  }
  return all;
}

double error_share(const Row& row) {
  constexpr double never = std::numeric_limits<double>::infinity();
  const auto found = models().find(row.model);
  if (found == models().end()) return never;
  try {
    const double share = std::abs(found->second(row.inputs) - row.expected) / row.tolerance;
    return std::isnan(share) ? never : share;
  } catch (const std::out_of_range&) {  // Inputs::at: the row lacks an input the model asks for
    return never;
  }
}

std::string truth_table(const std::vector<Row>& rows) {
  struct Cell {
    int checks = 0;
    double worst = 0.0;
  };
  std::map<std::array<std::string, 3>, Cell> cells;
  for (const Row& row : rows) {
    Cell& cell = cells[{row.model, row.source, row.provenance}];
    ++cell.checks;
    cell.worst = std::max(cell.worst, error_share(row));
  }
  std::string text = "| model | source | provenance | checks | worst error / tolerance |\n|---|---|---|---|---|\n";
  for (const auto& [key, cell] : cells) {
    text += fmt::format("| {} | {} | {} | {} | {:.2f} |\n", key[0], key[1], key[2], cell.checks, cell.worst);
  }
  return text;
}

std::vector<std::string> without_errors(const std::string& table) {
  std::vector<std::string> lines;
  std::istringstream stream(table);
  std::string line;
  while (std::getline(stream, line)) {
    if (line.rfind("| ", 0) != 0) continue;
    const std::size_t end = line.find_last_not_of("| ");
    lines.push_back(line.substr(0, line.rfind('|', end)));
  }
  return lines;
}

}  // namespace outside

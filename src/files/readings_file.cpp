#include "files/readings_file.hpp"

#include <algorithm>
#include <array>
#include <cctype>

#include <fmt/format.h>

#include "files/text_file.hpp"
#include "files/toml_reader.hpp"
#include "gyle/local_time.hpp"
#include "quantity/parse.hpp"

namespace oddgrist::files {
namespace {

using gyle::Instant;
using gyle::Sight;

enum class Column { time, kind, value, at, error, note };
constexpr std::array<std::string_view, 6> column_names = {"time", "kind", "value", "at", "error", "note"};
constexpr std::string_view header_example = "time,kind,value,at,error,note";
const std::vector<std::string> kinds = {"pitched", "dosed", "gravity", "refraction", "temperature", "ph", "pressure"};

struct Cell {
  std::string text;
  int column = 1;  // in the line, where it begins
};

std::string trimmed(std::string_view text) {
  const auto begin = text.find_first_not_of(" \t\r");
  if (begin == std::string_view::npos) return {};
  return std::string(text.substr(begin, text.find_last_not_of(" \t\r") - begin + 1));
}

std::string lower(std::string text) {
  for (char& letter : text) letter = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
  return text;
}

// Cells between commas; a note may stand in quotation marks if it has one of its own.
std::vector<Cell> cells_of(std::string_view line) {
  std::vector<Cell> cells;
  std::string text;
  bool quoted = false;
  std::size_t begin = 0;
  const auto end_cell = [&](std::size_t next) {
    std::size_t first = begin;
    while (first < line.size() && (line[first] == ' ' || line[first] == '\t')) ++first;
    cells.push_back({trimmed(text), static_cast<int>(first) + 1});
    text.clear();
    begin = next;
  };
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i] == '"') {
      quoted = !quoted;
    } else if (line[i] == ',' && !quoted) {
      end_cell(i + 1);
    } else {
      text += line[i];
    }
  }
  end_cell(line.size());
  return cells;
}

class Reader {
 public:
  Reader(std::string path, Problems& problems) : path_(std::move(path)), problems_(problems) {}

  void read(std::string_view text) {
    bool header_seen = false;
    while (!text.empty()) {
      const auto end = text.find('\n');
      const std::string_view line = text.substr(0, end);
      text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
      ++line_;
      const std::string bare = trimmed(line);
      if (bare.empty() || bare.front() == '#') continue;
      if (!header_seen) {
        header_seen = true;
        if (!read_header(line)) return;
        continue;
      }
      read_row(line);
    }
    if (!header_seen) report(0, "", "there is no line in it but remarks", fmt::format("Begin with {}", header_example));
  }

  ReadingsFile file;

 private:
  bool read_header(std::string_view line) {
    for (const Cell& cell : cells_of(line)) {
      const auto name = std::find(column_names.begin(), column_names.end(), lower(cell.text));
      if (name == column_names.end()) {
        report(cell.column, "", fmt::format("\"{}\" is no column of a table of readings", cell.text),
               fmt::format("The first line names the columns: {}", header_example));
        return false;
      }
      columns_.push_back(static_cast<Column>(name - column_names.begin()));
    }
    for (const Column needed : {Column::time, Column::kind}) {
      if (std::find(columns_.begin(), columns_.end(), needed) != columns_.end()) continue;
      report(1, "", fmt::format("the column \"{}\" is missing", column_names[static_cast<std::size_t>(needed)]),
             fmt::format("The first line names the columns: {}", header_example));
      return false;
    }
    return true;
  }

  void read_row(std::string_view line) {
    const std::vector<Cell> cells = cells_of(line);
    if (cells.size() > columns_.size()) {
      report(cells[columns_.size()].column, "",
             fmt::format("this line has {} cells, the first line {}", cells.size(), columns_.size()),
             "Put a note that has a comma into quotation marks; write decimals with a point");
      return;
    }
    std::array<Cell, column_names.size()> row;
    for (std::size_t i = 0; i < cells.size(); ++i) row[static_cast<std::size_t>(columns_[i])] = cells[i];
    const auto cell = [&](Column column) -> const Cell& { return row[static_cast<std::size_t>(column)]; };
    const auto at = read_time(cell(Column::time));
    const Cell& kind = cell(Column::kind);
    const std::string word = lower(kind.text);
    if (std::find(kinds.begin(), kinds.end(), word) == kinds.end()) {
      const std::string near = nearest_word(word, kinds);
      report(kind.column, "kind", fmt::format("\"{}\" is no kind of reading", kind.text),
             near.empty() ? fmt::format("Write one of {}", fmt::join(kinds, ", "))
                          : fmt::format("Did you mean {}? There are {}", near, fmt::join(kinds, ", ")));
      return;
    }
    if (word == "pitched" || word == "dosed") {
      read_moment(word, at, kind, cell(Column::value));
      return;
    }
    read_reading(word, at, cell(Column::value), cell(Column::at), cell(Column::error));
  }

  void read_moment(const std::string& word, std::optional<Instant> at, const Cell& kind, const Cell& value) {
    std::optional<Instant>& into = word == "pitched" ? file.pitched : file.dosed;
    if (into)
      report(kind.column, "kind", fmt::format("\"{}\" stands here a second time", word), "Keep one of the two lines");
    if (!value.text.empty()) {
      report(value.column, "value", fmt::format("\"{}\" has no value", word), "Leave the cell empty");
    }
    into = at;
  }

  void read_reading(const std::string& word, std::optional<Instant> at, const Cell& value, const Cell& sample,
                    const Cell& error) {
    gyle::TimedReading timed;
    timed.reading.stage = gyle::Stage::fermenter;
    const auto read = read_value(word, value, timed.reading);
    if (!sample.text.empty()) {
      const auto celsius_there = parse<TemperatureKind>(sample.text);
      if (celsius_there) {
        timed.reading.at_celsius = celsius_there.value().in(celsius);
      } else {
        report_parse(sample, "at", celsius_there.error(), "20 °C");
      }
    }
    if (!error.text.empty()) {
      const auto deviation = scan_number(error.text, 0, NumberStyle::point);
      if (deviation && deviation.value().end == error.text.size() && deviation.value().value > 0.0) {
        timed.reading.deviation = deviation.value().value;
      } else {
        report(error.column, "error", fmt::format("\"{}\" is no error of a reading", error.text),
               "Write a plain number above 0 in the scale of the kind: 0.001 for a gravity, 0.2 for a refraction");
      }
    }
    if (!read || !at) return;
    timed.at = *at;
    file.readings.push_back(timed);
    file.lines.push_back(line_);
  }

  bool read_value(const std::string& word, const Cell& value, gyle::Reading& reading) {
    if (value.text.empty()) {
      report(value.column, "value", fmt::format("this {} has no value", word), "Write what the instrument showed");
      return false;
    }
    if (word == "gravity") return gravity(value, reading);
    if (word == "temperature") return quantity<TemperatureKind>(value, celsius, Sight::temperature, "19 °C", reading);
    if (word == "pressure") return quantity<PressureKind>(value, bar, Sight::pressure, "0.4 bar", reading);
    return word == "ph" ? plain(value, Sight::ph, "", "4.3", reading)
                        : plain(value, Sight::refraction, "°Bx", "8.2 °Bx", reading);
  }

  // A bare number is taken as it stands, even one no beer has: the watch asks about it.
  bool gravity(const Cell& value, gyle::Reading& reading) {
    const auto number = scan_number(value.text, 0, NumberStyle::point);
    if (!number || number.value().end != value.text.size()) {
      return quantity<GravityKind>(value, specific_gravity, Sight::gravity, "1.052", reading);
    }
    reading.sight = Sight::gravity;
    reading.value = number.value().value;
    return true;
  }

  template <class Kind>
  bool quantity(const Cell& value, Unit<Kind> unit, Sight sight, std::string_view example, gyle::Reading& reading) {
    const auto parsed = parse<Kind>(value.text);
    if (!parsed) {
      report_parse(value, "value", parsed.error(), example);
      return false;
    }
    reading.sight = sight;
    reading.value = parsed.value().in(unit);
    return true;
  }

  // A number as the instrument shows it, with its unit or none.
  bool plain(const Cell& value, Sight sight, std::string_view unit, std::string_view example, gyle::Reading& reading) {
    const auto number = scan_number(value.text, 0, NumberStyle::point);
    const std::string rest = number ? trimmed(std::string_view(value.text).substr(number.value().end)) : value.text;
    const bool right =
        number && (rest == unit || (sight == Sight::refraction && (lower(rest) == "bx" || lower(rest) == "brix")));
    if (!right) {
      report(value.column, "value", fmt::format("\"{}\" cannot be read", value.text),
             fmt::format("Write for instance {}", example));
      return false;
    }
    reading.sight = sight;
    reading.value = number.value().value;
    return true;
  }

  std::optional<Instant> read_time(const Cell& cell) {
    const auto at = gyle::parse_local_time(cell.text);
    if (!at) {
      report(cell.column, "time", fmt::format("\"{}\" is no time", cell.text),
             "Write the clock on your wall, without a zone, such as 2026-11-25T18:30");
    }
    return at;
  }

  void report_parse(const Cell& cell, std::string_view field, const ParseError& error, std::string_view example) {
    std::string remedy = with_capital(error.hint);
    if (remedy.empty()) remedy = fmt::format("Write for instance {}", example);
    report(cell.column + static_cast<int>(error.offset), field, fmt::format("\"{}\": {}", cell.text, error.message),
           std::move(remedy));
  }

  void report(int column, std::string_view field, std::string what, std::string remedy) {
    problems_.push_back(
        Problem{Place{path_, column > 0 ? line_ : 0, column}, std::string(field), std::move(what), std::move(remedy)});
  }

  std::string path_;
  Problems& problems_;
  std::vector<Column> columns_;
  int line_ = 0;
};

}  // namespace

Result<ReadingsFile> read_readings_text(std::string_view text, const std::string& path) {
  if (auto problem = problem_in_text(text, path)) return *problem;
  Problems problems;
  Reader reader(path, problems);
  reader.read(text);
  if (problems.empty()) return std::move(reader.file);
  sort_by_place(problems);
  return problems;
}

Result<ReadingsFile> read_readings_file(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.problems();
  return read_readings_text(text.value(), path);
}

}  // namespace oddgrist::files

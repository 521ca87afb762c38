#include <algorithm>
#include <vector>

#include <fmt/format.h>

#include "compose/cautions.hpp"
#include "present/run_sheet.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using compose::Caution;
using compose::Severity;

constexpr std::size_t clock_columns = 11;
constexpr std::size_t box_columns = 4;
constexpr std::string_view space_to_write = "______";

// Phases under one heading spare rows on the page.
std::string_view heading(Phase phase) {
  switch (phase) {
    case Phase::water:
    case Phase::mash:
    case Phase::drain: return "Mash";
    case Phase::boil: return "Boil (minutes to go)";
    case Phase::chill:
    case Phase::ferment: return "Chill and ferment";
    case Phase::infuse: return "Infusion, once the first fermentation is over";
    case Phase::package: return "Bottle";
  }
  return "";
}

std::string ruled(std::string_view title) {
  std::string line = "--- " + std::string(title) + " ";
  return line + std::string(sheet_columns - std::min(columns(line), sheet_columns), '-');
}

// Puts a text after `lead`, wrapped; the rows below the first start where the text did.
void put(std::vector<std::string>& rows, const std::string& lead, std::string_view text) {
  const auto lines = wrapped(text, sheet_columns - columns(lead));
  for (std::size_t i = 0; i < lines.size(); ++i)
    rows.push_back((i == 0 ? lead : std::string(columns(lead), ' ')) + lines[i]);
}

// "gravity 1.042 (10.5 °P) read ______". A temperature is known by its unit.
std::string reading_words(const ExpectedReading& reading) {
  const std::string name = reading.what == "temperature" ? "" : reading.what + " ";
  return name + reading.words + " read " + std::string(space_to_write);
}

// The readings of a line, each against the right edge, the first on the row of the action if there is room. A second reading that
// should show the same gets a space beside the first.
void put_readings(std::vector<std::string>& rows, const std::vector<ExpectedReading>& readings) {
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const bool joins = i == 0;
    std::string text = reading_words(readings[i]);
    if (i + 1 < readings.size() && readings[i + 1].words == readings[i].words) {
      text += ' ';
      text += space_to_write;
      ++i;
    }
    if (joins && columns(rows.back()) + 1 + columns(text) <= sheet_columns) {
      rows.back() = padded(rows.back(), sheet_columns - columns(text)) + text;
      continue;
    }
    for (const std::string& row : wrapped(text, sheet_columns))
      rows.push_back(std::string(sheet_columns - columns(row), ' ') + row);
  }
}

std::vector<std::string> day_rows(const std::vector<SheetLine>& lines) {
  std::vector<std::string> rows;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const SheetLine& line = lines[i];
    const bool opens = i == 0 || heading(lines[i - 1].phase) != heading(line.phase);
    if (opens) rows.push_back(ruled(heading(line.phase)));
    const bool same_clock = !opens && lines[i - 1].clock == line.clock;
    put(rows, "[ ] " + padded(same_clock ? "" : line.clock, clock_columns), line.action);
    put_readings(rows, line.expected);
    if (!line.warning.empty()) put(rows, std::string(box_columns, ' ') + "! ", line.warning);
  }
  return rows;
}

std::vector<std::string> head_rows(const compose::Brief& brief, const compose::Proposal& proposal) {
  const Units units(brief.us_units_first);
  const auto& forecast = proposal.forecast;
  const std::string title = "Run sheet: " + (proposal.name.empty() ? brief.name : proposal.name);
  const std::string beer = units.volume(forecast.fermenter_volume_l * litre) + " from " +
                           units.volume(forecast.liquor_l * litre) + " of water; " + fixed(forecast.abv_percent, 1) +
                           " % vol, " + fixed(forecast.bitterness_ibu, 0) + " IBU";
  std::vector<std::string> rows = wrapped(title, sheet_columns);
  for (std::string& line : wrapped(beer, sheet_columns)) rows.push_back(std::move(line));
  rows.push_back("Day _____________  Brewer _____________  Cool gravity samples to " +
                 units.temperature(20.0 * celsius) + ".");
  const std::vector<std::string> unknown = compose::unknown_foods(brief, proposal);
  if (!unknown.empty()) {
    const std::string words = fmt::format("! Not known here, nothing was checked: {}.", fmt::join(unknown, ", "));
    for (std::string& line : wrapped(words, sheet_columns)) rows.push_back(std::move(line));
  }
  for (const std::string& reason : forecast.impossible) {
    for (std::string& line : wrapped("! Cannot be brewed so: " + reason + ".", sheet_columns))
      rows.push_back(std::move(line));
  }
  return rows;
}

std::vector<std::string> caution_rows(const Caution& caution) {
  std::vector<std::string> rows;
  put(rows, caution.severity == Severity::caution ? "! " : "!! ", caution.text);
  return rows;
}

// Dangers whatever they take; cautions while the page holds them, with a row kept for the count of those left out.
std::vector<std::string> cautions_that_fit(const std::vector<Caution>& cautions, std::size_t rows_free) {
  std::vector<std::string> rows;
  std::size_t left_out = 0;
  const auto append = [&](const std::vector<std::string>& more) { rows.insert(rows.end(), more.begin(), more.end()); };
  for (const Caution& caution : cautions) {
    if (caution.severity >= Severity::danger) append(caution_rows(caution));
  }
  for (const Caution& caution : cautions) {
    if (caution.severity >= Severity::danger) continue;
    const auto more = caution_rows(caution);
    if (caution.severity == Severity::caution && rows.size() + more.size() + 1 <= rows_free) {
      append(more);
    } else {
      ++left_out;
    }
  }
  if (left_out > 0)
    rows.push_back("Read the recipe first: " + counted(left_out, "more remark stands", "more remarks stand") +
                   " there.");
  return rows;
}

}  // namespace

std::string run_sheet_text(const compose::Brief& brief, const compose::Proposal& proposal,
                           const std::vector<Caution>& cautions) {
  const std::vector<std::string> head = head_rows(brief, proposal);
  const std::vector<std::string> day = day_rows(run_sheet(brief, proposal));
  const std::size_t taken = head.size() + day.size();
  const std::vector<std::string> warned = cautions_that_fit(cautions, sheet_rows - std::min(taken, sheet_rows));
  std::string text;
  for (const auto* block : {&head, &warned, &day}) {
    for (const std::string& row : *block) text += row + "\n";
  }
  return text;
}

}  // namespace oddgrist::present

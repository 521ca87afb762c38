#include "present/side_by_side.hpp"

#include <algorithm>
#include <vector>

#include <fmt/format.h>

#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using compose::Addition;
using compose::Alternatives;
using compose::Answer;
using compose::Axis;
using compose::Brief;
using compose::Character;
using compose::Proposal;
using compose::Trait;

constexpr std::size_t cell_columns = 12;

struct Row {
  std::string label;
  std::vector<std::string> cells;  // one a recipe
};

struct Column {
  const Proposal* proposal;
  const Character* character;
  double points_more;
};

std::vector<Column> columns_of(const Answer& answer, const Alternatives& alternatives) {
  std::vector<Column> all{{&answer.proposals.front(), &alternatives.first, 0.0}};
  for (const compose::Alternative& other : alternatives.others)
    all.push_back({&other.proposal, &other.character, other.points_more});
  return all;
}

std::string letter(std::size_t column) { return std::string(1, static_cast<char>('A' + column)); }

std::string value_words(const Trait& trait) {
  switch (trait.axis) {
    case Axis::strength: return fixed(trait.value, 1) + " % vol";
    case Axis::body: return fixed(trait.value, 0) + " g/L";
    case Axis::colour: return fixed(trait.value, 0) + " EBC";
    case Axis::bitterness: return fixed(trait.value, 2);
    case Axis::oddment: return fixed(trait.value, 1) + " g/L";
  }
  return {};
}

void character_rows(const std::vector<Column>& all, std::vector<Row>& rows) {
  for (Axis axis : {Axis::strength, Axis::body, Axis::colour, Axis::bitterness, Axis::oddment}) {
    Row numbers{std::string(compose::axis_words(axis).name), {}}, words{"", {}};
    bool any = false;
    for (const Column& column : all) {
      const auto& traits = column.character->traits;
      const auto found = std::find_if(traits.begin(), traits.end(), [&](const Trait& t) { return t.axis == axis; });
      any = any || found != traits.end();
      numbers.cells.push_back(found == traits.end() ? "none" : value_words(*found));
      words.cells.emplace_back(found == traits.end() ? "" : found->word);
    }
    if (!any) continue;
    if (axis == Axis::bitterness) numbers.label += ", IBU a point";
    rows.push_back(std::move(numbers));
    rows.push_back(std::move(words));
  }
}

// "1.85 kg" of "1.85 kg (4 lb 1.4 oz)": there is no room for both.
std::string brewers_own(const std::string& both) { return both.substr(0, both.find(" (")); }

void ingredient_rows(const Brief& brief, const std::vector<Column>& all, std::vector<Row>& rows) {
  const Units units(brief.us_units_first);
  std::vector<std::string> names;  // in the order they first turn up
  for (const Column& column : all) {
    for (const Addition& addition : column.proposal->additions) {
      if (std::find(names.begin(), names.end(), addition.ingredient) == names.end())
        names.push_back(addition.ingredient);
    }
  }
  for (const std::string& name : names) {
    Row row{name, {}};
    for (const Column& column : all) {
      Mass sum = 0.0 * gram;
      for (const Addition& addition : column.proposal->additions) {
        if (addition.ingredient == name) sum = sum + addition.amount;
      }
      row.cells.push_back(sum > 0.0 * gram ? brewers_own(units.mass(sum)) : "-");
    }
    rows.push_back(std::move(row));
  }
}

std::vector<Row> rows_of(const Brief& brief, const std::vector<Column>& all) {
  std::vector<Row> rows;
  character_rows(all, rows);
  ingredient_rows(brief, all, rows);
  Row cost{"cost", {}}, points{"points more", {}};
  bool priced = false;
  for (const Column& column : all) {
    const double each = compose::cost_of(brief, *column.proposal);
    priced = priced || each > 0.0;
    cost.cells.push_back(fixed(each, 2));
    points.cells.push_back(column.proposal == all.front().proposal ? "0" : fmt::format("{:+.2f}", column.points_more));
  }
  if (priced) rows.push_back(std::move(cost));
  rows.push_back(std::move(points));
  return rows;
}

std::string right(const std::string& text, std::size_t width) {
  const std::size_t own = columns(text);
  return own >= width ? text : std::string(width - own, ' ') + text;
}

std::string trimmed(std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  return line + "\n";
}

// The first recipe and the others from `from` to before `to`.
void write_table(std::string& text, const std::vector<Row>& rows, std::size_t from, std::size_t to,
                 std::size_t label_columns) {
  const auto line = [&](const std::string& label, const auto& cell) {
    std::string row = padded(label, label_columns) + right(cell(0), cell_columns);
    for (std::size_t c = from; c < to; ++c) row += right(cell(c), cell_columns);
    text += trimmed(std::move(row));
  };
  line("", letter);
  for (const Row& row : rows) {
    const auto label = wrapped(row.label, label_columns - 1);
    bool empty = row.label.empty() && row.cells.front().empty();
    for (std::size_t c = from; c < to; ++c) empty = empty && row.cells[c].empty();
    if (empty) continue;
    line(label.empty() ? "" : label.front(), [&](std::size_t c) { return row.cells[c]; });
    for (std::size_t l = 1; l < label.size(); ++l) text += trimmed("  " + label[l]);
  }
}

void paragraph(std::string& text, const std::string& lead, const std::string& words, std::size_t width) {
  const auto lines = wrapped(words, width - columns(lead));
  for (std::size_t i = 0; i < lines.size(); ++i)
    text += (i == 0 ? lead : std::string(columns(lead), ' ')) + lines[i] + "\n";
}

}  // namespace

std::string side_by_side_text(const Brief& brief, const Answer& answer, const Alternatives& alternatives,
                              std::size_t table_columns) {
  if (answer.proposals.empty() || answer.outcome == compose::Outcome::refused) return {};
  const std::size_t width = std::max(table_columns, least_table_columns);
  const auto all = columns_of(answer, alternatives);
  std::string text = "\nOther ways, side by side\n";
  if (all.size() > 1) {
    const char* wishes =
        answer.outcome == compose::Outcome::met ? "Each keeps every wish" : "None misses more of the wishes than A";
    paragraph(
        text, "",
        fmt::format(
            "A is the recipe above. {} and is at most {:g} {} worse than A: a wish at the very edge of its range, "
            "instead of well inside, is half a point. The other verbs know B as proposal 2, C as 3.",
            wishes, alternatives.allowance, alternatives.allowance == 1.0 ? "point" : "points"),
        width);
    const std::vector<Row> rows = rows_of(brief, all);
    const std::size_t label = width >= 80 ? 20 : 15;
    const std::size_t others_a_table = std::max<std::size_t>(1, (width - label) / cell_columns - 1);
    for (std::size_t from = 1; from < all.size(); from += others_a_table) {
      text += "\n";
      write_table(text, rows, from, std::min(all.size(), from + others_a_table), label);
    }
  }
  for (std::size_t i = 0; i < alternatives.others.size(); ++i) {
    const compose::Alternative& other = alternatives.others[i];
    text += "\n";
    paragraph(text, letter(i + 1) + "  ", other.proposal.name, width);
    for (const std::string& gain : other.gains) paragraph(text, "   gains: ", gain, width);
    for (const std::string& loss : other.gives_up) paragraph(text, "   gives up: ", loss, width);
    if (other.gains.empty() && other.gives_up.empty())
      paragraph(text, "   ", "Nothing lost by it: a matter of taste.", width);
  }
  const std::string few = compose::why_so_few(alternatives);
  if (!few.empty()) {
    text += "\n";
    paragraph(text, "", few, width);
  }
  return text;
}

}  // namespace oddgrist::present

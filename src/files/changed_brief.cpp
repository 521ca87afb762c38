#include "files/changed_brief.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <vector>

#include "files/brief_file.hpp"
#include "files/toml_reader.hpp"

namespace oddgrist::files {
namespace {

using compose::Brief;
using compose::Measure;
using compose::Must;

// What a value becomes, as it stands in the file.
struct Change {
  std::string table;  // "kit", "want"; "given": the number of the entry stands beside it
  std::size_t entry = 0;
  std::string key;
  std::string value;
};

bool differ(double one, double other) { return std::abs(one - other) > 1e-9 * (1.0 + std::abs(one)); }

std::string quoted(double value, int decimals, std::string_view unit) {
  return fmt::format("\"{:.{}f}{}{}\"", value, decimals, unit.empty() ? "" : " ", unit);
}

// How a wish is written; only those a tasting can move.
struct Written {
  Measure measure;
  std::string_view key, unit;
  int decimals;
};
constexpr Written written_wishes[] = {{Measure::alcohol, "alcohol", "%", 2},
                                      {Measure::final_gravity, "final-gravity", "", 4},
                                      {Measure::bitterness, "bitterness", "IBU", 1},
                                      {Measure::colour, "colour", "EBC", 1}};

void change_wishes(std::vector<Change>& changes, const Brief& before, const Brief& after) {
  for (std::size_t w = 0; w < std::min(before.wishes.size(), after.wishes.size()); ++w) {
    const compose::Wish &was = before.wishes[w], &is = after.wishes[w];
    if (!differ(was.low, is.low) && !differ(was.high, is.high)) continue;
    const auto* const found = std::find_if(std::begin(written_wishes), std::end(written_wishes),
                                           [&](const Written& each) { return each.measure == is.measure; });
    if (found == std::end(written_wishes)) continue;
    changes.push_back({"want", 0, std::string(found->key),
                       fmt::format("[{}, {}]", quoted(is.low, found->decimals, found->unit),
                                   quoted(is.high, found->decimals, found->unit))});
  }
  if (differ(before.carbonation_volumes, after.carbonation_volumes))
    changes.push_back({"want", 0, "carbonation", quoted(after.carbonation_volumes, 2, "vol")});
}

void change_kit(std::vector<Change>& changes, const process::Kit& before, const process::Kit& after) {
  const auto figure = [&](std::string_view key, double was, double is, int decimals, std::string_view unit) {
    if (differ(was, is)) changes.push_back({"kit", 0, std::string(key), quoted(is, decimals, unit)});
  };
  figure("conversion", before.conversion.in(percent), after.conversion.in(percent), 1, "%");
  figure("boil-off", before.boil_off.in(litre_per_hour), after.boil_off.in(litre_per_hour), 3, "L/h");
  figure("grain-holds", before.held_by_grain.in(litre_per_kilogram), after.held_by_grain.in(litre_per_kilogram), 3,
         "L/kg");
  figure("hops-hold", before.held_by_hops.in(litre_per_kilogram), after.held_by_hops.in(litre_per_kilogram), 2, "L/kg");
  figure("kettle-loss", before.kettle_loss.in(litre), after.kettle_loss.in(litre), 3, "L");
  figure("fermenter-loss", before.fermenter_loss.in(litre), after.fermenter_loss.in(litre), 3, "L");
}

std::string must_words(const Must& must) {
  const auto grams = [](Mass mass) { return fmt::format("{:.6g} g", std::floor(mass.in(gram)*10.0 + 1e-6) / 10.0); };
  switch (must.sense) {
    case Must::Sense::all: return "\"all\"";
    case Must::Sense::at_least: return fmt::format("\"at least {}\"", grams(must.low));
    case Must::Sense::at_most: return fmt::format("\"at most {}\"", grams(must.high));
    case Must::Sense::between: return fmt::format("\"{} to {}\"", grams(must.low), grams(must.high));
  }
  return "\"all\"";
}

void change_given(std::vector<Change>& changes, const Brief& before, const Brief& after) {
  for (std::size_t g = 0; g < std::min(before.given.size(), after.given.size()); ++g) {
    const auto &was = before.given[g].must, &is = after.given[g].must;
    if (!was || !is) continue;
    if (was->sense == is->sense && !differ(was->low.in(kilogram), is->low.in(kilogram)) &&
        !differ(was->high.in(kilogram), is->high.in(kilogram)))
      continue;
    changes.push_back({"given", g, "use", must_words(*is)});
  }
}

class Editor {
 public:
  explicit Editor(std::string_view text) : text_(text) {
    lines_.push_back(0);
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (text[i] == '\n') lines_.push_back(i + 1);
    }
  }

  void put(const toml::table& root, const Change& change) {
    const toml::table* table = table_of(root, change);
    if (table == nullptr) {
      std::string& added = added_tables_[change.table];
      added += fmt::format("{} = {}\n", change.key, change.value);
      return;
    }
    if (const toml::node* node = table->get(change.key)) return replace(*node, change.value);
    const std::size_t begin = offset(table->source().begin);
    if (begin < text_.size() && text_[begin] == '{') {
      const std::string comma = table->empty() ? "" : ",";
      return insert(begin + 1, fmt::format(" {} = {}{}", change.key, change.value, comma));
    }
    if (begin < text_.size() && text_[begin] == '[') {
      const std::size_t end = text_.find('\n', begin);
      if (end != std::string_view::npos) return insert(end + 1, fmt::format("{} = {}\n", change.key, change.value));
      return insert(text_.size(), fmt::format("\n{} = {}\n", change.key, change.value));
    }
    insert(0, fmt::format("{}.{} = {}\n", change.table, change.key, change.value));  // kit.boil-off = ...
  }

  [[nodiscard]] std::string text() const {
    std::string out;
    std::size_t from = 0;
    for (const auto& [place, edit] : edits_) {
      out.append(text_.substr(from, place - from)).append(edit.text);
      from = place + edit.length;
    }
    out.append(text_.substr(from));
    for (const auto& [name, lines] : added_tables_) {
      if (!out.empty() && out.back() != '\n') out += '\n';
      out += fmt::format("\n[{}]\n{}", name, lines);
    }
    return out;
  }

 private:
  struct Edit {
    std::size_t length = 0;
    std::string text;
  };

  static const toml::table* table_of(const toml::table& root, const Change& change) {
    if (change.table != "given") return root[change.table].as_table();
    return root["given"][change.entry].as_table();
  }

  // Columns count characters, not bytes.
  [[nodiscard]] std::size_t offset(const toml::source_position& position) const {
    std::size_t at = lines_[std::min<std::size_t>(position.line, lines_.size()) - 1];
    for (toml::source_index column = 1; column < position.column && at < text_.size(); ++column) {
      ++at;
      while (at < text_.size() && (static_cast<unsigned char>(text_[at]) & 0xC0U) == 0x80U) ++at;
    }
    return at;
  }

  void replace(const toml::node& node, const std::string& value) {
    const std::size_t begin = offset(node.source().begin), end = offset(node.source().end);
    edits_[begin] = {end - begin, value};
  }
  void insert(std::size_t place, const std::string& text) { edits_[place].text += text; }

  std::string_view text_;
  std::vector<std::size_t> lines_;
  std::map<std::size_t, Edit> edits_;
  std::map<std::string, std::string> added_tables_;
};

std::vector<Change> changes_between(const Brief& before, const Brief& after) {
  std::vector<Change> changes;
  change_kit(changes, before.kit, after.kit);
  change_wishes(changes, before, after);
  change_given(changes, before, after);
  return changes;
}

// As near as the decimals written.
bool says(const Brief& is, const Brief& meant) {
  const auto near = [](double one, double other, double step) { return std::abs(one - other) <= step; };
  bool same = is.wishes.size() == meant.wishes.size() && is.given.size() == meant.given.size() &&
              near(is.carbonation_volumes, meant.carbonation_volumes, 0.006) &&
              near(is.kit.conversion.in(percent), meant.kit.conversion.in(percent), 0.06) &&
              near(is.kit.boil_off.in(litre_per_hour), meant.kit.boil_off.in(litre_per_hour), 0.006) &&
              near(is.kit.held_by_grain.in(litre_per_kilogram), meant.kit.held_by_grain.in(litre_per_kilogram), 0.006);
  for (std::size_t w = 0; same && w < is.wishes.size(); ++w) {
    const compose::Wish &one = is.wishes[w], &other = meant.wishes[w];
    const double step = one.measure == Measure::final_gravity ? 6e-5 : 0.06;
    same = one.measure == other.measure && near(one.low, other.low, step) && near(one.high, other.high, step);
  }
  for (std::size_t g = 0; same && g < is.given.size(); ++g) {
    const auto &one = is.given[g].must, &other = meant.given[g].must;
    same = !one || !other ||
           (near(one->low.in(gram), other->low.in(gram), 0.11) && near(one->high.in(gram), other->high.in(gram), 0.11));
  }
  return same;
}

}  // namespace

Result<std::string> changed_brief_text(std::string_view text, const Brief& before, const Brief& after) {
  Problems problems;
  const auto root = parse_toml(text, before.file, problems);
  if (!root) return problems;
  Editor editor(text);
  for (const Change& change : changes_between(before, after)) editor.put(*root, change);
  std::string changed = editor.text();
  const auto again = read_brief_text(changed, before.file);
  if (again && says(again.value(), after)) return changed;
  return Problem{Place{before.file, 0, 0}, "", "the changes cannot be written into this brief as it stands",
                 "Make them by hand: oddgrist gyle after GYLE lists them"};
}

}  // namespace oddgrist::files

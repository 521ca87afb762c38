#include "files/brief_file.hpp"

#include <map>

#include "compose/cautions.hpp"
#include "files/item_section.hpp"
#include "files/kit_section.hpp"
#include "files/own_larder.hpp"
#include "files/supply_section.hpp"
#include "files/text_file.hpp"
#include "files/toml_reader.hpp"
#include "files/water_section.hpp"

namespace oddgrist::files {
namespace {

using compose::Brief;
using compose::Supply;

void check_duplicates(const std::vector<Supply>& supplies, std::string_view section,
                      std::map<std::string, std::string>& seen, Problems& problems) {
  for (const Supply& supply : supplies) {
    const auto [before, is_new] =
        seen.emplace(supply.ingredient.id, fmt::format("[[{}]] in line {}", section, supply.place.line));
    if (is_new) continue;
    problems.push_back(Problem{
        supply.place, std::string(section),
        fmt::format("{} is already under {}", supply.ingredient.name, before->second),
        "State it once: the whole amount, and under [[given]] use = \"at least ...\" for the part that must go in"});
  }
}

bool any_yeast(const std::vector<Supply>& supplies) {
  for (const Supply& supply : supplies) {
    if (supply.ingredient.kind == larder::IngredientKind::yeast) return true;
  }
  return false;
}

// Only worth saying when everything else could be read: the missing yeast may be an entry reported already.
void check_yeast(const Brief& brief, Problems& problems) {
  if (!problems.empty() || any_yeast(brief.given) || any_yeast(brief.have)) return;
  problems.push_back(
      Problem{Place{brief.file, 0, 0}, "have", "there is no yeast, and the recipe needs one",
              "Add one, for instance [[have]] with item = \"neutral ale yeast\" and amount = \"11.5 g\""});
}

// There is one side vessel.
void check_steepings(const Brief& brief, Problems& problems) {
  const Supply* first = nullptr;
  for (const auto* supplies : {&brief.given, &brief.have}) {
    for (const Supply& supply : *supplies) {
      if (!supply.steeping) continue;
      if (first == nullptr) first = &supply;
      if (*supply.steeping == *first->steeping) continue;
      problems.push_back(
          Problem{supply.place, "liquor",
                  fmt::format("{} is not steeped as {} is, and there is one vessel for both", supply.ingredient.name,
                              first->ingredient.name),
                  "Give both the same liquor, strength, liquor-per-food and steep, or only one of them"});
    }
  }
}

void check_hop_times(const Brief& brief, Problems& problems) {
  for (const auto* supplies : {&brief.given, &brief.have}) {
    for (const Supply& supply : *supplies) {
      if (supply.hop_times.empty() || supply.hop_times.front() <= brief.kit.boil) continue;
      problems.push_back(
          Problem{supply.place, "times",
                  fmt::format("{} would go in {:.6g} min before the end of a boil of {:.6g} min",
                              supply.ingredient.name, supply.hop_times.front().in(minute), brief.kit.boil.in(minute)),
                  "Shorten the time, or set kit.boil"});
    }
  }
}

Brief read_tables(const toml::table& root, const std::string& path, Problems& problems) {
  Brief brief;
  brief.file = path;
  TableReader top(root, "", path, problems);
  if (const auto name = top.words("name")) brief.name = name->text;
  if (const toml::table* table = top.table("kit")) {
    TableReader kit(*table, "kit", path, problems);
    read_kit(kit, brief);
  }
  if (const toml::table* table = top.table("want")) {
    TableReader want(*table, "want", path, problems);
    read_want(want, brief);
  } else if (!top.has("want")) {
    problems.push_back(Problem{Place{path, 0, 0}, "want.volume",
                               "the brief does not say what is wanted, not even how much beer",
                               "Add a table [want] with at least volume = \"10 L\""});
  }
  OwnItems own = own_items(read_items(top.tables("item"), path, WrongLabel::refuse, problems), problems);
  add_own_larder(own);
  brief.given = read_supplies(top.tables("given"), SupplySense::given, path, own, problems);
  brief.have = read_supplies(top.tables("have"), SupplySense::have, path, own, problems);
  brief.waters = read_waters(top.tables("water"), path, problems);
  top.report_unknown_keys();
  std::map<std::string, std::string> seen;
  check_duplicates(brief.given, "given", seen, problems);
  check_duplicates(brief.have, "have", seen, problems);
  check_hop_times(brief, problems);
  check_steepings(brief, problems);
  check_yeast(brief, problems);
  return brief;
}

// What must never be brewed with is answered before anything else that is wrong with a brief: compose() refuses it and looks no further.
bool holds_poison(const Brief& brief) { return compose::refuses(compose::cautions_of_ingredients(brief)); }

}  // namespace

Result<Brief> read_brief_text(std::string_view text, const std::string& path) {
  Problems problems;
  const auto root = parse_toml(text, path, problems);
  if (!root) return problems;
  Brief brief = read_tables(*root, path, problems);
  if (problems.empty() || holds_poison(brief)) return brief;
  sort_by_place(problems);
  return problems;
}

Result<Brief> read_brief_file(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.problems();
  return read_brief_text(text.value(), path);
}

}  // namespace oddgrist::files

#include "files/round_file.hpp"

#include <algorithm>
#include <limits>
#include <map>

#include "files/item_section.hpp"
#include "files/kit_section.hpp"
#include "files/own_larder.hpp"
#include "files/supply_section.hpp"
#include "files/text_file.hpp"
#include "files/toml_reader.hpp"
#include "files/water_section.hpp"
#include "larder/allergen_names.hpp"
#include "larder/catalogue.hpp"

namespace oddgrist::files {
namespace {

using compose::Supply;
using round::Member;
using round::Round;

constexpr std::size_t most_members = 200;  // hand in hand with round::most_codes

// Everybody the file names. "Bea" and "bea" are one person.
class People {
 public:
  // False if the name is taken.
  bool add(const std::string& name, std::size_t index) {
    spelt_.push_back(name);
    return by_name_.emplace(larder::folded_name(name), index).second;
  }
  [[nodiscard]] std::optional<std::size_t> find(std::string_view name) const {
    const auto found = by_name_.find(larder::folded_name(name));
    return found == by_name_.end() ? std::nullopt : std::optional(found->second);
  }
  [[nodiscard]] std::string remedy(std::string_view name) const {
    const std::string near = nearest_word(name, spelt_);
    return near.empty() ? fmt::format("Known here: {}", fmt::join(spelt_, ", "))
                        : fmt::format("Did you mean \"{}\"?", near);
  }

 private:
  std::map<std::string, std::size_t> by_name_;
  std::vector<std::string> spelt_;
};

constexpr std::size_t has_left = std::numeric_limits<std::size_t>::max();  // a former member: known, but not here

struct Roster {
  People brewers;  // members, and former ones as `has_left`
  People judges;   // members, then guests
};

std::optional<bool> read_flag(TableReader& reader, std::string_view key) {
  const toml::node* node = reader.take(key);
  if (node == nullptr) return std::nullopt;
  if (const auto* flag = node->as_boolean()) return flag->get();
  reader.report(reader.place_of(*node), key,
                fmt::format("{} is {}, but true or false belongs here", reader.field(key), type_words(*node)),
                fmt::format("Write {} = true or {} = false, without quotation marks", key, key));
  return std::nullopt;
}

std::optional<std::uint64_t> read_seed(TableReader& reader, std::string_view key) {
  const toml::node* node = reader.take(key);
  if (node == nullptr) return std::nullopt;
  const auto* number = node->as_integer();
  if (number != nullptr && number->get() >= 0) return static_cast<std::uint64_t>(number->get());
  reader.report(reader.place_of(*node), key, fmt::format("{} is no whole number of 0 or more", reader.field(key)),
                fmt::format("Write for instance {} = 20261125", key));
  return std::nullopt;
}

std::vector<Words> read_texts(TableReader& reader, std::string_view key, std::string_view example) {
  std::vector<Words> texts;
  for (const toml::node* node : reader.list(key)) {
    const auto* text = node->as_string();
    if (text != nullptr && !larder::folded_name(text->get()).empty()) {
      texts.push_back({text->get(), reader.place_of(*node)});
    } else {
      reader.report(reader.place_of(*node), key,
                    fmt::format("an entry of {} is {}, but a text belongs here", reader.field(key), type_words(*node)),
                    fmt::format("Write for instance {} = [\"{}\"]", key, example));
    }
  }
  return texts;
}

void read_head(TableReader& head, Round& into, std::vector<Words>& guests, std::vector<Words>& former) {
  if (const auto name = head.words("name")) into.name = name->text;
  if (const auto flag = read_flag(head, "straight-swaps")) into.straight_swaps = *flag;
  if (const auto flag = read_flag(head, "only-sound")) into.only_sound = *flag;
  into.draw_seed = read_seed(head, "draw-seed");
  into.code_seed = read_seed(head, "code-seed");
  guests = read_texts(head, "guests", "Nell");
  former = read_texts(head, "former", "Otto");
  head.report_unknown_keys();
}

// The reader of supplies calls them given[1], have[1]; here they belong to somebody.
std::vector<Supply> read_belongings(TableReader& member, std::string_view key, SupplySense sense,
                                    const std::string& file, const OwnItems& own) {
  Problems found;
  std::vector<Supply> supplies = read_supplies(member.tables(key), sense, file, own, found);
  const std::string_view theirs = sense == SupplySense::given ? "given[" : "have[";
  const std::string ours = member.field(key) + "[";
  for (Problem& problem : found) {
    for (std::string* text : {&problem.field, &problem.what}) {
      if (const auto at = text->find(theirs); at != std::string::npos) text->replace(at, theirs.size(), ours);
    }
    member.problems().push_back(std::move(problem));
  }
  for (std::size_t i = 0; i < supplies.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (supplies[j].ingredient.id != supplies[i].ingredient.id) continue;
      member.report(supplies[i].place, key,
                    fmt::format("{} is already in line {}", supplies[i].ingredient.name, supplies[j].place.line),
                    "State it once, with the whole amount");
    }
  }
  return supplies;
}

void read_allergens(TableReader& reader, Member& member) {
  for (const Words& word : read_texts(reader, "cannot-handle", "tree-nut")) {
    if (const auto allergen = larder::allergen_named(word.text)) {
      member.cannot_handle.push_back(*allergen);
      continue;
    }
    reader.report(word.place, "cannot-handle",
                  fmt::format("{}: \"{}\" is none of the fourteen allergens", reader.field("cannot-handle"), word.text),
                  fmt::format("Known: {}", fmt::join(larder::allergen_names, ", ")));
  }
}

void choose_kit(TableReader& reader, const std::vector<process::Kit>& kits, Member& member) {
  const auto kit = reader.words("kit");
  if (!kit) {
    if (!reader.has("kit") && kits.size() > 1)
      reader.report(reader.place(), "kit", fmt::format("{} does not say which kit it is", reader.path()),
                    "Add kit = \"...\" with the name of one of the [[kit]] entries");
    return;
  }
  std::vector<std::string> names;
  for (std::size_t i = 0; i < kits.size(); ++i) {
    names.push_back(kits[i].name);
    if (larder::folded_name(kits[i].name) == larder::folded_name(kit->text)) {
      member.kit = i;
      return;
    }
  }
  reader.report(kit->place, "kit",
                fmt::format("{} is \"{}\", and no [[kit]] has that name", reader.field("kit"), kit->text),
                fmt::format("Known: {}", fmt::join(names, ", ")));
}

Member read_member(TableReader& reader, const std::string& file, const OwnItems& own, const Round& so_far) {
  Member member;
  member.place = reader.place();
  if (const auto name = reader.words("name")) member.name = name->text;
  if (!reader.has("name"))
    reader.report(reader.place(), "name", fmt::format("{} has no name", reader.path()), "Add name = \"...\"");
  choose_kit(reader, so_far.kits, member);
  read_allergens(reader, member);
  if (!reader.has("parcel"))
    reader.report(reader.place(), "parcel", fmt::format("{} leaves no parcel", reader.path()),
                  "Add at least one [[member.parcel]] with item and amount");
  member.parcel = read_belongings(reader, "parcel", SupplySense::given, file, own);
  member.pantry = read_belongings(reader, "have", SupplySense::have, file, own);
  reader.report_unknown_keys();
  return member;
}

bool has_yeast(const std::vector<Supply>& supplies) {
  return std::any_of(supplies.begin(), supplies.end(),
                     [](const Supply& supply) { return supply.ingredient.kind == larder::IngredientKind::yeast; });
}

// A parcel need not hold a yeast, so everybody needs one of their own.
void check_yeast(const Round& read, Problems& problems) {
  if (!problems.empty() || has_yeast(read.pantry)) return;
  for (const Member& member : read.members) {
    if (has_yeast(member.pantry)) continue;
    problems.push_back(Problem{member.place, "have", fmt::format("{} has no yeast", member.name),
                               "Add [[have]] with item = \"neutral ale yeast\" for everybody, or [[member.have]]"});
  }
}

void read_kits(TableReader& top, const std::string& file, Round& into) {
  const auto entries = top.tables("kit");
  for (std::size_t i = 0; i < entries.size(); ++i) {
    TableReader kit(*entries[i], fmt::format("kit[{}]", i + 1), file, top.problems());
    compose::Brief holder;
    read_kit(kit, holder);
    const auto same = [&](const process::Kit& other) {
      return larder::folded_name(other.name) == larder::folded_name(holder.kit.name);
    };
    if (std::any_of(into.kits.begin(), into.kits.end(), same))
      kit.report(kit.place(), "name", fmt::format("a [[kit]] named \"{}\" is defined twice", holder.kit.name),
                 "Give each its own name");
    into.kits.push_back(holder.kit);
  }
  if (into.kits.empty()) into.kits.emplace_back();
}

void read_members(TableReader& top, const std::string& file, const OwnItems& own, Round& into) {
  const auto entries = top.tables("member");
  for (std::size_t i = 0; i < entries.size() && i <= most_members; ++i) {
    TableReader reader(*entries[i], fmt::format("member[{}]", i + 1), file, top.problems());
    into.members.push_back(read_member(reader, file, own, into));
  }
  if (entries.size() < 2 || entries.size() > most_members)
    top.report(Place{file, 0, 0}, "member",
               fmt::format("a round needs from 2 to {} members, and this one has {}", most_members, entries.size()),
               "Add a [[member]] for each who leaves a parcel");
  if (entries.size() == 2 && !into.straight_swaps)
    top.report(Place{file, 0, 0}, "round.straight-swaps", "two members can only swap straight",
               "Leave out straight-swaps = false, or find a third member");
}

Roster roster_of(Round& read, const std::vector<Words>& guests, const std::vector<Words>& former, Problems& problems) {
  Roster roster;
  const auto twice = [&](const Place& place, std::string_view name) {
    problems.push_back(
        Problem{place, "name", fmt::format("\"{}\" is named twice", name), "Tell the two apart, or leave one out"});
  };
  for (std::size_t m = 0; m < read.members.size(); ++m) {
    const Member& member = read.members[m];
    if (member.name.empty()) continue;
    if (!roster.brewers.add(member.name, m)) twice(member.place, member.name);
    roster.judges.add(member.name, m);
  }
  for (const Words& guest : guests) {
    if (!roster.judges.add(guest.text, read.members.size() + read.guests.size())) twice(guest.place, guest.text);
    read.guests.push_back(guest.text);
  }
  for (const Words& gone : former) {
    if (!roster.brewers.add(gone.text, has_left)) twice(gone.place, gone.text);
  }
  return roster;
}

// Every key of the table in the order of the file.
std::vector<std::string> keys_of(const toml::table& table) {
  std::vector<std::pair<toml::source_position, std::string>> keys;
  for (const auto& [key, node] : table) keys.emplace_back(key.source().begin, std::string(key.str()));
  std::sort(keys.begin(), keys.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<std::string> names;
  for (auto& key : keys) names.push_back(std::move(key.second));
  return names;
}

// brewer = "giver", one line a pair; reported and left out if it cannot be.
std::vector<std::pair<round::Pair, Place>> read_pairs(const toml::table& table, TableReader& reader,
                                                      const People& brewers) {
  std::vector<std::pair<round::Pair, Place>> pairs;
  for (const std::string& name : keys_of(table)) {
    const Place place = reader.place_of(name);
    const auto giver_name = reader.words(name);
    const auto brewer = brewers.find(name);
    const auto giver = giver_name ? brewers.find(giver_name->text) : std::nullopt;
    if (!brewer)
      reader.report(place, name, fmt::format("\"{}\" brewed, but is no member", name),
                    brewers.remedy(name) + ". Who has left is named in round.former");
    if (giver_name && !giver)
      reader.report(giver_name->place, name, fmt::format("the parcel of \"{}\", who is no member", giver_name->text),
                    brewers.remedy(giver_name->text) + ". Who has left is named in round.former");
    if (!brewer || !giver) continue;
    const auto same = [&](const auto& other) {
      return (*brewer != has_left && other.first.brewer == *brewer) ||
             (*giver != has_left && other.first.giver == *giver);
    };
    if (std::any_of(pairs.begin(), pairs.end(), same) || (*brewer == *giver && *brewer != has_left)) {
      reader.report(place, name, fmt::format("{} with the parcel of {} cannot be", name, giver_name->text),
                    "Everybody brews once, each parcel is brewed once, and nobody gets their own");
      continue;
    }
    pairs.push_back({round::Pair{*brewer, *giver}, place});
  }
  return pairs;
}

void read_past(TableReader& top, const std::string& file, const People& brewers, Round& into) {
  const auto entries = top.tables("past");
  for (std::size_t i = 0; i < entries.size(); ++i) {
    TableReader reader(*entries[i], fmt::format("past[{}]", i + 1), file, top.problems());
    round::PastDraw past;
    past.name = fmt::format("draw {}", i + 1);
    if (const auto name = reader.words("name")) past.name = name->text;
    if (const toml::table* table = reader.table("brewed")) {
      TableReader brewed(*table, reader.field("brewed"), file, top.problems());
      for (const auto& [pair, place] : read_pairs(*table, brewed, brewers)) {
        if (pair.brewer != has_left && pair.giver != has_left) past.pairs.push_back(pair);
      }
    } else if (!reader.has("brewed")) {
      reader.report(reader.place(), "brewed", fmt::format("{} does not say who brewed whose parcel", reader.path()),
                    "Add [past.brewed] with a line for each: Bea = \"Ida\"");
    }
    reader.report_unknown_keys();
    into.past.push_back(std::move(past));
  }
}

void read_drawn(TableReader& top, const std::string& file, const People& brewers, Round& into) {
  const toml::table* table = top.table("drawn");
  if (table == nullptr) return;
  TableReader drawn(*table, "drawn", file, top.problems());
  const std::size_t problems_before = top.problems().size();
  std::vector<std::size_t> giver_of(into.members.size(), has_left);
  for (const auto& [pair, place] : read_pairs(*table, drawn, brewers)) {
    if (pair.brewer == has_left || pair.giver == has_left) {
      drawn.report(place, "", "somebody of this draw has left the round", "Draw again without them");
    } else {
      giver_of[pair.brewer] = pair.giver;
    }
  }
  if (top.problems().size() > problems_before) return;
  for (std::size_t m = 0; m < giver_of.size(); ++m) {
    if (giver_of[m] != has_left) continue;
    drawn.report(drawn.place(), "", fmt::format("{} is missing in [drawn]", into.members[m].name),
                 "Copy all the lines that oddgrist round draw printed");
  }
  into.drawn = std::move(giver_of);
}

void read_criteria(TableReader& top, const std::string& file, Round& into) {
  const auto entries = top.tables("criterion");
  for (std::size_t i = 0; i < entries.size(); ++i) {
    TableReader reader(*entries[i], fmt::format("criterion[{}]", i + 1), file, top.problems());
    round::Criterion criterion;
    if (const auto name = reader.words("name")) criterion.name = name->text;
    if (!reader.has("name"))
      reader.report(reader.place(), "name", fmt::format("{} has no name", reader.path()), "Add name = \"clean\"");
    const auto same = [&](const round::Criterion& other) { return other.name == criterion.name; };
    if (std::any_of(into.criteria.begin(), into.criteria.end(), same))
      reader.report(reader.place(), "name", fmt::format("a [[criterion]] named \"{}\" is there twice", criterion.name),
                    "Give each its own name");
    if (const auto weight = reader.number("weight", 0.1, 100.0, "from 0.1 to 100")) criterion.weight = *weight;
    reader.report_unknown_keys();
    into.criteria.push_back(std::move(criterion));
  }
}

constexpr std::string_view mark_words = "from 0 to 10";

// A code as round sheets prints it.
bool looks_like_code(std::string_view word) {
  return word.size() == 3 && std::all_of(word.begin(), word.end(), [](char c) { return c >= 'A' && c <= 'Z'; });
}

void read_marks(TableReader& scores, const std::string& key, const std::string& file, const Round& so_far,
                round::Sheet& sheet) {
  if (so_far.criteria.empty()) {
    sheet.marks = {scores.number(key, 0.0, round::highest_mark, mark_words)};
    return;
  }
  const toml::table* table = scores.table(key);
  if (table == nullptr) return;
  TableReader marks(*table, scores.field(key), file, scores.problems());
  for (const round::Criterion& criterion : so_far.criteria)
    sheet.marks.push_back(marks.number(criterion.name, 0.0, round::highest_mark, mark_words));
  marks.report_unknown_keys();
}

void read_sheets(TableReader& top, const std::string& file, const Roster& roster, Round& into) {
  const auto entries = top.tables("sheet");
  for (std::size_t i = 0; i < entries.size(); ++i) {
    TableReader reader(*entries[i], fmt::format("sheet[{}]", i + 1), file, top.problems());
    const auto name = reader.words("judge");
    const auto judge = name ? roster.judges.find(name->text) : std::nullopt;
    if (!name && !reader.has("judge"))
      reader.report(reader.place(), "judge", fmt::format("{} does not say who judged", reader.path()),
                    "Add judge = \"...\"");
    if (name && !judge)
      reader.report(name->place, "judge", fmt::format("\"{}\" is neither a member nor a guest", name->text),
                    roster.judges.remedy(name->text));
    const toml::table* table = reader.table("scores");
    reader.report_unknown_keys();
    if (table == nullptr) {
      if (!reader.has("scores"))
        reader.report(reader.place(), "scores", fmt::format("{} has no scores", reader.path()),
                      "Add [sheet.scores] with a line for each beer, or leave the sheet out");
      continue;
    }
    TableReader scores(*table, reader.field("scores"), file, top.problems());
    for (const std::string& key : keys_of(*table)) {
      round::Sheet sheet;
      sheet.judge = judge.value_or(0);
      sheet.place = scores.place_of(key);
      const auto brewer = roster.brewers.find(key);
      if (brewer && *brewer != has_left) {
        sheet.brewer = *brewer;
      } else if (looks_like_code(key)) {
        sheet.code = key;
      } else {
        scores.report(sheet.place, key, fmt::format("\"{}\" is neither the code of a beer nor a member", key),
                      roster.brewers.remedy(key) + " A code is three capital letters");
      }
      read_marks(scores, key, file, into, sheet);
      into.sheets.push_back(std::move(sheet));
    }
  }
}

Round read_tables(const toml::table& root, const std::string& path, Problems& problems) {
  Round read;
  read.file = path;
  TableReader top(root, "", path, problems);
  std::vector<Words> guests, former;
  if (const toml::table* table = top.table("round")) {
    TableReader head(*table, "round", path, problems);
    read_head(head, read, guests, former);
  }
  OwnItems own = own_items(read_items(top.tables("item"), path, WrongLabel::refuse, problems), problems);
  add_own_larder(own);
  read_kits(top, path, read);
  read.pantry = read_belongings(top, "have", SupplySense::have, path, own);
  read.waters = read_waters(top.tables("water"), path, problems);
  read_members(top, path, own, read);
  const Roster roster = roster_of(read, guests, former, problems);
  read_past(top, path, roster.brewers, read);
  read_drawn(top, path, roster.brewers, read);
  read_criteria(top, path, read);
  read_sheets(top, path, roster, read);
  const std::size_t before = problems.size();
  top.report_unknown_keys();
  for (std::size_t i = before; i < problems.size(); ++i) {
    constexpr std::string_view brief = "the brief has";
    if (const auto at = problems[i].what.rfind(brief); at != std::string::npos)
      problems[i].what.replace(at, brief.size(), "a round has");
  }
  check_yeast(read, problems);
  return read;
}

}  // namespace

Result<Round> read_round_text(std::string_view text, const std::string& path) {
  Problems problems;
  const auto root = parse_toml(text, path, problems);
  if (!root) return problems;
  Round read = read_tables(*root, path, problems);
  if (problems.empty()) return read;
  sort_by_place(problems);
  return problems;
}

Result<Round> read_round_file(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.problems();
  return read_round_text(text.value(), path);
}

}  // namespace oddgrist::files

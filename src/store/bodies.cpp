#include "store/bodies.hpp"

#include <algorithm>
#include <array>
#include <span>
#include <type_traits>

#include <fmt/format.h>

#include "files/event_json.hpp"
#include "files/recipe_json.hpp"

namespace oddgrist::store {
namespace {

using files::Json;
using files::JsonReader;
using Blank = JsonReader::Blank;

constexpr std::size_t longest_name = 200;
constexpr double heaviest_kg = 1e6;

// In the order of the variants.
constexpr std::array<std::string_view, std::variant_size_v<StockWhat>> stock_kinds = {
    "took-in", "used", "counted", "opened", "best-before", "struck"};
constexpr std::array<std::string_view, std::variant_size_v<KitWhat>> kit_kinds = {"stated", "struck"};
constexpr std::array<std::string_view, std::variant_size_v<BriefWhat>> brief_kinds = {"brief", "proposal", "note",
                                                                                      "struck"};

std::optional<std::size_t> kind_number(std::string_view kind, std::span<const std::string_view> kinds,
                                       JsonReader& reader) {
  const auto found = std::find(kinds.begin(), kinds.end(), kind);
  if (found != kinds.end()) return static_cast<std::size_t>(found - kinds.begin());
  reader.problems().push_back(files::Problem{reader.place(), "kind",
                                             fmt::format("\"{}\" is no kind of entry here", kind),
                                             fmt::format("It must be one of {}", fmt::join(kinds, ", "))});
  return std::nullopt;
}

Json body(const TookIn& took) {
  Json json{{"ingredient", took.ingredient}, {"kg", took.kg}};
  if (took.best_before) json["best_before"] = files::day_text(*took.best_before);
  if (!took.remark.empty()) json["remark"] = took.remark;
  return json;
}
Json body(const Used& used) {
  Json json{{"ingredient", used.ingredient}, {"kg", used.kg}};
  if (!used.gyle.empty()) json["gyle"] = used.gyle;
  if (!used.entry.empty()) json["entry"] = used.entry;
  return json;
}
Json body(const Counted& counted) { return Json{{"ingredient", counted.ingredient}, {"kg", counted.kg}}; }
Json body(const Opened& opened) { return Json{{"ingredient", opened.ingredient}, {"on", files::day_text(opened.on)}}; }
Json body(const BestBefore& best) { return Json{{"ingredient", best.ingredient}, {"day", files::day_text(best.day)}}; }
Json body(const gyle::Struck& struck) { return Json{{"why", struck.why}}; }
Json body(const gyle::Note& note) { return Json{{"text", note.text}}; }
Json body(const KeptBrief& brief) { return Json{{"name", brief.name}, {"text", brief.text}}; }
Json body(const KeptProposal& proposal) {
  return Json{{"name", proposal.name}, {"recipe", files::recipe_json(proposal.recipe)}};
}

// A figure of the kit, in its base unit. Reading and writing both follow the one table below.
struct Figure {
  std::string_view key;
  double (*get)(const process::Kit&);
  void (*set)(process::Kit&, double);
  double low;
  double high;
  std::string_view words;
};

template <class Kind>
double plain(Quantity<Kind> value) {
  return value.in(Unit<Kind>{});
}
double plain(double value) { return value; }

template <auto member>
constexpr Figure figure(std::string_view key, double low, double high, std::string_view words) {
  return {key,
          [](const process::Kit& kit) { return plain(kit.*member); },
          [](process::Kit& kit, double value) {
            using Value = std::remove_cvref_t<decltype(kit.*member)>;
            if constexpr (std::is_same_v<Value, double>)
              kit.*member = value;
            else
              kit.*member = Value::from(value, {});
          },
          low,
          high,
          words};
}

constexpr std::string_view litres = "litres from 0 to 100,000";
constexpr std::string_view minutes = "minutes from 0 to 1,440";
constexpr std::string_view share = "a share from 0 to 1";
constexpr std::string_view degrees = "degrees Celsius from -40 to 150";
constexpr std::string_view held = "litres per kilogram from 0 to 100";

const std::array figures = {
    figure<&process::Kit::kettle>("kettle_l", 0.0, 1e5, litres),
    figure<&process::Kit::fermenter>("fermenter_l", 0.0, 1e5, litres),
    figure<&process::Kit::kettle_headspace>("kettle_headspace_share", 0.0, 1.0, share),
    figure<&process::Kit::boil_off>("boil_off_l_per_h", 0.0, 1e4, "litres per hour from 0 to 10,000"),
    figure<&process::Kit::boil>("boil_min", 0.0, 1440.0, minutes),
    figure<&process::Kit::rest>("rest_min", 0.0, 1440.0, minutes),
    figure<&process::Kit::hot_stand>("hot_stand_min", 0.0, 1440.0, minutes),
    figure<&process::Kit::hot_stand_at>("hot_stand_at_c", -40.0, 150.0, degrees),
    figure<&process::Kit::flame_out_to_cold>("flame_out_to_cold_min", 0.0, 1440.0, minutes),
    figure<&process::Kit::held_by_grain>("held_by_grain_l_per_kg", 0.0, 100.0, held),
    figure<&process::Kit::held_by_hops>("held_by_hops_l_per_kg", 0.0, 100.0, held),
    figure<&process::Kit::conversion>("conversion_share", 0.0, 1.0, share),
    figure<&process::Kit::kettle_loss>("kettle_loss_l", 0.0, 1e5, litres),
    figure<&process::Kit::fermenter_loss>("fermenter_loss_l", 0.0, 1e5, litres),
    figure<&process::Kit::kettle_heat_kj_per_k>("kettle_heat_kj_per_k", 0.0, 1e5, "kJ/K from 0 to 100,000"),
    figure<&process::Kit::sparge>("sparge_l", 0.0, 1e5, litres),
    figure<&process::Kit::room>("room_c", -40.0, 150.0, degrees),
    figure<&process::Kit::boiling_point>("boiling_point_c", -40.0, 150.0, degrees)};

constexpr files::WordsFor<process::MashMethod, 2> mash_words = {
    {{"full-volume-bag", process::MashMethod::full_volume_bag}, {"sparged", process::MashMethod::sparged}}};

Json body(const process::Kit& kit) {
  Json json{{"name", kit.name}, {"mash_method", files::word_for(mash_words, kit.mash_method)}};
  for (const Figure& one : figures) json[std::string(one.key)] = one.get(kit);
  return json;
}

// A figure that is not stated is the usual one, so that what an older oddgrist wrote stays readable.
process::Kit read_stated_kit(JsonReader& reader) {
  process::Kit kit;
  kit.name = reader.text("name", longest_name, Blank::refused);
  kit.mash_method = reader.word("mash_method", mash_words);
  for (const Figure& one : figures) {
    if (const auto value = reader.number_if_any(one.key, one.low, one.high, one.words)) one.set(kit, *value);
  }
  return kit;
}

std::optional<Day> read_day(JsonReader& reader, std::string_view key, Blank blank) {
  const std::string text = reader.text(key, 40, blank);
  if (text.empty()) return std::nullopt;
  const auto day = files::day_of(text);
  if (!day) reader.report(key, fmt::format("{} is \"{}\"", reader.field(key), text), "Write a day like 2027-03-31");
  return day;
}

gyle::Struck read_struck(JsonReader& reader) { return {reader.text("why", files::longest_event_text, Blank::allowed)}; }

StockWhat read_stock_what(std::size_t kind, JsonReader& reader) {
  if (kind == 5) return read_struck(reader);
  const std::string ingredient = reader.text("ingredient", longest_name, Blank::refused);
  switch (kind) {
    case 0: {
      TookIn took{ingredient, reader.number("kg", 0.0, heaviest_kg, "kilograms from 0 to 1,000,000"), {}, {}};
      took.best_before = read_day(reader, "best_before", Blank::allowed);
      took.remark = reader.text("remark", 2000, Blank::allowed);
      return took;
    }
    case 1: {
      Used used{ingredient,
                reader.number("kg", -heaviest_kg, heaviest_kg, "kilograms; below zero what was put back"),
                {},
                {}};
      used.gyle = reader.text("gyle", longest_name, Blank::allowed);
      used.entry = reader.text("entry", longest_name, Blank::allowed);
      return used;
    }
    case 2: return Counted{ingredient, reader.number("kg", 0.0, heaviest_kg, "kilograms from 0 to 1,000,000")};
    case 3: return Opened{ingredient, read_day(reader, "on", Blank::refused).value_or(Day{})};
    default: return BestBefore{ingredient, read_day(reader, "day", Blank::refused).value_or(Day{})};
  }
}

BriefWhat read_brief_what(std::size_t kind, JsonReader& reader) {
  switch (kind) {
    case 0: {
      KeptBrief brief;
      brief.name = reader.text("name", longest_name, Blank::allowed);
      brief.text = reader.text("text", files::longest_event_text, Blank::refused);
      return brief;
    }
    case 1: {
      KeptProposal proposal;
      proposal.name = reader.text("name", longest_name, Blank::allowed);
      JsonReader recipe = reader.object("recipe");
      proposal.recipe = files::read_recipe(recipe);
      return proposal;
    }
    case 2: return gyle::Note{reader.text("text", files::longest_event_text, Blank::refused)};
    default: return read_struck(reader);
  }
}

template <class What>
Json body_of(const What& what) {
  return std::visit([](const auto& one) { return body(one); }, what);
}

}  // namespace

files::Json body_json(const StockWhat& what) { return body_of(what); }
files::Json body_json(const KitWhat& what) { return body_of(what); }
files::Json body_json(const BriefWhat& what) { return body_of(what); }

std::string_view kind_of(const StockWhat& what) { return stock_kinds[what.index()]; }
std::string_view kind_of(const KitWhat& what) { return kit_kinds[what.index()]; }
std::string_view kind_of(const BriefWhat& what) { return brief_kinds[what.index()]; }

std::optional<StockWhat> read_stock(std::string_view kind, JsonReader& reader) {
  const auto number = kind_number(kind, stock_kinds, reader);
  if (!number) return std::nullopt;
  StockWhat what = read_stock_what(*number, reader);
  reader.report_unknown_keys();
  return what;
}

std::optional<KitWhat> read_kit(std::string_view kind, JsonReader& reader) {
  const auto number = kind_number(kind, kit_kinds, reader);
  if (!number) return std::nullopt;
  KitWhat what;
  if (*number == 0)
    what = read_stated_kit(reader);
  else
    what = read_struck(reader);
  reader.report_unknown_keys();
  return what;
}

std::optional<BriefWhat> read_brief(std::string_view kind, JsonReader& reader) {
  const auto number = kind_number(kind, brief_kinds, reader);
  if (!number) return std::nullopt;
  BriefWhat what = read_brief_what(*number, reader);
  reader.report_unknown_keys();
  return what;
}

}  // namespace oddgrist::store

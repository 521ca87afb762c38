#include "files/supply_section.hpp"

#include <algorithm>

#include "files/item_section.hpp"
#include "files/overrides.hpp"
#include "larder/catalogue.hpp"
#include "larder/hazards.hpp"

namespace oddgrist::files {
namespace {

using compose::Must;
using compose::Route;
using compose::Supply;
using larder::IngredientKind;

// More than any club brews; above it a unit has slipped. Nothing is not an amount.
constexpr Limits<MassKind> amount_limits{1e-6 * kilogram, 5000.0 * kilogram, "more than 0 g and at most 5000 kg"};

std::string either_of(const std::vector<std::string>& names) {
  std::string list;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (i > 0) list += i + 1 == names.size() ? " or " : ", ";
    list += '"' + names[i] + '"';
  }
  return list;
}

std::vector<std::string> near_names(std::string_view words, const OwnItems& own) {
  std::vector<std::string> names;
  std::vector<std::string> own_names;
  for (const auto& [name, item] : own) own_names.push_back(name);
  if (const std::string mine = nearest_word(words, own_names); !mine.empty()) names.push_back(mine);
  for (const std::string& id : larder::catalogue().nearest(words, 3)) {
    const larder::Ingredient* found = larder::catalogue().find(id);
    if (found != nullptr && names.size() < 3) names.push_back(found->name);
  }
  return names;
}

// Null when unknown (reported) or defined wrongly (reported where it is defined). What must not be brewed with comes back whatever else is
// wrong with it, so that the answer can say why.
std::optional<larder::Ingredient> find_ingredient(TableReader& entry, const OwnItems& own) {
  const auto item = entry.words("item");
  if (!item) {
    if (!entry.has("item")) {
      entry.report(entry.place(), "item", fmt::format("{} does not say which ingredient it is", entry.path()),
                   "Add a line item = \"...\"");
    }
    return std::nullopt;
  }
  if (larder::is_refused(larder::hazards_named(item->text))) return bare_ingredient(item->text, "");
  if (const auto mine = own.find(larder::folded_name(item->text)); mine != own.end()) return mine->second;
  if (const larder::Ingredient* known = larder::catalogue().find(item->text)) {
    larder::Ingredient found = *known;
    found.also_called = {item->text};  // "raw milk" may have been found as milk
    return found;
  }
  const std::vector<std::string> near = near_names(item->text, own);
  entry.report(item->place, "item",
               fmt::format("{} is \"{}\", which is not known here: nothing was checked. It is neither in the catalogue "
                           "nor defined in an [[item]]",
                           entry.field("item"), item->text),
               near.empty()
                   ? std::string("Nothing here is near to it. Define it in an [[item]], from its packet or "
                                 "like something in the catalogue")
                   : fmt::format("Did you mean {}? If not, define it in an [[item]] from its packet", either_of(near)));
  return std::nullopt;
}

std::optional<Mass> must_amount(TableReader& entry, const Words& use, std::string_view text) {
  const auto parsed = parse<MassKind>(text);
  if (!parsed) {
    entry.report(use.place, "use", fmt::format("{} \"{}\": {}", entry.field("use"), use.text, parsed.error().message),
                 "Write \"all\", \"at least 20 g\", \"at most 60 g\" or \"20 g to 60 g\"");
    return std::nullopt;
  }
  if (!(parsed.value() >= 0.0 * kilogram)) {
    entry.report(use.place, "use", fmt::format("{} \"{}\" asks for less than nothing", entry.field("use"), use.text),
                 "Use an amount of 0 g or more");
    return std::nullopt;
  }
  return parsed.value();
}

// "all" | "at least 20 g" | "at most 60 g" | "20 g to 60 g"
std::optional<Must> read_must(TableReader& entry, std::optional<Mass> amount) {
  const auto use = entry.words("use");
  Must must;
  if (!use) {
    if (amount) must.low = must.high = *amount;
    return must;
  }
  const std::string_view text = use->text;
  const auto to_at = text.find(" to ");
  if (text == "all") {
    if (amount) must.low = must.high = *amount;
  } else if (text.starts_with("at least ")) {
    const auto low = must_amount(entry, *use, text.substr(9));
    if (!low) return std::nullopt;
    must = Must{Must::Sense::at_least, *low, amount.value_or(*low)};
  } else if (text.starts_with("at most ")) {
    const auto high = must_amount(entry, *use, text.substr(8));
    if (!high) return std::nullopt;
    must = Must{Must::Sense::at_most, 0.0 * kilogram, *high};
  } else if (to_at != std::string_view::npos) {
    const auto low = must_amount(entry, *use, text.substr(0, to_at));
    const auto high = must_amount(entry, *use, text.substr(to_at + 4));
    if (!low || !high) return std::nullopt;
    must = Must{Must::Sense::between, *low, *high};
  } else {
    entry.report(use->place, "use", fmt::format("{} is \"{}\"", entry.field("use"), text),
                 "Write \"all\", \"at least 20 g\", \"at most 60 g\" or \"20 g to 60 g\"");
    return std::nullopt;
  }
  if (must.sense == Must::Sense::between && must.low > must.high) {
    entry.report(use->place, "use",
                 fmt::format("{} \"{}\" runs from a higher amount to a lower one", entry.field("use"), text),
                 "Write the lowest first, then the highest");
    return std::nullopt;
  }
  const Mass asked = must.sense == Must::Sense::at_least ? must.low : must.high;
  if (amount && asked > *amount) {
    entry.report(use->place, "use",
                 fmt::format("{} \"{}\" asks for more than the amount there is", entry.field("use"), text),
                 fmt::format("There are {:.6g} g; ask for less or correct the amount", amount->in(gram)));
    return std::nullopt;
  }
  return must;
}

std::optional<Route> read_route(TableReader& entry) {
  const auto route = entry.words("route");
  if (!route) return std::nullopt;
  constexpr std::pair<std::string_view, Route> routes[] = {{"mash", Route::mash},
                                                           {"boil", Route::boil},
                                                           {"flame-out", Route::flame_out},
                                                           {"fermenter", Route::fermenter},
                                                           {"infusion", Route::infusion}};
  for (const auto& [name, meaning] : routes) {
    if (route->text == name) return meaning;
  }
  entry.report(route->place, "route", fmt::format("{} is \"{}\"", entry.field("route"), route->text),
               "Write \"mash\", \"boil\", \"flame-out\", \"fermenter\" or \"infusion\"");
  return std::nullopt;
}

// Spirit of less strength does not keep; of more, nobody sells it as a drink (common practice, no source).
constexpr Limits<FractionKind> strength_limits{15.0 * percent, 96.0 * percent, "from 15 % to 96 % by volume"};
constexpr Limits<VolumePerMassKind> liquor_limits{0.5 * litre_per_kilogram, 50.0 * litre_per_kilogram,
                                                  "from 0.5 L/kg to 50 L/kg"};
// A food left longer in water spoils before it is dosed (common practice, no source).
constexpr Limits<DurationKind> steep_in_water{1.0 * minute, 24.0 * hour, "from 1 min to 24 h in water"};
constexpr Limits<DurationKind> steep_in_spirit{1.0 * minute, 90.0 * day, "from 1 min to 90 days in spirit"};

bool wants_spirit(TableReader& entry) {
  const auto liquor = entry.words("liquor");
  if (!liquor || liquor->text == "water") {
    if (entry.has("strength")) {
      entry.report(entry.place_of("strength"), "strength",
                   fmt::format("{} is given, but what it steeps in is water", entry.field("strength")),
                   "Add liquor = \"spirit\", or leave the strength out");
    }
    return false;
  }
  if (liquor->text != "spirit") {
    entry.report(liquor->place, "liquor", fmt::format("{} is \"{}\"", entry.field("liquor"), liquor->text),
                 "Write \"water\" or \"spirit\"");
    return false;
  }
  if (!entry.has("strength")) {
    entry.report(liquor->place, "strength", fmt::format("{} does not say how strong the spirit is", entry.path()),
                 "Add strength = \"40 %\", as its label has it");
  }
  return true;
}

// What it steeps in, how much of that, how long; none if the entry says nothing of it.
std::optional<process::Steeping> read_steeping(TableReader& entry, std::optional<Route> route) {
  constexpr std::string_view keys[] = {"liquor", "strength", "liquor-per-food", "steep"};
  const auto* said =
      std::find_if(std::begin(keys), std::end(keys), [&](std::string_view key) { return entry.has(key); });
  if (said == std::end(keys)) return std::nullopt;
  if (route != Route::infusion) {
    entry.report(entry.place_of(*said), *said, fmt::format("{} is only for what is steeped", entry.field(*said)),
                 "Add route = \"infusion\", or leave it out");
  }
  process::Steeping steeping;
  const bool spirit = wants_spirit(entry);
  steeping.minutes = spirit ? 7.0 * 1440.0 : steeping.minutes;  // a week: common practice, no source
  if (const auto strength = entry.quantity("strength", strength_limits, "40 %"); strength && spirit)
    steeping.liquor_alcohol_volume_fraction = strength->in(ratio);
  if (const auto per_food = entry.quantity("liquor-per-food", liquor_limits, "3 L/kg"))
    steeping.liquor_l_per_kg_food = per_food->in(litre_per_kilogram);
  if (const auto time =
          entry.quantity("steep", spirit ? steep_in_spirit : steep_in_water, spirit ? "7 days" : "30 min"))
    steeping.minutes = time->in(minute);
  return steeping;
}

void read_times(TableReader& entry, const larder::Ingredient* ingredient, Supply& supply) {
  const Limits<DurationKind> limits{0.0 * minute, 300.0 * minute, "from 0 min to 300 min"};
  for (const toml::node* node : entry.list("times")) {
    if (const auto time = entry.quantity_of<DurationKind>(*node, "times", limits, "60 min"))
      supply.hop_times.push_back(*time);
  }
  if (entry.has("times") && ingredient != nullptr && ingredient->kind != IngredientKind::hop) {
    entry.report(entry.place_of("times"), "times",
                 fmt::format("{}: only hops are added at several times", entry.field("times")),
                 "Leave it out; use route for the moment of anything else");
  }
  std::sort(supply.hop_times.begin(), supply.hop_times.end(), std::greater<>());
}

// open = true: there is a bag or jar of it that has been opened.
bool read_open(TableReader& entry, SupplySense sense, bool has_amount) {
  const toml::node* node = entry.take("open");
  if (node == nullptr) return false;
  const auto* open = node->as_boolean();
  if (open == nullptr) {
    entry.report(entry.place_of(*node), "open", fmt::format("{} is neither true nor false", entry.field("open")),
                 "Write open = true, without quotation marks, or leave it out");
    return false;
  }
  if (!open->get()) return false;
  if (sense == SupplySense::given) {
    entry.report(entry.place_of("open"), "open",
                 fmt::format("{} is only for what is in the house", entry.field("open")),
                 "Leave it out; use says how much of something given must go in");
  } else if (!has_amount) {
    entry.report(entry.place_of("open"), "open", fmt::format("{} does not say how much is left of it", entry.path()),
                 "Add a line amount = \"350 g\"");
  }
  return true;
}

std::optional<Supply> read_supply(TableReader& entry, SupplySense sense, const OwnItems& own) {
  Supply supply;
  supply.place = entry.place();
  std::optional<larder::Ingredient> ingredient = find_ingredient(entry, own);
  supply.amount = entry.quantity<MassKind>("amount", amount_limits, "350 g");
  if (sense == SupplySense::given) {
    if (!entry.has("amount")) {
      entry.report(entry.place(), "amount", fmt::format("{} does not say how much there is", entry.path()),
                   "Add a line amount = \"350 g\"");
    }
    supply.must = read_must(entry, supply.amount);
  }
  supply.packet = entry.quantity<MassKind>("packet", amount_limits, "1 kg");
  supply.route = read_route(entry);
  supply.steeping = read_steeping(entry, supply.route);
  read_times(entry, ingredient ? &*ingredient : nullptr, supply);
  if (const auto cost = entry.number("cost", 0.0, 1e6, "0 or more, for one kilogram")) supply.cost_per_kg = *cost;
  supply.open = read_open(entry, sense, supply.amount.has_value());
  read_overrides(entry, ingredient ? &*ingredient : nullptr);
  entry.report_unknown_keys();
  if (!ingredient) return std::nullopt;
  supply.ingredient = std::move(*ingredient);
  return supply;
}

}  // namespace

std::vector<Supply> read_supplies(const std::vector<const toml::table*>& entries, SupplySense sense,
                                  const std::string& file, const OwnItems& own, Problems& problems) {
  std::vector<Supply> supplies;
  const std::string_view name = sense == SupplySense::given ? "given" : "have";
  for (std::size_t i = 0; i < entries.size(); ++i) {
    TableReader entry(*entries[i], fmt::format("{}[{}]", name, i + 1), file, problems);
    if (auto supply = read_supply(entry, sense, own)) supplies.push_back(std::move(*supply));
  }
  return supplies;
}

}  // namespace oddgrist::files

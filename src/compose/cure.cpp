#include "compose/cure.hpp"

#include <array>
#include <cmath>

#include <fmt/format.h>

namespace oddgrist::compose {
namespace {

// What is least is tried first; the rest is room for weighing and for what else moves with it.
constexpr std::array<double, 4> tries = {1.0, 1.1, 1.3, 1.7};

// A mass as one would weigh it, rounded away from nothing missing.
double weighable_kg(double kg, bool up) {
  const double step = kg < 0.01 ? 5e-4 : kg < 0.1 ? 1e-3 : kg < 1.0 ? 5e-3 : kg < 20.0 ? 0.05 : 1.0;
  const double steps = kg / step;
  return step * (up ? std::ceil(steps - 1e-9) : std::floor(steps + 1e-9));
}

std::string grams(double kg) { return fmt::format("{:.10g} g", std::round(1e4 * kg) / 10.0); }
Mass mass_of(double kg) { return std::round(1e4 * kg) / 10.0 * gram; }

struct WishKey {
  const char* key;
  const char* unit;
  int decimals;
  bool plain;  // a bare number in the file
};

WishKey key_of(Measure measure) {
  switch (measure) {
    case Measure::volume: return {"volume", " L", 1, false};
    case Measure::original_gravity: return {"original-gravity", "", 3, false};
    case Measure::final_gravity: return {"final-gravity", "", 3, false};
    case Measure::alcohol: return {"alcohol", " %", 1, false};
    case Measure::bitterness: return {"bitterness", " IBU", 0, false};
    case Measure::colour: return {"colour", " EBC", 0, false};
    case Measure::mash_ph: return {"mash-ph", "", 2, true};
    case Measure::calcium: return {"calcium", " mg/L", 0, false};
    case Measure::magnesium: return {"magnesium", " mg/L", 0, false};
    case Measure::sodium: return {"sodium", " mg/L", 0, false};
    case Measure::chloride: return {"chloride", " mg/L", 0, false};
    case Measure::sulphate: return {"sulphate", " mg/L", 0, false};
  }
  return {"", "", 0, false};
}

// Where a supply stands in the brief: "given[1]", as messages about the file say it, and its place among them.
struct Standing {
  std::string key;
  bool given = false;
  std::size_t index = 0;
};

std::optional<Standing> standing_of(const Brief& brief, const Supply& supply) {
  for (const bool given : {true, false}) {
    const std::vector<Supply>& list = given ? brief.given : brief.have;
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (&list[i] == &supply) return Standing{fmt::format("{}[{}]", given ? "given" : "have", i + 1), given, i};
    }
  }
  return std::nullopt;
}

// A changed brief, and the words for the change.
struct Attempt {
  Brief brief;
  Cure cure;
};

void say(Cure& cure, const std::string& words) { cure.words += (cure.words.empty() ? "" : " and ") + words; }

bool loosen_wish(Attempt& attempt, const Member& member, Miss miss) {
  Wish& wish = attempt.brief.wishes[member.index];
  const WishKey key = key_of(wish.measure);
  const double unit = std::pow(10.0, -(key.decimals + (wish.measure == Measure::volume && wish.high < 4.0 ? 1 : 0)));
  const auto range = [&] {
    const char* form = key.plain ? "[{:.10g}, {:.10g}]" : "[\"{:.10g}{}\", \"{:.10g}{}\"]";
    return key.plain ? fmt::format(fmt::runtime(form), wish.low, wish.high)
                     : fmt::format(fmt::runtime(form), wish.low, key.unit, wish.high, key.unit);
  };
  const std::string from = range();
  const auto rounded = [&](double steps) { return std::round(steps) / std::round(1.0 / unit); };
  if (miss.below)
    wish.low = rounded(std::floor((wish.low - miss.size) / unit + 1e-6));
  else
    wish.high = rounded(std::ceil((wish.high + miss.size) / unit - 1e-6));
  const bool positive = wish.measure == Measure::volume ? wish.low > 0.0 : wish.low >= 0.0;
  if (!positive) return false;
  attempt.cure.changes.push_back({std::string("want.") + key.key, from, range(), false});
  say(attempt.cure, fmt::format("let {} be {}", measure_name(wish.measure),
                                measure_words(wish.measure, miss.below ? wish.low : wish.high)));
  return true;
}

bool loosen_must(Attempt& attempt, const Brief& brief, const Supply& supply, Miss miss) {
  const auto standing = standing_of(brief, supply);
  if (!standing || !standing->given) return false;
  Supply& changed = attempt.brief.given[standing->index];
  Must& must = *changed.must;
  const double low = must.low.in(kilogram), high = must.high.in(kilogram);
  const double edge =
      miss.below ? weighable_kg(std::max(0.0, low - miss.size), false) : weighable_kg(high + miss.size, true);
  if (!miss.below && (!supply.amount || edge > supply.amount->in(kilogram))) return false;  // there is no more of it
  const auto use = [&](const Must& each) -> std::string {
    const double from = each.low.in(kilogram), to = each.high.in(kilogram);
    switch (each.sense) {
      case Must::Sense::all: return "all";
      case Must::Sense::at_least: return "at least " + grams(from);
      case Must::Sense::at_most: return "at most " + grams(to);
      case Must::Sense::between: return grams(from) + " to " + grams(to);
    }
    return "";
  };
  const std::string from = use(must);
  if (miss.below) {
    must.low = mass_of(edge);
    if (must.sense != Must::Sense::at_least) must.sense = edge > 0.0 ? Must::Sense::between : Must::Sense::at_most;
  } else {
    must.high = mass_of(edge);
    if (must.sense == Must::Sense::all) return false;
  }
  attempt.cure.changes.push_back({standing->key + ".use", from, use(must), true});
  say(attempt.cure, fmt::format("use no more than {} of {}", mass_words(edge), supply.ingredient.name));
  if (!miss.below) attempt.cure.words = fmt::format("use up to {} of {}", mass_words(edge), supply.ingredient.name);
  return true;
}

bool loosen_stock(Attempt& attempt, const Brief& brief, const Supply& supply, Miss miss) {
  const auto standing = standing_of(brief, supply);
  if (!standing || !supply.amount) return false;
  Supply& changed = (standing->given ? attempt.brief.given : attempt.brief.have)[standing->index];
  const double more = weighable_kg(miss.size, true), kg = supply.amount->in(kilogram) + more;
  changed.amount = mass_of(kg);
  attempt.cure.changes.push_back({standing->key + ".amount", grams(supply.amount->in(kilogram)), grams(kg), true});
  say(attempt.cure, fmt::format("get {} more of {}", mass_words(more), supply.ingredient.name));
  return true;
}

bool loosen_kit(Attempt& attempt, const Member& member, Miss miss) {
  process::Kit& kit = attempt.brief.kit;
  const bool kettle = member.kind == Member::Kind::kettle;
  Volume& vessel = kettle ? kit.kettle : kit.fermenter;
  const double share = kettle ? 1.0 - kit.kettle_headspace.in(ratio) : 0.85;
  const double now = vessel.in(litre), step = now < 10.0 ? 0.1 : now < 100.0 ? 0.5 : 5.0;
  const double larger = step * std::ceil((now + miss.size / share) / step - 1e-6);
  vessel = std::round(larger * 10.0) / 10.0 * litre;
  attempt.cure.changes.push_back({kettle ? "kit.kettle" : "kit.fermenter", fmt::format("{:.10g} L", now),
                                  fmt::format("{:.10g} L", vessel.in(litre)), true});
  say(attempt.cure, fmt::format("a {} of {:.10g} L", kettle ? "kettle" : "fermenter", vessel.in(litre)));
  return true;
}

bool loosen_count(Attempt& attempt, const Member& member, Miss miss) {
  const bool malts = member.kind == Member::Kind::most_malts;
  int& most = malts ? attempt.brief.most_malts : attempt.brief.most_hops;
  const int more = static_cast<int>(std::ceil(miss.size - 1e-6)), from = most;
  most += more;
  attempt.cure.changes.push_back(
      {malts ? "want.most-malts" : "want.most-hops", std::to_string(from), std::to_string(most), false});
  say(attempt.cure, fmt::format("allow {} more {}{}", more, malts ? "malt or grain" : "hop", more > 1 ? "s" : ""));
  return true;
}

bool loosen_water(Attempt& attempt, const Member& member, Miss miss) {
  Water& water = attempt.brief.waters[member.index];
  const double from = water.amount->in(litre), to = std::ceil(10.0 * (from + miss.size) - 1e-6) / 10.0;
  water.amount = to * litre;
  attempt.cure.changes.push_back({fmt::format("water[{}].amount", member.index + 1), fmt::format("{:.10g} L", from),
                                  fmt::format("{:.10g} L", to), true});
  say(attempt.cure, fmt::format("have {:.10g} L of {}", to, water.name));
  return true;
}

bool loosen(Attempt& attempt, const Brief& brief, const Unknowns& unknowns, const Member& member, Miss miss) {
  switch (member.kind) {
    case Member::Kind::wish: return loosen_wish(attempt, member, miss);
    case Member::Kind::must: return loosen_must(attempt, brief, *unknowns.supplies[member.index], miss);
    case Member::Kind::stock: return loosen_stock(attempt, brief, *unknowns.supplies[member.index], miss);
    case Member::Kind::water: return loosen_water(attempt, member, miss);
    case Member::Kind::kettle:
    case Member::Kind::fermenter: return loosen_kit(attempt, member, miss);
    case Member::Kind::most_malts:
    case Member::Kind::most_hops: return loosen_count(attempt, member, miss);
    default: return false;  // what brewers keep to is no matter of choice
  }
}

}  // namespace

std::optional<Cure> proved_cure(const Brief& brief, const Unknowns& unknowns,
                                const std::vector<std::pair<Member, Miss>>& members, const IsMet& is_met) {
  for (const double times : tries) {
    Attempt attempt{brief, {}};
    for (const auto& [member, miss] : members) {
      if (!loosen(attempt, brief, unknowns, member, {times * miss.size, miss.below})) return std::nullopt;
    }
    if (!attempt.cure.changes.empty() && is_met(attempt.brief)) return attempt.cure;
  }
  return std::nullopt;
}

std::optional<Cure> proved_cure(const Brief& brief, const Unknowns& unknowns, const Member& member, Miss miss,
                                const IsMet& is_met) {
  return proved_cure(brief, unknowns, {{member, miss}}, is_met);
}

}  // namespace oddgrist::compose

#include "present/why.hpp"

#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "present/recipe.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using compose::LeftOut;
using compose::OneMore;
using compose::Reasons;
using compose::Route;

constexpr std::size_t most_names = 6;       // of one group
constexpr double more_than_a_price = 10.0;  // points: a demand broken, not an edge neared

void paragraph(std::string& text, const std::string& lead, const std::string& words) {
  const auto lines = wrapped(words, recipe_columns - columns(lead));
  for (std::size_t i = 0; i < lines.size(); ++i)
    text += (i == 0 ? lead : std::string(columns(lead), ' ')) + lines[i] + "\n";
}

// "+0.24 % vol alcohol"; nothing if it prints as nothing.
void say_change(std::string& list, double change, int decimals, std::string_view unit, std::string_view what) {
  if (std::abs(change) < 0.5 * std::pow(10.0, -decimals)) return;
  list +=
      fmt::format("{}{} {:+.{}f}{}{}", list.empty() ? "" : ", ", what, change, decimals, unit.empty() ? "" : " ", unit);
}

std::string moment_words(const OneMore& more) {
  switch (more.route) {
    case Route::mash: return "";
    case Route::boil: return fmt::format(" at {:.0f} minutes", more.minutes_before_boil_end);
    case Route::flame_out: return " at flame-out";
    case Route::fermenter: return " in the fermenter";
    case Route::infusion: return " in the infusion";
  }
  return "";
}

std::string one_more_words(const OneMore& more, const Units& units) {
  std::string changes;
  say_change(changes, more.original_gravity_sg, 4, "", "gravity");
  say_change(changes, more.abv_percent, 2, "% vol", "alcohol");
  say_change(changes, more.bitterness_ibu, 1, "IBU", "bitterness");
  say_change(changes, more.colour_ebc, 1, "EBC", "colour");
  say_change(changes, more.mash_ph, 2, "", "mash pH");
  say_change(changes, more.volume_l, 2, "L", "volume");
  std::string words = units.mass(more.step_kg * kilogram) + " more " + more.ingredient + moment_words(more) + ": " +
                      (changes.empty() ? "hardly anything" : changes);
  if (more.hurts.empty()) return words + ".";
  return words + (more.points >= more_than_a_price ? fmt::format("; it would break \"{}\".", more.hurts)
                                                   : fmt::format("; {} suffers first.", more.hurts));
}

std::string_view cause_words(LeftOut::Cause cause) {
  switch (cause) {
    case LeftOut::Cause::no_worse: return "As good";
    case LeftOut::Cause::not_needed: return "Not needed";
    case LeftOut::Cause::hurts: return "In the way";
    case LeftOut::Cause::limit: return "No room";
    case LeftOut::Cause::money: return "Too dear";
  }
  return "";
}

struct Group {
  LeftOut::Cause cause;
  std::string reason;
  std::vector<std::string> names;
};

std::vector<Group> grouped(const std::vector<LeftOut>& left_out) {
  std::vector<Group> groups;
  for (const LeftOut& out : left_out) {
    Group* home = nullptr;
    for (Group& group : groups) {
      if (group.cause == out.cause && group.reason == out.reason) home = &group;
    }
    if (home == nullptr) home = &groups.emplace_back(Group{out.cause, out.reason, {}});
    home->names.push_back(out.ingredient);
  }
  return groups;
}

std::string names_words(const std::vector<std::string>& names) {
  std::string list;
  for (std::size_t i = 0; i < names.size() && i < most_names; ++i) list += (i == 0 ? "" : "; ") + names[i];
  if (names.size() > most_names) list += fmt::format("; and {} more", names.size() - most_names);
  return list;
}

}  // namespace

std::string why_text(const compose::Brief& brief, const Reasons& reasons) {
  const Units units(brief.us_units_first);
  std::string text;
  if (!reasons.one_more.empty()) {
    text += "\nWhat a little more would do, everything else as it is\n";
    for (const OneMore& more : reasons.one_more) paragraph(text, "  - ", one_more_words(more, units));
  }
  if (!reasons.left_out.empty()) {
    text += "\nWhat was left out\n";
    for (const Group& group : grouped(reasons.left_out))
      paragraph(text, "  - ",
                fmt::format("{}: {}: {}.", cause_words(group.cause), names_words(group.names), group.reason));
  }
  return text;
}

}  // namespace oddgrist::present

#include "present/round.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "larder/allergen_names.hpp"
#include "present/words.hpp"
#include "round/codes.hpp"

namespace oddgrist::present {
namespace {

using round::BarKind;
using round::BarTable;
using round::Pair;
using round::Round;

constexpr std::size_t page_columns = 84;

void paragraph(std::string& text, std::string_view words, std::string_view indent = "") {
  for (const std::string& line : wrapped(words, page_columns - indent.size()))
    text += std::string(indent) + line + "\n";
}

// "Bea", "Bea and Cal", "Bea, Cal and Dot"
std::string joined(const std::vector<std::string>& names) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i)
    text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return text;
}

std::string names_of(const Round& round, const std::vector<std::size_t>& members) {
  std::vector<std::string> names;
  for (std::size_t member : members) names.push_back(round.members[member].name);
  return joined(names);
}

std::string title_of(const Round& round) { return round.name.empty() ? "The round" : round.name; }

void parcel_safety(std::string& text) {
  text += '\n';
  paragraph(text,
            "! Allergens: bars rest on what the packets declare and on what each member said. Read every packet for "
            "traces as well, pass the labels on with the parcel, and write the allergens on every bottle you hand on.");
  paragraph(text,
            "! The list of hazards is incomplete: a parcel called sound is not proved safe. Whoever opens it looks, "
            "smells and asks the giver when in doubt.");
}

void sharing_safety(std::string& text) {
  paragraph(text,
            "! Beer given away or sent falls under the law of both places and the carrier's rules; many carriers "
            "refuse alcohol. Hand bottles over in person where you can. Not for minors, nobody who tastes drives, and "
            "sips are enough.");
}

std::string parcel_words(const round::Member& giver) {
  std::vector<std::string> items;
  const Units units(false);
  for (const compose::Supply& supply : giver.parcel) {
    items.push_back(supply.amount ? fmt::format("{} {}", supply.ingredient.name, units.mass(*supply.amount))
                                  : supply.ingredient.name);
  }
  return joined(items);
}

std::string finding_words(const round::Finding& finding) {
  const std::string beer = fmt::format("{:.3g} L of {:.1f} % vol, {:.0f} IBU, final gravity {:.3f}", finding.volume_l,
                                       finding.abv_percent, finding.bitterness_ibu, finding.final_gravity_sg);
  std::string reasons;
  for (const std::string& reason : finding.reasons) reasons += (reasons.empty() ? "" : "; ") + reason;
  switch (finding.verdict) {
    case round::Verdict::sound: return "sound, for instance " + beer;
    case round::Verdict::nearly: return "only nearly, " + beer + ": " + reasons;
    case round::Verdict::beyond_kit: return "more than the kit can do: " + reasons;
    case round::Verdict::refused: return "REFUSED, nobody may brew with it: " + reasons;
  }
  return {};
}

void bars_section(std::string& text, const Round& round, const BarTable& bars) {
  text += "\nWho may not get whose parcel\n";
  bool any = false;
  for (std::size_t brewer = 0; brewer < bars.of.size(); ++brewer) {
    for (std::size_t giver = 0; giver < bars.of.size(); ++giver) {
      for (const round::Bar& bar : bars.of[brewer][giver]) {
        if (bar.kind == BarKind::own_parcel) continue;
        any = true;
        paragraph(text,
                  fmt::format("{} not {}'s: {}", round.members[brewer].name, round.members[giver].name,
                              bar_words(round, {brewer, giver}, bar)),
                  "  ");
      }
    }
  }
  if (!any) text += "  only their own\n";
}

void obstacle_section(std::string& text, const Round& round, const BarTable& bars, const round::Obstacle& obstacle) {
  paragraph(text, obstacle_words(round, obstacle) + ".");
  for (std::size_t member : obstacle.members) {
    for (std::size_t other = 0; other < round.members.size(); ++other) {
      const Pair pair = obstacle.of_brewers ? Pair{member, other} : Pair{other, member};
      const auto& before = bars.of[pair.brewer][pair.giver];
      if (before.empty() || before.front().kind == BarKind::own_parcel) continue;
      paragraph(text,
                fmt::format("{} not {}'s: {}", round.members[pair.brewer].name, round.members[pair.giver].name,
                            bar_words(round, pair, before.front())),
                "  ");
    }
  }
  if (!obstacle.smallest)
    paragraph(text, "With so many members not every set was tried: a smaller one may stand in the way as well.");
  text += "The least that would cure it:\n";
  for (const round::Lift& lift : round::least_cure(bars)) {
    for (const round::Bar& bar : lift.bars) paragraph(text, cure_words(round, lift.pair, bar) + ".", "  ");
  }
}

std::string evenness_words(const round::Draw& draw, bool straight_swaps) {
  switch (draw.evenness) {
    case round::Evenness::counted:
      if (straight_swaps)
        return fmt::format("Drawn from {} with the same chance for each.",
                           counted(static_cast<std::size_t>(draw.ways.value_or(0)), "possible draw", "possible draws"));
      return "Every possible draw without a straight swap had the same chance.";
    case round::Evenness::tried: return "Every possible draw had the same chance.";
    case round::Evenness::improvised:
      return "The bars are so many that the draw could not be made even: it breaks none, but some draws were likelier "
             "than others.";
  }
  return {};
}

std::string toml_key(const std::string& name) {
  std::string quoted = "\"";
  for (char c : name) {
    if (c == '"' || c == '\\') quoted += '\\';
    quoted += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
  }
  return quoted + "\"";
}

}  // namespace

std::string bar_words(const Round& round, const Pair& pair, const round::Bar& bar) {
  const std::string& brewer = round.members[pair.brewer].name;
  switch (bar.kind) {
    case BarKind::own_parcel: return "it is their own";
    case BarKind::drawn_before: return fmt::format("they brewed with it in {} already", bar.detail);
    case BarKind::not_sound: return "it makes a beer only nearly: " + bar.detail;
    case BarKind::beyond_kit: return "it is more than their kit can do: " + bar.detail;
    case BarKind::allergen: return fmt::format("it holds {}, which {} cannot handle", bar.detail, brewer);
    case BarKind::unsafe: return "nobody may brew with it: " + bar.detail;
  }
  return {};
}

std::string cure_words(const Round& round, const Pair& pair, const round::Bar& bar) {
  const std::string& brewer = round.members[pair.brewer].name;
  const std::string& giver = round.members[pair.giver].name;
  switch (bar.kind) {
    case BarKind::own_parcel: return "nothing: nobody brews with their own";
    case BarKind::drawn_before:
      return fmt::format("{} takes a parcel of {} a second time this season: strike that line of {} out", brewer, giver,
                         bar.detail);
    case BarKind::not_sound:
      return fmt::format("{} takes {}'s parcel though it makes a beer only nearly, or {} packs it anew", brewer, giver,
                         giver);
    case BarKind::beyond_kit:
      return fmt::format("{} packs less, or {} borrows a larger kit for {}'s parcel", giver, brewer, giver);
    case BarKind::allergen:
      return fmt::format("{} packs anew, without {}, so that {} can have it", giver, bar.detail, brewer);
    case BarKind::unsafe: return fmt::format("{} packs anew, without what is unsafe", giver);
  }
  return {};
}

std::string obstacle_words(const Round& round, const round::Obstacle& obstacle) {
  const std::string who = names_of(round, obstacle.members), reach = names_of(round, obstacle.reach);
  const bool several = obstacle.members.size() > 1;
  if (obstacle.of_brewers) {
    if (obstacle.reach.empty()) return fmt::format("{} may not have any parcel", who);
    return fmt::format("{} together may draw only from {} of {}: {}, {}", who,
                       obstacle.reach.size() > 1 ? "the parcels" : "the parcel", reach,
                       counted(obstacle.members.size(), "brewer", "brewers"),
                       counted(obstacle.reach.size(), "parcel", "parcels"));
  }
  const std::string parcels = fmt::format("{} of {}", several ? "The parcels" : "The parcel", who);
  if (obstacle.reach.empty()) return parcels + " may go to nobody";
  return fmt::format("{} may go only to {}: {}, {}", parcels, reach,
                     counted(obstacle.members.size(), "parcel", "parcels"),
                     counted(obstacle.reach.size(), "brewer", "brewers"));
}

std::string round_check_text(const Round& round, const round::ParcelReport& report, const BarTable& bars) {
  std::string text = fmt::format("{}: {}\n", title_of(round), counted(round.members.size(), "parcel", "parcels"));
  for (std::size_t giver = 0; giver < round.members.size(); ++giver) {
    text += '\n';
    paragraph(text, fmt::format("Parcel of {}: {}", round.members[giver].name, parcel_words(round.members[giver])));
    std::vector<std::string> allergens;
    for (larder::Allergen allergen : round::allergens_of(round.members[giver].parcel))
      allergens.emplace_back(larder::words_for(allergen));
    if (!allergens.empty()) paragraph(text, "declares " + joined(allergens), "  ");
    for (std::size_t h = 0; h < report.households.size(); ++h) {
      const auto& finding = report.finding[giver][h];
      if (!finding) continue;
      std::vector<std::size_t> others;
      for (std::size_t member : report.households[h].members) {
        if (member != giver) others.push_back(member);
      }
      paragraph(text,
                fmt::format("{} ({}): {}", round.kits[round.members[others.front()].kit].name, names_of(round, others),
                            finding_words(*finding)),
                "  ");
    }
  }
  bars_section(text, round, bars);
  text += '\n';
  if (const auto obstacle = round::hall_obstacle(round::open_pairs(bars))) {
    text += "There is no draw.\n";
    obstacle_section(text, round, bars, *obstacle);
  } else {
    text += round.straight_swaps ? "A draw exists.\n" : "A draw exists, if straight swaps are let in at need.\n";
  }
  if (round.drawn) {
    for (std::size_t brewer = 0; brewer < round.drawn->size(); ++brewer) {
      const std::size_t giver = (*round.drawn)[brewer];
      for (const round::Bar& bar : bars.of[brewer][giver])
        paragraph(text,
                  fmt::format("! The draw in the file gives {} the parcel of {}, but {}.", round.members[brewer].name,
                              round.members[giver].name, bar_words(round, {brewer, giver}, bar)));
    }
  }
  parcel_safety(text);
  sharing_safety(text);
  return text;
}

std::string round_draw_text(const Round& round, const BarTable& bars, const round::DrawResult& result,
                            std::uint64_t seed) {
  std::string text = title_of(round) + "\n\n";
  if (!result.draw) {
    if (const auto obstacle = round::hall_obstacle(round::open_pairs(bars))) {
      text += "There is no draw.\n";
      obstacle_section(text, round, bars, *obstacle);
    } else if (result.proven_none) {
      paragraph(text, "There is no draw without a straight swap: whoever draws, two members draw from each other.");
      paragraph(text, "The least that would cure it: take out straight-swaps = false, or let in one more member.");
    } else {
      paragraph(text, "No draw without a straight swap was found, though not every one was tried.");
      paragraph(text, "Take out straight-swaps = false, or some of the past draws.");
    }
    return text;
  }
  const round::Draw& draw = *result.draw;
  std::size_t width = 6;
  for (const round::Member& member : round.members) width = std::max(width, columns(member.name));
  for (std::size_t brewer = 0; brewer < draw.giver_of.size(); ++brewer)
    text += fmt::format("  {}  brews with the parcel of {}\n", padded(round.members[brewer].name, width),
                        round.members[draw.giver_of[brewer]].name);
  text += '\n';
  paragraph(text, evenness_words(draw, round.straight_swaps));
  paragraph(text, fmt::format("Seed {}: publish it with the file. Whoever draws again from the same file with the same "
                              "seed gets the same; so agree on the number before anybody has tried it.",
                              seed));
  text += "\nFor the file:\n\n[drawn]\n";
  for (std::size_t brewer = 0; brewer < draw.giver_of.size(); ++brewer)
    text += fmt::format("{} = {}\n", toml_key(round.members[brewer].name),
                        toml_key(round.members[draw.giver_of[brewer]].name));
  parcel_safety(text);
  sharing_safety(text);
  return text;
}

}  // namespace oddgrist::present

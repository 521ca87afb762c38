#include <algorithm>

#include <fmt/format.h>

#include "present/round.hpp"
#include "present/words.hpp"
#include "round/codes.hpp"

namespace oddgrist::present {
namespace {

using round::BeerPlace;
using round::Ranking;
using round::Round;

constexpr std::size_t page_columns = 84;

void paragraph(std::string& text, std::string_view words) {
  for (const std::string& line : wrapped(words, page_columns)) text += line + "\n";
}

std::size_t widest_name(const Round& round) {
  std::size_t width = 6;
  for (std::size_t judge = 0; judge < judge_count(round); ++judge)
    width = std::max(width, columns(round::judge_name(round, judge)));
  return width;
}

void key_page(std::string& text, const Round& round, const std::vector<std::string>& codes, std::uint64_t seed) {
  text += "Key, for the steward alone\n\n";
  const std::size_t width = widest_name(round);
  for (std::size_t beer = 0; beer < codes.size(); ++beer) {
    text += fmt::format("  {}  brewed by {}", codes[beer], padded(round.members[beer].name, width));
    if (round.drawn) text += fmt::format("  with the parcel of {}", round.members[(*round.drawn)[beer]].name);
    text += '\n';
  }
  text += '\n';
  paragraph(text, fmt::format("Seed {}: whoever has it can work the key out. Keep it, and the file with it, until the "
                              "sheets are in; the draw has a seed of its own.",
                              seed));
  if (!round.drawn)
    paragraph(text, "! The file has no [drawn]: the sheets cannot leave out the beer made of a judge's own parcel.");
  paragraph(text,
            "Decant out of sight, same glasses, same temperature. Write the allergens of each beer beside its code on "
            "a list every judge sees before the first sip.");
}

void judge_page(std::string& text, const Round& round, const std::vector<std::string>& codes, std::size_t judge,
                std::uint64_t seed) {
  text += '\f';
  text += fmt::format("{}: sheet of {}\n\n", round.name.empty() ? "The round" : round.name,
                      round::judge_name(round, judge));
  paragraph(text,
            "Marks from 0, I pour it away, to 10, I wish it were mine; halves are welcome. Taste in this order, write "
            "before you talk, and leave a line empty rather than guess.");
  text += '\n';
  for (std::size_t beer : round::tasting_order(round, judge, seed)) {
    text += fmt::format("  {}", codes[beer]);
    if (round.criteria.empty()) text += "   score ____";
    for (const round::Criterion& criterion : round.criteria) text += fmt::format("   {} ____", criterion.name);
    text += "\n       what I would tell the brewer ______________________________________________\n";
  }
  text += '\n';
  paragraph(
      text,
      "Sip and spit as you like, water in between. Ask for the list of allergens first. Nobody who tastes drives; "
      "not for minors.");
}

std::string row(const Round& round, const BeerPlace& place, bool shared, std::size_t width) {
  const std::string interval = place.low ? fmt::format("{:+.2f} to {:+.2f}", *place.low, *place.high) : "not known";
  const std::string giver = round.drawn ? round.members[(*round.drawn)[place.beer]].name : "?";
  return fmt::format("{:>4}{}  {}  {}  {:>6.2f}  {:>+6.2f}  {:<16}  {:>6}\n", place.place, shared ? '=' : ' ',
                     padded(round.members[place.beer].name, width), padded(giver, width), place.adjusted, place.ahead,
                     interval, place.scores);
}

bool shares_place(const Ranking& ranking, const BeerPlace& place) {
  return std::count_if(ranking.beers.begin(), ranking.beers.end(), [&](const BeerPlace& other) {
           return other.group == place.group && other.place == place.place;
         }) > 1;
}

void table(std::string& text, const Round& round, const Ranking& ranking) {
  const std::size_t width = widest_name(round);
  std::size_t group = ranking.groups;
  for (const BeerPlace& place : ranking.beers) {
    if (place.group != group) {
      group = place.group;
      if (ranking.groups > 1) text += fmt::format("\nGroup {} of {}\n", group + 1, ranking.groups);
      text += fmt::format("place  {}  {}   score   ahead  95 % of it        sheets\n", padded("brewer", width),
                          padded("parcel", width));
    }
    text += row(round, place, shares_place(ranking, place), width);
  }
  text += '\n';
  if (ranking.groups > 1)
    paragraph(text,
              "! No judge tasted beers of two groups, so the groups cannot be set side by side: each has a first "
              "place of its own.");
}

std::string name_list(const Round& round, const std::vector<std::size_t>& beers) {
  std::string list;
  for (std::size_t i = 0; i < beers.size(); ++i)
    list += (i == 0 ? "" : i + 1 == beers.size() ? " and " : ", ") + round.members[beers[i]].name;
  return list;
}

void ties(std::string& text, const Round& round, const Ranking& ranking) {
  if (ranking.freedom == 0) {
    paragraph(
        text,
        "There are no more scores than differences to find, so chance cannot be reckoned: nobody is placed before "
        "anybody. More judges, each tasting several beers, would tell.");
    return;
  }
  for (const BeerPlace& place : ranking.beers) {
    if (place.alike.empty()) {
      paragraph(text, fmt::format("{} is told apart from every other beer.", round.members[place.beer].name));
    } else {
      paragraph(text, fmt::format("{} is not told apart from {}.", round.members[place.beer].name,
                                  name_list(round, place.alike)));
    }
  }
  text += '\n';
  paragraph(text,
            fmt::format("A place is lost only to a beer that is clearly better: were all beers alike, the chance that "
                        "any two came out apart like this would be under {:.0f} in 100. = is a shared place; a beer "
                        "that stands lower is never placed before one that stands higher. A score is what all judges "
                        "would have given on average; scores scatter by {:.2f} about judge and beer. Two intervals may "
                        "overlap although the two beers are told apart.",
                        100.0 * round::ranking_level, *ranking.residual_sd));
}

void leans(std::string& text, const Round& round, const Ranking& ranking) {
  text += "\nJudges, for the same beer against the others' mean (taken out above)\n";
  const std::size_t width = widest_name(round);
  for (const round::JudgeLean& judge : ranking.judges)
    text += fmt::format("  {}  {:+.2f}  on {}\n", padded(round::judge_name(round, judge.judge), width), judge.lean,
                        counted(judge.scores, "sheet", "sheets"));
}

}  // namespace

std::string round_sheets_text(const Round& round, std::uint64_t seed) {
  const std::vector<std::string> codes = round::codes_of(round, seed);
  std::string text;
  key_page(text, round, codes, seed);
  for (std::size_t judge = 0; judge < judge_count(round); ++judge) judge_page(text, round, codes, judge, seed);
  return text;
}

std::string round_rank_text(const Round& round, const round::Tally& tally, const Ranking& ranking) {
  std::string text = (round.name.empty() ? std::string("The round") : round.name) + "\n\n";
  if (ranking.beers.empty()) {
    paragraph(text, "No sheet counts, so there are no places.");
  } else {
    table(text, round, ranking);
    ties(text, round, ranking);
    leans(text, round, ranking);
  }
  if (!ranking.unscored.empty() && !ranking.beers.empty())
    paragraph(text,
              fmt::format("Without a sheet that counts, so without a place: {}.", name_list(round, ranking.unscored)));
  if (!round.drawn && !tally.scores.empty())
    paragraph(text, "! The file has no [drawn]: whether a judge scored their own parcel could not be looked at.");
  if (!tally.left_out.empty()) {
    text += "\nLeft out, please ask\n";
    for (const round::LeftOut& left : tally.left_out)
      paragraph(text, fmt::format("{}:{}:{}: {}. {}.", left.place.file, left.place.line, left.place.column, left.what,
                                  left.remedy));
  }
  text += '\n';
  paragraph(
      text,
      "Method: least squares for judge plus beer (two-way layout with unequal numbers; Yates 1934, Scheffé 1959), "
      "pairs of beers by t tests with Holm's steps (Holm 1979).");
  return text;
}

}  // namespace oddgrist::present

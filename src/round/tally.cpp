#include "round/tally.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

namespace oddgrist::round {
namespace {

std::optional<std::size_t> beer_of(const Sheet& sheet, const std::vector<std::string>& codes) {
  if (sheet.code.empty()) return sheet.brewer;
  const auto found = std::find(codes.begin(), codes.end(), sheet.code);
  if (found == codes.end()) return std::nullopt;
  return static_cast<std::size_t>(found - codes.begin());
}

std::string beer_words(const Round& round, const Sheet& sheet) {
  return sheet.code.empty() ? fmt::format("the beer of {}", round.members[sheet.brewer].name)
                            : fmt::format("beer {}", sheet.code);
}

// Nothing if a criterion has no mark: the mean of the rest cannot be set beside whole sheets.
std::optional<double> score_of(const Round& round, const Sheet& sheet) {
  double sum = 0.0, weights = 0.0;
  for (std::size_t c = 0; c < sheet.marks.size(); ++c) {
    if (!sheet.marks[c]) return std::nullopt;
    const double weight = round.criteria.empty() ? 1.0 : round.criteria[c].weight;
    sum += weight * *sheet.marks[c];
    weights += weight;
  }
  if (!(weights > 0.0)) return std::nullopt;
  return sum / weights;
}

std::string missing_words(const Round& round, const Sheet& sheet) {
  std::string missing;
  for (std::size_t c = 0; c < sheet.marks.size(); ++c) {
    if (sheet.marks[c]) continue;
    const std::string name = round.criteria.empty() ? "the score" : round.criteria[c].name;
    missing += (missing.empty() ? "" : ", ") + name;
  }
  return missing;
}

}  // namespace

Tally tally_of(const Round& round, const std::vector<std::string>& codes) {
  Tally tally;
  std::set<std::pair<std::size_t, std::size_t>> seen;
  for (const Sheet& sheet : round.sheets) {
    const std::string who = judge_name(round, sheet.judge);
    const std::string beer_name = beer_words(round, sheet);
    const auto leave_out = [&](std::string what, std::string remedy) {
      tally.left_out.push_back({sheet.place, std::move(what), std::move(remedy)});
    };
    const auto beer = beer_of(sheet, codes);
    if (!beer) {
      leave_out(fmt::format("{} scored {}, and no beer of this seed has that code", who, beer_name),
                "Compare it with the sheet on paper; the seed must be the one the sheets were made with");
      continue;
    }
    if (*beer == sheet.judge) {
      leave_out(fmt::format("{} scored {}, which is their own", who, beer_name),
                "Ask whose sheet it is and correct the judge; if it is right, strike it out");
      continue;
    }
    if (!may_judge(round, sheet.judge, *beer)) {
      leave_out(fmt::format("{} scored {}, which is made of their own parcel", who, beer_name),
                "Ask whose sheet it is and correct the judge; if it is right, strike it out");
      continue;
    }
    const auto score = score_of(round, sheet);
    if (!score) {
      leave_out(fmt::format("{} has no mark for {} on the sheet of {}", who, missing_words(round, sheet), beer_name),
                "Fill it in, or strike the sheet out: a part of a sheet cannot be set beside whole ones");
      continue;
    }
    if (!seen.insert({sheet.judge, *beer}).second) {
      leave_out(fmt::format("{} scored {} twice, and only the first sheet counts", who, beer_name),
                "Keep the right one and strike the other out");
      continue;
    }
    tally.scores.push_back({sheet.judge, *beer, *score});
  }
  return tally;
}

}  // namespace oddgrist::round

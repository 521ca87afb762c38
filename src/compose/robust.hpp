// Which recipe is likeliest to come out as wished on the day, rather than which is best on paper.
#pragma once

#include <span>
#include <vector>

#include "compose/brief.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::compose {

// How many brews of a recipe land where they were wished, of 1.
struct Chance {
  double all = 0.0;          // every wish at once
  std::vector<double> each;  // one for each of the brief's wishes
};

// Quasi-Monte-Carlo over everything doubtful (doubt.hpp). The same doubt takes the same values in every recipe of a brief, so that
// recipes are compared on the same days. Another `sample` (not 0) is another set of days, independent of the first.
inline constexpr int chance_points = 1024;
[[nodiscard]] Chance chance_of(const Brief& brief, const Proposal& proposal, int points = chance_points,
                               unsigned sample = 0);

struct SteadyOptions {
  int points = chance_points;
  double least_gain = 0.005;  // of the chance; for less no recipe is changed
};

struct Steady {
  Proposal proposal;  // the first one given, if nothing is likelier
  Chance before;      // of the first one given
  Chance now;
  bool changed = false;
  int tried = 0;  // recipes looked at, the first one included
};

// The likeliest of `first`, `others` and recipes made from `first` by aiming elsewhere within the wished ranges: so far from either end
// as the doubts reach on that side. None misses a wish, a stock or a vessel that `first` keeps, and none has a smaller chance of all
// wishes than `first`; a gain must show in two independent samples. Where no recipe has any chance of all wishes, the mean of `each`
// decides.
[[nodiscard]] Steady steadiest(const Brief& brief, const Proposal& first, std::span<const Proposal> others = {},
                               const SteadyOptions& options = {});

// Puts the steadiest recipe first in an answer that has one, with the cautions that belong to it.
Steady put_steadiest_first(const Brief& brief, Answer& answer, std::span<const Proposal> others = {});

}  // namespace oddgrist::compose

// Other recipes for the same brief that really differ, and what each gains and gives up beside the first.
#pragma once

#include <string>
#include <vector>

#include "compose/character.hpp"
#include "compose/proposal.hpp"

namespace oddgrist::compose {

// Loss is counted in points: a wish at the very edge of its range, rather than in the middle half of it, is half a point. So one point
// more is two wishes at their edges, or the like in money, in ingredients to weigh and in handling. A wish missed is a hundred points
// and more: no alternative ever misses one that the first keeps.
inline constexpr double allowed_points = 1.0;

struct AlternativeOptions {
  int most = 4;  // beside the first
  double allowance = allowed_points;
  // At least so many steps from the first and from each other, in character (steps_between) or in ingredients, where a step is a quarter
  // of the malts and sugars, half of the hops or where they go in, or another yeast. Common practice, no source.
  double least_steps = 1.0;
};

struct Alternative {
  Proposal proposal;  // its name says what is different: "darker, with Munich malt"
  Character character;
  std::vector<Caution> cautions;  // all of them, as Answer::cautions has them for the first
  double points_more = 0.0;       // of loss, than the first
  double character_steps = 0.0;   // from the first
  double ingredient_steps = 0.0;
  std::vector<std::string> gains, gives_up;  // beside the first
};

struct Alternatives {
  Character first;
  double allowance = 0.0;  // in points
  std::vector<Alternative> others;
  int tried = 0, kept_wishes = 0;  // how many recipes were looked at, and how many of them stayed within the allowance
};

// The answer's first proposal is what the others are judged by; without one there are none. The first few of many are the same as when
// fewer are asked for. Each carries its true forecast, and
// its loss is that of the brief's own demands.
[[nodiscard]] Alternatives alternatives_of(const Brief& brief, const Answer& answer,
                                           const AlternativeOptions& options = {});

// How far apart the ingredients of two recipes are, in steps; water, salts and acids aside.
[[nodiscard]] double ingredient_steps_between(const Proposal& one, const Proposal& other);

// What the ingredients cost, whole packets where they are bought so; 0 if the brief states no cost.
[[nodiscard]] double cost_of(const Brief& brief, const Proposal& proposal);

// "Fewer than three: ..." - empty if there are three or more.
[[nodiscard]] std::string why_so_few(const Alternatives& alternatives);

}  // namespace oddgrist::compose

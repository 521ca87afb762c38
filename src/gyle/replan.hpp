// What can still be done: the same compose, past frozen, with what is in the house. Each kind of move is sized on the true forecast
// so that the loss of the brief - the same loss the recipe was composed for - is least over the belief, alone and together with
// others; doing nothing is always among the moves.
#pragma once

#include <string>
#include <vector>

#include "gyle/condition.hpp"

namespace oddgrist::gyle {

struct Part {
  enum class Kind { boil, water_in_kettle, water_in_fermenter, sugar, hop, hop_shift, oddment, prime, wait };
  Kind kind = Kind::boil;
  std::string name;  // of the ingredient, as the brewer knows it; empty: none
  double change =
      0.0;  // against the plan: minutes of boil, kg of a thing, litres of water, g of priming sugar, days of waiting
  double planned = 0.0;  // how much was to be, same unit
  compose::Recipe::Into into = compose::Recipe::Into::kettle;
  double minutes_before_boil_end = 0.0;  // when it goes into the kettle
  double shifted_from_minutes = 0.0;     // hop_shift only
};

enum class Risk { scald, boil_over, thin_boil, dries_out, infection, bottle_pressure };

struct Move {
  std::vector<Part> parts;    // empty: do nothing
  double loss = 0.0;          // mean over the belief; 100 is one wish missed by its own scale
  double gain = 0.0;          // less than doing nothing by so much, in the mean
  double chance_worse = 0.0;  // share of the belief in which doing nothing would have been better
  double worst = 0.0;         // how much more than doing nothing it loses where it fails worst
  Outlook outlook;            // the day, if this is done
  double work_minutes = 0.0;  // more than the plan asks for
  double money = 0.0;         // in the brief's coin, 0 if it states no prices
  std::vector<Risk> risks;
  std::vector<What> entries;  // what the log of a gyle that takes this move says
};

struct Replan {
  std::vector<Move> moves;  // the one to take first
  Belief belief;
};

// A move is only put before doing nothing if it gains this much in the mean, is the worse choice in no more than this share of the
// belief, and nowhere in it worse by more than this. First comes, of those that gain at least a share of what the best of them gains,
// the one least likely to be the worse choice; the others by what they gain.
// Of 840 simulated days with a mishap (bench/gyle_bench says them stage by stage) the first move then ended closer to the wish in 697,
// changed nothing in 124 and ended further off in 19, the worst by 89. In 728 somebody who knew the day as it truly was would have come
// closer, and of those 696 did. Most of the other 112 are at the bottles, where only the gas can still be changed. The margin never to be
// passed is 400: four wishes each missed by its scale. On 200 days with nothing but ordinary luck 78 ended closer and 16 further, the
// worst by 48: a move less likely to be right is more often right where something has gone wrong, and the log does not say which it is.
inline constexpr double least_gain = 2.0;
inline constexpr double most_chance_worse = 0.4;
inline constexpr double most_worse = 100.0;
inline constexpr double share_of_best_gain = 0.5;
// More of an oddment than planned must mend this share of what doing nothing misses: what it does to the taste is no part of the loss.
// Without this 345 instead of 287 of 420 days with a spread in the house and no sugar ended closer, by a seventh of one wish each in the
// mean: many small gains that a taste nobody asked for is not worth.
inline constexpr double least_share_for_an_oddment = 0.25;

[[nodiscard]] Replan replan(const compose::Brief& brief, const State& state, Instant now);
// The same with a belief from elsewhere: one without spread is somebody who knows how the day really is.
[[nodiscard]] Replan replan(const Brewing& brewing, const State& state, Instant now, Belief belief);

// The loss of one day as it comes to, by the brief's demands. At packaging the gas counts too: the brief's carbonation, within 0.2
// volumes, as one more wish.
[[nodiscard]] double loss_at(const Brewing& brewing, const compose::Design& design, Stage stage, const Upcome& upcome);

}  // namespace oddgrist::gyle

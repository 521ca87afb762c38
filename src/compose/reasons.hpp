// Why this recipe: what a little more of each ingredient would do, and why what stands in the house was left out.
#pragma once

#include <string>
#include <vector>

#include "compose/proposal.hpp"

namespace oddgrist::compose {

// A little more of one thing at one moment, everything else as it is. The changes are the forecast's own derivatives times the step, so
// they hold for a little and not for a lot; the points are the true loss after the step less before.
struct OneMore {
  std::string ingredient;  // "water" for the water of the mash
  std::string ingredient_id;
  Route route = Route::mash;
  double minutes_before_boil_end = 0.0;
  double step_kg = 0.0;
  double original_gravity_sg = 0.0, final_gravity_sg = 0.0, abv_percent = 0.0, bitterness_ibu = 0.0, colour_ebc = 0.0;
  double mash_ph = 0.0, volume_l = 0.0;
  double points = 0.0;  // above 0: a worse recipe
  std::string hurts;    // the demand that suffers most, in the brief's words; empty if none does
};

// Something in the house that the recipe does without.
struct LeftOut {
  enum class Cause {
    not_needed,  // it harms nothing and mends nothing: one more thing to weigh
    hurts,       // what it brings makes a wish, or custom, worse
    limit,       // it would take the place of another: the number of malts or hops is limited
    money,       // another does the same for less
    no_worse,    // a recipe with it is as good; the search had to take one
  };
  std::string ingredient, ingredient_id;
  Cause cause = Cause::not_needed;
  double tried_kg = 0.0;
  double points = 0.0;  // of loss more with it forced in, everything else free to move
  bool checked =
      false;  // by composing again with it; otherwise from the derivatives at the recipe, its other amounts free to follow
  std::string reason;  // a sentence without its full stop
};

struct ReasonOptions {
  int most_checked = 6;  // composing again costs a search each; the rest are told from the derivatives
};

struct Reasons {
  std::vector<OneMore> one_more;  // in the order of the recipe's unknowns
  std::vector<LeftOut> left_out;  // what came nearest to being used first
};

// Empty for a proposal that has no recipe.
[[nodiscard]] Reasons reasons_of(const Brief& brief, const Proposal& proposal, const ReasonOptions& options = {});

std::string_view cause_name(LeftOut::Cause cause);

}  // namespace oddgrist::compose

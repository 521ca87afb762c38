// A proposal: the answer to a brief. `met`, `nearest` (some wishes missed, clashes say which) or `refused` (not safe to brew).
#pragma once

#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "compose/recipe.hpp"
#include "process/forecast.hpp"

namespace oddgrist::compose {

enum class Outcome { met, nearest, refused };
enum class Severity { note, caution, danger, refuse };

struct Caution {
  Severity severity = Severity::note;
  std::string text;
  std::string source;  // publication, or "common practice, no source", or "from memory"
};

struct Estimate {
  double value = 0.0, low = 0.0, high = 0.0;
};

struct Addition {
  std::string ingredient;  // shown name
  std::string ingredient_id;
  larder::IngredientKind kind = larder::IngredientKind::food;
  Mass amount;
  Route route = Route::mash;
  double minutes_before_boil_end = 0.0;  // for boil and hop additions
  bool given = false;
};

struct Pouring {
  std::string water;
  Volume mash;
  Volume sparge_or_top_up;
};

// What is not in the house. packets 0: sold loose.
struct Purchase {
  std::string ingredient;
  Mass needed;
  int packets = 0;
  Mass packet;
};

// What holds the answer where it is: a wish, a limit or a stock, and what letting go of it would gain.
struct Binding {
  std::string what;
  std::string effect;
};

struct Clash {
  std::vector<std::string> wishes;  // in the brief's words
  std::string least_change;
};

struct Proposal {
  std::string name;
  std::vector<Addition> additions;
  std::vector<Purchase> purchases;
  std::vector<Pouring> waters;  // how much of which water, for the mash and for the rest
  process::Charge<double> charge;
  process::Plan<double> plan;
  larder::Ingredient yeast;
  process::Forecast<double> forecast;
  Estimate mash_ph;  // at 20 C; 0 without a mash
  Estimate original_gravity_sg, final_gravity_sg, abv_percent, bitterness_ibu, colour_ebc, fermenter_volume_l;
  double loss = 0.0;       // objective of the true forecast; 0 would be every wish met at its centre
  double bound = 0.0;      // no recipe of the final linear core can have less
  double bound_gap = 0.0;  // (loss - bound) / max(loss, 1e-9)
  int linearisations = 0;
  std::vector<Binding> bindings;
  Recipe recipe;  // the same, to be stored
};

struct Answer {
  Outcome outcome = Outcome::met;
  std::vector<Proposal> proposals;
  std::vector<Clash> clashes;
  std::vector<Caution> cautions;
};

// Never throws for anything a brief can say. A brief that asks for something unsafe comes back refused, without a recipe.
[[nodiscard]] Answer compose(const Brief& brief);

// What a stored recipe is under a brief: its forecast, its loss, its ranges. Things the brief does not have are left out and named in
// `unknown`, if that is not null.
[[nodiscard]] Proposal proposal_of(const Brief& brief, const Recipe& recipe,
                                   std::vector<std::string>* unknown = nullptr);

}  // namespace oddgrist::compose

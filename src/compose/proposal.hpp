// A proposal: the answer to a brief. `met`, `nearest` (some wishes missed, clashes say which), `none` (nothing that can be brewed) or `refused`
// (not safe to brew).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "compose/recipe.hpp"
#include "process/forecast.hpp"

namespace oddgrist::compose {

// `none`: whatever would come nearest to the wishes goes past a limit of what can be brewed.
enum class Outcome { met, nearest, none, refused };
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
  double fermenter_day = 0.0;  // into the fermenter: so many days after the yeast
  double contact_days = 0.0;   // and out again after so many; 0: it stays in
};

// `mash`: with grain only; else all the kettle's water is in the next.
struct Pouring {
  std::string water;
  Volume mash;
  Volume sparge_or_top_up;
  Volume fermenter;
};

// How the recipe is brewed.
struct WayTaken {
  process::Way way = process::Way::bag;
  process::Mashing mashing = process::Mashing::bag;
  bool boiled = true;
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

// What brewers keep to and the recipe leaves, because the brief asks for it.
struct Departure {
  std::string practice;  // id of the row in data/practice.toml
  std::string words, means, source;
};

// How likely the recipe is to come out as wished: brews of 1 that keep every wish.
struct Likelihood {
  double chance = 0.0, on_paper = 0.0;   // of the recipe shown; of the best on paper
  bool changed = false;                  // they are not the same recipe
  std::vector<std::string> learn_first;  // what is uncertain and would raise it most if it were known
};

// One value of the brief to write differently. `key` as messages about the file name it: "want.alcohol", "have[2].amount".
struct Change {
  std::string key, from, to;
  bool is_text = true;  // otherwise `from` and `to` are a number or a list, as they stand in the file
};

// With these changes every wish is kept: that has been tried.
struct Cure {
  std::string words;
  std::vector<Change> changes;
};

struct Clash {
  std::vector<std::string> wishes;  // in the brief's words
  std::string least_change;         // the cures in words; empty: none was found
  std::vector<Cure> cures = {};
};

struct Proposal {
  std::string name;
  std::vector<Addition> additions;
  std::vector<Purchase> purchases;
  std::vector<Pouring> waters;  // how much of which water, for the mash and for the rest
  process::Charge<double> charge;
  process::Plan<double> plan;
  larder::Ingredient yeast;
  WayTaken way;
  process::Forecast<double> forecast;
  Estimate mash_ph;  // at 20 C; 0 without a mash
  Estimate original_gravity_sg, final_gravity_sg, abv_percent, bitterness_ibu, colour_ebc, fermenter_volume_l;
  double loss = 0.0;       // objective of the true forecast; 0 would be every wish met at its centre
  double bound = 0.0;      // no recipe of the final linear core can have less
  double bound_gap = 0.0;  // (loss - bound) / max(loss, 1e-9)
  int linearisations = 0;
  std::vector<Binding> bindings;
  std::vector<Departure> departures;
  Recipe recipe;  // the same, to be stored
};

struct Answer {
  Outcome outcome = Outcome::met;
  std::vector<Proposal> proposals;
  std::optional<Likelihood> likelihood;    // of the first; only where every wish is kept
  std::vector<std::string> broken_limits;  // outcome none: what would have to be broken
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

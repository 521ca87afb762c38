// How loud an oddment is: what of it reaches the beer, against the concentrations people notice, and how much of it would still be a
// hint. Aroma is not reckoned: nobody publishes what a litre smells of; a trial in the glass tells.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "compose/proposal.hpp"

namespace oddgrist::compose {

// Against the threshold: below half a tenth of a panel's, a shade of it, noticed by most, the first thing tasted. For fat it is the head
// that is judged: unharmed, falling sooner, poor, gone.
enum class Loudness { below, hint, plain, loud };
std::string_view loudness_name(Loudness loudness);

// One substance of an oddment in the packaged beer.
struct Carried {
  enum class What { salt, acid, sugar, fat };
  What what = What::salt;
  Estimate mg_per_l;  // low and high: what steeping, skimming and straining may give; alike on the other routes
  double threshold_mg_per_l = 0.0;  // geometric middle of the published range; fat: where the head begins to suffer
  Loudness loudness = Loudness::below;
  std::optional<Mass>
      most_for_a_hint;  // of the oddment, everything else as it is; none: more than anybody would put in
  std::string source;
};
std::string_view carried_name(Carried::What what);

// What one oddment does to the packaged beer: the forecast with it less the forecast without it.
struct Oddment {
  std::string ingredient;
  std::string ingredient_id;
  Route route = Route::flame_out;
  Mass amount;
  std::vector<Carried> carried;   // what there is more than a trace of
  double alcohol_g_per_l = 0.0;   // what its sugar ferments to, and the spirit it steeped in
  double abv_rise_percent = 0.0;  // per cent by volume
  double colour_rise_ebc = 0.0;
  double volume_rise_l = 0.0;           // of packaged beer
  std::optional<Mass> most_for_a_hint;  // the least of those of salt, acid and sugar; fat has its own
};

// Every food of the proposal, in its order. Empty for a proposal whose plan has not been made.
std::vector<Oddment> oddments_of(const Brief& brief, const Proposal& proposal);

// "salted lemon paste: salt 420 mg/L, a hint; acid 90 mg/L, a hint. Up to 71 g of it stay a hint." Empty if it carries nothing.
std::string restraint_words(const Oddment& oddment);

}  // namespace oddgrist::compose

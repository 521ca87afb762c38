// Between what a yeast takes of each sugar and the attenuation its packet states.
#pragma once

#include <algorithm>

#include "science/attenuation.hpp"

namespace oddgrist::science {

// Shares of the sugars of ordinary wort that a yeast takes, 0..1.
struct SugarUptakes {
  double maltose = 1.0, maltotriose = 1.0, dextrin = 0.0;
};

// Where a packet's attenuation is measured: all-malt wort of one rest at about 66.5 C (common practice, no source), whose
// limit of attenuation is the real one of mash_fermentable_share over 0.81 (Balling).
inline constexpr double packet_wort_rest_c = 66.5;
inline double packet_wort_limit() { return mash_fermentable_share(packet_wort_rest_c) / 0.81; }

// Apparent attenuation, 0..1, of that wort by a yeast that takes so much.
inline double attenuation_of_uptakes(const SugarUptakes& takes) {
  const SugarSplit split;
  const double share = split.glucose + split.maltose * takes.maltose + split.maltotriose * takes.maltotriose;
  return packet_wort_limit() * share + (1.0 - packet_wort_limit()) * takes.dextrin;
}

// The other way round: maltotriose is left first, then maltose; dextrin is taken only above the limit. Exact inverse
// between the share of glucose, about 0.09, and 1.
inline SugarUptakes uptakes_of_attenuation(double attenuation) {
  const SugarSplit split;
  const double limit = packet_wort_limit();
  SugarUptakes takes;
  if (attenuation > limit) {
    takes.dextrin = std::min(1.0, (attenuation - limit) / (1.0 - limit));
    return takes;
  }
  const double share = attenuation / limit;
  takes.maltotriose = std::clamp((share - split.glucose - split.maltose) / split.maltotriose, 0.0, 1.0);
  takes.maltose = std::clamp((share - split.glucose) / split.maltose, 0.0, 1.0);
  return takes;
}

}  // namespace oddgrist::science

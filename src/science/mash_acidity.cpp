#include "science/mash_acidity.hpp"

namespace oddgrist::science {
namespace {

// The extreme pH on one side.
std::optional<double> extreme_ph(MashAcidity<double> mash, const std::vector<MaltSpread>& spreads, bool lowest) {
  std::optional<double> ph;
  for (std::size_t i = 0; i < spreads.size(); ++i) {
    mash.malts[i].ph_in_distilled_water = lowest ? spreads[i].ph_low : spreads[i].ph_high;
  }
  // Each round can only move the pH further out, and there are finitely many corners; twice the malts is ample.
  for (std::size_t round = 0; round <= 2 * spreads.size() + 1; ++round) {
    bool changed = false;
    for (std::size_t i = 0; i < spreads.size(); ++i) {
      MashMalt<double>& malt = mash.malts[i];
      const bool pulls_out = !ph || (lowest ? malt.ph_in_distilled_water < *ph : malt.ph_in_distilled_water > *ph);
      const double buffering = pulls_out ? spreads[i].buffering_high : spreads[i].buffering_low;
      changed = changed || !ph || buffering != malt.buffering_meq_per_kg_ph;
      malt.buffering_meq_per_kg_ph = buffering;
    }
    if (!changed) return ph;
    ph = mash_ph(mash);
    if (!ph) return std::nullopt;
  }
  return ph;
}

}  // namespace

std::optional<PhInterval> mash_ph_interval(const MashAcidity<double>& mash, const std::vector<MaltSpread>& spreads) {
  if (spreads.size() != mash.malts.size()) return std::nullopt;
  const std::optional<double> low = extreme_ph(mash, spreads, true), high = extreme_ph(mash, spreads, false);
  if (!low || !high) return std::nullopt;
  return PhInterval{*low, *high};
}

}  // namespace oddgrist::science

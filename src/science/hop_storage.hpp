// What hops lose between the harvest and the kettle.
#pragma once

#include <cmath>

namespace oddgrist::science {

// Share (0..1) of alpha plus beta acids lost, from the hop storage index (A275/A325 of an alkaline methanol extract). L
// % = slope log10(index / 0.25); Nickerson & Likens, J. Am. Soc. Brew. Chem. 37 (1979) 184-187, whose slopes ran from
// 101.8 (1969 crop) to 114.6 (1977). At or below an index of 0.25: nothing lost; never more than the whole.
inline constexpr double hop_loss_slope_percent = 110.0;
inline constexpr double hop_loss_slope_low_percent = 101.8;
inline constexpr double hop_loss_slope_high_percent = 114.6;

template <class Scalar>
Scalar hop_loss_share_nickerson(const Scalar& storage_index, double slope_percent = hop_loss_slope_percent) {
  using std::log;
  if (storage_index <= 0.25) return Scalar(0.0);
  const Scalar lost = (slope_percent / 100.0 / std::log(10.0)) * log(storage_index / 0.25);
  if (lost > 1.0) return Scalar(1.0);
  return lost;
}

// How hops are kept, as the factor on the decay rate. Garetz, Hop storage, Brewing Techniques 2 (1), 1994; the factors
// of the two better ways are from memory.
enum class HopPacking { open_to_air, airtight, oxygen_barrier };

constexpr double hop_packing_factor_garetz(HopPacking packing) {
  switch (packing) {
    case HopPacking::airtight: return 0.75;
    case HopPacking::oxygen_barrier: return 0.5;
    case HopPacking::open_to_air: break;
  }
  return 1.0;
}

// Share (0..1) of the alpha acid left after storage. lost_half_year_share: lost in 6 months at 20 C, open to air, 0..<1
// (a variety's own figure). The rate halves with every 15 K; Garetz, as above. A rule of thumb: Arrhenius tests of hops
// give a factor of 2 to 3 per 10 K. Negative days count as none; a share outside 0..0.99 is taken at the limit.
template <class Scalar>
Scalar hop_alpha_left_share_garetz(const Scalar& lost_half_year_share, const Scalar& temperature_c,
                                   double packing_factor, const Scalar& days) {
  using std::exp;
  using std::log;
  if (days <= 0.0 || lost_half_year_share <= 0.0) return Scalar(1.0);
  Scalar lost = lost_half_year_share;
  if (lost > 0.99) lost = Scalar(0.99);
  const Scalar rate_per_day = -log(1.0 - lost) / 180.0;
  const Scalar temperature_factor = exp((std::log(2.0) / 15.0) * (temperature_c - 20.0));
  const Scalar rate_here_per_day = rate_per_day * temperature_factor;
  const Scalar passed = rate_here_per_day * days;
  return exp(-packing_factor * passed);
}

// Alpha acid of home-dried hops nobody has analysed, mass fraction: the range brewers reckon with for unnamed garden
// plants. From memory, no source. Oven drying above about 60 C, browning or a cheesy smell mean less, not more.
struct HopAlphaRange {
  double low = 0.0;
  double high = 0.0;
};
inline constexpr HopAlphaRange home_dried_alpha_unknown{0.03, 0.08};

// The range narrowed to what is left of it: the fresh alpha of a known variety, home-dried and kept for some days. The
// kind of packing and the half-year loss of the variety are both uncertain, so the low end takes the worst of each (35
// % in half a year, open) and the high end the best (15 %, oxygen barrier). Loss figures: Garetz 1994, extremes of the
// named classes, from memory.
inline HopAlphaRange home_dried_alpha_left(const HopAlphaRange& fresh, double temperature_c, double days) {
  constexpr double open = hop_packing_factor_garetz(HopPacking::open_to_air);
  constexpr double barrier = hop_packing_factor_garetz(HopPacking::oxygen_barrier);
  return {fresh.low * hop_alpha_left_share_garetz(0.35, temperature_c, open, days),
          fresh.high * hop_alpha_left_share_garetz(0.15, temperature_c, barrier, days)};
}

}  // namespace oddgrist::science

// Mash pH as the one pH at which what everything in the mash gives and takes up balances to zero. Room-temperature
// scale (20 C).
//
// A. J. deLange, "Predicting and controlling mash pH using simple models for mash component acid/base characteristics",
// MBAA Technical Quarterly 52(1) (2015): each malt is a Taylor series about its pH in distilled water. Malts vary by
// batch and a mash is never quite at equilibrium: expect +-0.1 to 0.15 pH, more if the malt's figures are a class
// average.
#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <vector>

#include <Eigen/Core>  // AutoDiff does not include it itself

#include <boost/math/tools/toms748_solve.hpp>
#include <unsupported/Eigen/AutoDiff>

#include "quantity/gravity.hpp"
#include "science/acid.hpp"
#include "science/carbonate.hpp"
#include "science/water.hpp"

namespace oddgrist::science {

template <class Scalar>
struct MashMalt {
  Scalar mass_kg{0.0};
  double ph_in_distilled_water = 5.75;
  double buffering_meq_per_kg_ph = 40.0;
  double quadratic_meq_per_kg_ph2 = 0.0;  // known for few malts; 0 otherwise
  double cubic_meq_per_kg_ph3 = 0.0;
};

template <class Scalar>
struct MashLiquor {
  Scalar volume_l{0.0};
  Scalar alkalinity_meq_per_l{0.0};
  double ph = 7.5;  // as it comes from the tap; it sets how much CO2 the water already holds
};

template <class Scalar>
struct MashAcidDose {
  AcidKind kind = AcidKind::lactic;
  Scalar moles{0.0};
};

template <class Scalar>
struct MashAcidity {
  std::vector<MashMalt<Scalar>> malts;
  std::vector<MashLiquor<Scalar>> liquors;
  std::vector<MashAcidDose<Scalar>> acids;
  Scalar alkali_eq{0.0};      // of chalk, lime, soda in the mash; multiply by an effectiveness below first
  Scalar other_acid_eq{0.0};  // of foods, by their own titration to about pH 5.4; negative for a base
  Scalar calcium_eq{0.0};     // all of it: liquor and salts
  Scalar magnesium_eq{0.0};
  double phosphate_factor = 1.0;  // share of Kolbach's 1/3.5 and 1/7 that the mash sets free; 0..1.5
};

// Share of an alkali's equivalents that a mash shows. Chalk hardly dissolves in a mash, and lime falls short too
// (Troester 2009; deLange 2015, both report the shortfall; the figures are ours, to be replaced by one's own
// measurement).
inline constexpr double chalk_effectiveness = 0.4, lime_effectiveness = 0.8;

inline constexpr Range mash_ph_search_range{2.0, 11.0};
inline constexpr double mash_liquor_temperature_c = 20.0;

namespace detail {

// Carbonate constants at 20 C in a mash's ionic strength, about 0.03 mol/L from malt's own potassium and phosphate.
inline const CarbonateConstants<double>& mash_carbonate() {
  static const CarbonateConstants<double> constants = carbonate_constants(mash_liquor_temperature_c, 0.03).value();
  return constants;
}

template <class Scalar>
CarbonateConstants<Scalar> constants_as(const CarbonateConstants<double>& c) {
  return {Scalar(c.k1), Scalar(c.k2), Scalar(c.kw), Scalar(c.kh), Scalar(c.h_per_a)};
}

template <class To, class From>
MashAcidity<To> mash_acidity_as(const MashAcidity<From>& from) {
  MashAcidity<To> to;
  for (const auto& m : from.malts) {
    to.malts.push_back({To(plain_value(m.mass_kg)), m.ph_in_distilled_water, m.buffering_meq_per_kg_ph,
                        m.quadratic_meq_per_kg_ph2, m.cubic_meq_per_kg_ph3});
  }
  for (const auto& l : from.liquors)
    to.liquors.push_back({To(plain_value(l.volume_l)), To(plain_value(l.alkalinity_meq_per_l)), l.ph});
  for (const auto& a : from.acids) to.acids.push_back({a.kind, To(plain_value(a.moles))});
  to.alkali_eq = To(plain_value(from.alkali_eq));
  to.other_acid_eq = To(plain_value(from.other_acid_eq));
  to.calcium_eq = To(plain_value(from.calcium_eq));
  to.magnesium_eq = To(plain_value(from.magnesium_eq));
  to.phosphate_factor = from.phosphate_factor;
  return to;
}

// Everything but derivatives must be finite, and amounts not below zero.
template <class Scalar>
bool mash_acidity_sound(const MashAcidity<Scalar>& mash) {
  const auto amount = [](const Scalar& x) { return plain_value(x) >= 0.0 && std::isfinite(plain_value(x)); };
  double buffering = 0.0;
  for (const auto& m : mash.malts) {
    if (!amount(m.mass_kg) || !(m.ph_in_distilled_water >= 3.0 && m.ph_in_distilled_water <= 8.0)) return false;
    if (!(m.buffering_meq_per_kg_ph >= 0.0 && m.buffering_meq_per_kg_ph <= 1000.0)) return false;
    if (!std::isfinite(m.quadratic_meq_per_kg_ph2) || !std::isfinite(m.cubic_meq_per_kg_ph3)) return false;
    buffering += plain_value(m.mass_kg) * m.buffering_meq_per_kg_ph;
  }
  for (const auto& l : mash.liquors) {
    if (!amount(l.volume_l) ||
        !(plain_value(l.alkalinity_meq_per_l) >= 0.0 && plain_value(l.alkalinity_meq_per_l) <= 500.0))
      return false;
    if (!(l.ph >= 4.0 && l.ph <= 11.0)) return false;
  }
  for (const auto& a : mash.acids) {
    if (!amount(a.moles)) return false;
  }
  if (!(mash.phosphate_factor >= 0.0 && mash.phosphate_factor <= 1.5)) return false;
  if (!std::isfinite(plain_value(mash.other_acid_eq))) return false;
  return buffering > 0.0 && amount(mash.alkali_eq) && amount(mash.calcium_eq) && amount(mash.magnesium_eq);
}

}  // namespace detail

// Equivalents of acid that are left over at this pH: 0 at the pH of the mash, positive above it. Any finite pH.
// A liquor whose pH is too high for its alkalinity counts as holding no carbonate.
template <class Scalar>
Scalar mash_acid_excess_eq(const MashAcidity<Scalar>& mash, const Scalar& ph) {
  const CarbonateConstants<Scalar> carbonate = detail::constants_as<Scalar>(detail::mash_carbonate());
  Scalar excess = Scalar(mash.other_acid_eq - mash.alkali_eq);
  for (const MashMalt<Scalar>& malt : mash.malts) {
    const Scalar rise = Scalar(ph - malt.ph_in_distilled_water);
    const Scalar per_kg = Scalar(
        ((rise * malt.cubic_meq_per_kg_ph3 + malt.quadratic_meq_per_kg_ph2) * rise + malt.buffering_meq_per_kg_ph) *
        rise);
    excess = Scalar(excess + malt.mass_kg * per_kg * 1e-3);
  }
  for (const MashLiquor<Scalar>& liquor : mash.liquors) {
    const Scalar alkalinity_eq_per_l = Scalar(liquor.alkalinity_meq_per_l * 1e-3);
    const auto total = carbonate_total_mol_per_l(alkalinity_eq_per_l, Scalar(liquor.ph), carbonate);
    const Scalar total_mol_per_l = total ? *total : Scalar(0.0);
    const Scalar base_left = carbonate_alkalinity_eq_per_l(total_mol_per_l, ph, carbonate);
    excess = Scalar(excess - liquor.volume_l * (alkalinity_eq_per_l - base_left));
  }
  for (const MashAcidDose<Scalar>& acid : mash.acids)
    excess = Scalar(excess + acid.moles * acid_charge_per_mole(acid.kind, ph));
  return Scalar(excess + (mash.calcium_eq / 3.5 + mash.magnesium_eq / 7.0) * mash.phosphate_factor);
}

// pH of the mash read at 20 C. Nothing for a mash without buffering malt, for amounts below zero, and when the balance
// has no zero in pH 2..11. The root is found in plain numbers (TOMS 748); one Newton step in Scalar then carries the
// derivatives of every input, by the implicit function theorem.
template <class Scalar>
std::optional<Scalar> mash_ph(const MashAcidity<Scalar>& mash) {
  if (!detail::mash_acidity_sound(mash)) return std::nullopt;
  const MashAcidity<double> plain = detail::mash_acidity_as<double>(mash);
  const auto excess = [&plain](double ph) { return mash_acid_excess_eq(plain, ph); };
  const double low = mash_ph_search_range.low, high = mash_ph_search_range.high;
  const double excess_low = excess(low), excess_high = excess(high);
  if (!(excess_low < 0.0 && excess_high > 0.0)) return std::nullopt;
  std::uintmax_t steps = 100;
  const auto bracket = boost::math::tools::toms748_solve(excess, low, high, excess_low, excess_high,
                                                         boost::math::tools::eps_tolerance<double>(50), steps);
  const double root = 0.5 * (bracket.first + bracket.second);

  using Slope = Eigen::AutoDiffScalar<Eigen::Matrix<double, 1, 1>>;
  const Slope sloped = mash_acid_excess_eq(detail::mash_acidity_as<Slope>(mash), Slope(root, 1, 0));
  const double slope = sloped.derivatives()[0];
  if (!(slope > 0.0)) return std::nullopt;
  return Scalar(root - mash_acid_excess_eq(mash, Scalar(root)) / slope);
}

// Equivalents of acid still to add for the mash to stand at this pH; negative: of base. Divide by acid_charge_per_mole
// for moles.
template <class Scalar>
Scalar mash_acid_wanted_eq(const MashAcidity<Scalar>& mash, const Scalar& target_ph) {
  return Scalar(-mash_acid_excess_eq(mash, target_ph));
}

// The straight-line form: malt buffering constant, and every alkali and acid a fixed number of equivalents (alkali less
// acid). A check on the above, and the shape a linear solver sees. Nothing without buffering malt.
template <class Scalar>
std::optional<Scalar> mash_ph_linear(const std::vector<MashMalt<Scalar>>& malts, const Scalar& alkali_less_acid_eq) {
  Scalar weighted = Scalar(0.0), buffering = Scalar(0.0);
  for (const MashMalt<Scalar>& malt : malts) {
    const Scalar weight = Scalar(malt.mass_kg * malt.buffering_meq_per_kg_ph);
    buffering = Scalar(buffering + weight);
    weighted = Scalar(weighted + weight * malt.ph_in_distilled_water);
  }
  if (!(plain_value(buffering) > 0.0)) return std::nullopt;
  return Scalar((weighted + alkali_less_acid_eq * 1000.0) / buffering);
}

// How far each malt's two figures may be off.
struct MaltSpread {
  double ph_low, ph_high;
  double buffering_low, buffering_high;
};

struct PhInterval {
  double low, high;
};

// The lowest and the highest pH any corner of the spreads gives. For the lowest every malt takes its low pH; its
// buffering is high if it pulls the mash down and low if it holds it up, which is settled by solving until no malt
// changes sides. Spreads stand in the order of mash.malts. Nothing when the lists differ in length or a corner has no
// pH.
std::optional<PhInterval> mash_ph_interval(const MashAcidity<double>& mash, const std::vector<MaltSpread>& spreads);

// pH of the same mash read hot. Slope per degree -0.0055 to -0.0075 (D. E. Briggs et al., Brewing Science and Practice,
// 2004; C. W. Bamforth, MBAA Technical Quarterly 38 (2001); from memory); the middle is used. A meter's temperature
// compensation does not do this. 0..100 C.
inline constexpr double mash_ph_slope_per_c = -0.0065;
template <class Scalar>
Scalar mash_ph_at_temperature(const Scalar& ph_at_20c, const Scalar& temperature_c) {
  return Scalar(ph_at_20c + mash_ph_slope_per_c * (temperature_c - 20.0));
}
template <class Scalar>
Scalar mash_ph_at_20c(const Scalar& ph_hot, const Scalar& temperature_c) {
  return Scalar(ph_hot - mash_ph_slope_per_c * (temperature_c - 20.0));
}

// Room-temperature scale. Common practice, no source.
inline constexpr Range mash_ph_wanted{5.2, 5.6};

}  // namespace oddgrist::science

// Acids by their dissociation constants: how many equivalents a dose of one gives at the pH it ends up at.
#pragma once

#include <array>
#include <optional>

#include "science/carbonate.hpp"
#include "science/water_chemistry.hpp"

namespace oddgrist::science {

enum class AcidKind { lactic, phosphoric, citric, malic, tartaric, acetic, sulphuric, hydrochloric };
inline constexpr std::size_t acid_kind_count = 8;

struct AcidTraits {
  Formula formula;
  int protons;
  std::array<double, 3> pka;  // 25 C, zero ionic strength; the first `protons` of them count
};

// pKa: R. N. Goldberg, N. Kishore & R. M. Lennen, "Thermodynamic quantities for the ionization reactions of buffers",
// J. Phys. Chem. Ref. Data 31 (2002) 231-370, for citric, malic, tartaric, acetic, phosphoric and sulphuric acid; CRC
// Handbook of Chemistry and Physics for lactic (all from memory). The first proton of sulphuric acid and that of
// hydrochloric acid count as fully given: -3 and -6 are orders of magnitude only, and nothing depends on them above pH
// 1. Malic and tartaric acid are the natural (L) forms. Temperature: from 20 to 65 C these pKa move by about 0.1 or
// less (lactic, acetic, citric, malic, tartaric), 0.2 (first of phosphoric) and 0.6 (second of sulphuric); at mash pH
// that changes the equivalents by under 2 %. Ionic strength 0.05 lowers a first pKa by 0.09.
constexpr AcidTraits acid_traits(AcidKind kind) {
  switch (kind) {
    case AcidKind::lactic: return {{.h = 6, .c = 3, .o = 3}, 1, {3.86}};
    case AcidKind::phosphoric: return {{.h = 3, .o = 4, .p = 1}, 3, {2.148, 7.198, 12.35}};
    case AcidKind::citric: return {{.h = 8, .c = 6, .o = 7}, 3, {3.128, 4.761, 6.396}};
    case AcidKind::malic: return {{.h = 6, .c = 4, .o = 5}, 2, {3.459, 5.097}};
    case AcidKind::tartaric: return {{.h = 6, .c = 4, .o = 6}, 2, {3.036, 4.366}};
    case AcidKind::acetic: return {{.h = 4, .c = 2, .o = 2}, 1, {4.756}};
    case AcidKind::sulphuric: return {{.h = 2, .o = 4, .s = 1}, 2, {-3.0, 1.987}};
    case AcidKind::hydrochloric: return {{.h = 1, .cl = 1}, 1, {-6.0}};
  }
  return {};
}

constexpr double acid_molar_mass_g_per_mol(AcidKind kind) { return molar_mass_g_per_mol(acid_traits(kind).formula); }

inline constexpr Range acid_range_ph{0.0, 14.0};
inline constexpr Range acid_range_mass_fraction{0.0, 1.0};
inline constexpr Range acid_range_density_kg_per_l{0.8, 2.0};

// Equivalents of acid that one mole gives when the liquid stands at this pH: 0 up to the number of protons. Rises with
// pH. Exact for the constants above; activity is left out. Good numbers for any pH from -5 to 20.
template <class Scalar>
Scalar acid_charge_per_mole(AcidKind kind, const Scalar& ph) {
  const AcidTraits traits = acid_traits(kind);
  Scalar weight = Scalar(1.0), weights = Scalar(1.0), charges = Scalar(0.0);
  for (int given = 1; given <= traits.protons; ++given) {
    weight = Scalar(weight * detail::ten_to(Scalar(ph - traits.pka[std::size_t(given - 1)])));
    weights = Scalar(weights + weight);
    charges = Scalar(charges + double(given) * weight);
  }
  return Scalar(charges / weights);
}

// mol/L of a solution of this strength by mass (0..1) and density. Nothing outside 0..1 and 0.8..2 kg/L.
inline std::optional<double> acid_molarity(AcidKind kind, double mass_fraction, double density_kg_per_l) {
  if (!acid_range_mass_fraction.holds(mass_fraction) || !acid_range_density_kg_per_l.holds(density_kg_per_l))
    return std::nullopt;
  return 1000.0 * mass_fraction * density_kg_per_l / acid_molar_mass_g_per_mol(kind);
}

// mEq that one millilitre gives at this pH. Nothing outside the ranges above. Concentrated lactic acid holds some of
// its acid as lactide and dimer, which the strength printed on a bottle counts and a cold dose frees slowly.
inline std::optional<double> acid_meq_per_ml(AcidKind kind, double mass_fraction, double density_kg_per_l, double ph) {
  const std::optional<double> molarity = acid_molarity(kind, mass_fraction, density_kg_per_l);
  if (!molarity || !acid_range_ph.holds(ph)) return std::nullopt;
  return *molarity * acid_charge_per_mole(kind, ph);
}

// Moles in a weighed dose.
template <class Scalar>
Scalar acid_moles(AcidKind kind, const Scalar& mass_kg, double mass_fraction) {
  return Scalar(mass_kg * (1000.0 * mass_fraction / acid_molar_mass_g_per_mol(kind)));
}

}  // namespace oddgrist::science

// Atomic weights and what follows from them: molar masses from formulas, equivalents. Nothing here is typed in twice.
#pragma once

namespace oddgrist::science {

// Atoms in one formula unit.
struct Formula {
  double h = 0, c = 0, n = 0, o = 0, na = 0, mg = 0, p = 0, s = 0, cl = 0, k = 0, ca = 0;
};

// g/mol. Abridged standard atomic weights 2021: Prohaska et al., "Standard atomic weights of the elements 2021 (IUPAC
// Technical Report)", Pure Appl. Chem. 94 (2022) 573-600. Uncertain by one in the last digit given, chlorine and
// sulphur by 0.01 and 0.02.
constexpr double molar_mass_g_per_mol(const Formula& f) {
  return f.h * 1.0080 + f.c * 12.011 + f.n * 14.007 + f.o * 15.999 + f.na * 22.990 + f.mg * 24.305 + f.p * 30.974 +
         f.s * 32.06 + f.cl * 35.45 + f.k * 39.098 + f.ca * 40.078;
}

inline constexpr Formula water_formula{.h = 2, .o = 1};
inline constexpr Formula calcium_carbonate_formula{.c = 1, .o = 3, .ca = 1};
inline constexpr Formula calcium_oxide_formula{.o = 1, .ca = 1};
inline constexpr Formula bicarbonate_formula{.h = 1, .c = 1, .o = 3};

}  // namespace oddgrist::science

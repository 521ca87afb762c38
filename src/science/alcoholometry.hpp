// Mixtures of ethanol and water: density, strength by volume, contraction on mixing.
#pragma once

#include <array>
#include <cstddef>

#include "science/range.hpp"

namespace oddgrist::science {

inline constexpr Range ethanol_water_density_oiml_range_mass_fraction{0.0, 1.0};
inline constexpr Range ethanol_water_density_oiml_range_c{-20.0, 40.0};
// The formula's own end points at 20 C (its first coefficient, and the sum of all A).
inline constexpr double water_density_oiml_20c_kg_per_m3 = 998.20123;
inline constexpr double ethanol_density_oiml_20c_kg_per_m3 = 789.23912;

namespace detail {

// clang-format off
inline constexpr std::array<double, 12> oiml_a = {
    9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4, 3.062874042e5,
    -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4};
inline constexpr std::array<double, 7> oiml_b = {
    0.0, -2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.1693540e-9, -9.9739231e-11};
inline constexpr std::array<double, 12> oiml_c1 = {
    0.0, 1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2, 3.924090430035045e3,
    -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4, 1.852373922069467e4, -7.420201433430137e3,
    1.285617841998974e3};
inline constexpr std::array<double, 11> oiml_c2 = {
    0.0, -1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1, -5.029988758547014e1,
    1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2, -4.414153236817392e1, 7.442971530188783};
inline constexpr std::array<double, 10> oiml_c3 = {
    0.0, -6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220, -2.895696483903638,
    4.810060584300675, -4.672147440794683, 2.458043105903461, -5.411227621436812e-1};
inline constexpr std::array<double, 5> oiml_c4 = {
    0.0, 4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6};
inline constexpr std::array<double, 3> oiml_c5 = {0.0, -2.788074354782409e-8, 1.345612883493354e-8};
// clang-format on

// Horner's rule, constant term first.
template <class Scalar, std::size_t count>
Scalar polynomial(const std::array<double, count>& coefficients, const Scalar& x) {
  Scalar sum = x * 0.0 + coefficients[count - 1];
  for (std::size_t i = count - 1; i-- > 0;) sum = Scalar(sum * x + coefficients[i]);
  return sum;
}

}  // namespace detail

// Density of ethanol and water, kg/m3. Range: mass fraction 0..1, -20..40 C above the freezing line; published error
// 0.01..0.1 kg/m3. Outside, the twelfth-degree polynomial is returned as it is and soon runs away: check the range
// first.
// Source: OIML R 22, International Alcoholometric Tables, 1975, appendix I.
template <class Scalar>
Scalar ethanol_water_density_oiml_kg_per_m3(const Scalar& mass_fraction, const Scalar& temperature_c) {
  const Scalar d = temperature_c - 20.0;
  Scalar mixed = detail::polynomial(detail::oiml_c5, mass_fraction);
  mixed = Scalar(d * mixed) + detail::polynomial(detail::oiml_c4, mass_fraction);
  mixed = Scalar(d * mixed) + detail::polynomial(detail::oiml_c3, mass_fraction);
  mixed = Scalar(d * mixed) + detail::polynomial(detail::oiml_c2, mass_fraction);
  mixed = Scalar(d * mixed) + detail::polynomial(detail::oiml_c1, mass_fraction);
  const Scalar at_20 = detail::polynomial(detail::oiml_a, mass_fraction);
  const Scalar of_water = detail::polynomial(detail::oiml_b, d);
  const Scalar from_mixture = d * mixed;
  const Scalar correction = of_water + from_mixture;
  return at_20 + correction;
}

// Alcoholic strength by volume at 20 C as a fraction (0.05 is 5 % vol), of a mixture of ethanol and water.
// Range 0..1. For beer, whose extract changes the density, use alcohol_by_volume_of_liquid below.
// Source: definition in OIML R 22, 1975.
template <class Scalar>
Scalar alcohol_by_volume_from_mass_fraction(const Scalar& mass_fraction) {
  const Scalar density = ethanol_water_density_oiml_kg_per_m3(mass_fraction, Scalar(20.0));
  return mass_fraction * density / ethanol_density_oiml_20c_kg_per_m3;
}

// Strength by volume at 20 C, as a fraction, of any liquid (beer, liqueur) whose density at 20 C is known.
template <class Scalar>
Scalar alcohol_by_volume_of_liquid(const Scalar& alcohol_mass_fraction, const Scalar& density_20c_kg_per_m3) {
  return alcohol_mass_fraction * density_20c_kg_per_m3 / ethanol_density_oiml_20c_kg_per_m3;
}

// The inverse: mass fraction from the strength by volume at 20 C, both as fractions. Newton's method from q 789/998;
// the relation is monotone, twelve rounds reach rounding error everywhere in 0..1. Outside 0..1 the answer means
// nothing.
template <class Scalar>
Scalar mass_fraction_from_alcohol_by_volume(const Scalar& volume_fraction) {
  constexpr double step = 1e-5;
  Scalar mass_fraction = volume_fraction * (ethanol_density_oiml_20c_kg_per_m3 / water_density_oiml_20c_kg_per_m3);
  for (int round = 0; round < 12; ++round) {
    const Scalar above = alcohol_by_volume_from_mass_fraction(Scalar(mass_fraction + step));
    const Scalar below = alcohol_by_volume_from_mass_fraction(Scalar(mass_fraction - step));
    const Scalar slope = Scalar(above - below) / (2.0 * step);
    const Scalar miss = alcohol_by_volume_from_mass_fraction(mass_fraction) - volume_fraction;
    const Scalar correction = miss / slope;
    mass_fraction = Scalar(mass_fraction - correction);
  }
  return mass_fraction;
}

// Volume that goes missing when pure ethanol and water of 20 C are mixed, in the unit of the two volumes. Masses add.
// Range: both volumes at or above 0, not both 0 (the answer is then not a number).
template <class Scalar>
Scalar contraction_on_mixing(const Scalar& ethanol_volume, const Scalar& water_volume) {
  const Scalar ethanol_mass = ethanol_volume * ethanol_density_oiml_20c_kg_per_m3;
  const Scalar water_mass = water_volume * water_density_oiml_20c_kg_per_m3;
  const Scalar mass = ethanol_mass + water_mass;
  const Scalar mass_fraction = ethanol_mass / mass;
  const Scalar mixed = mass / ethanol_water_density_oiml_kg_per_m3(mass_fraction, Scalar(20.0));
  const Scalar apart = ethanol_volume + water_volume;
  return apart - mixed;
}

}  // namespace oddgrist::science

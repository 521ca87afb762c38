// Carbonic acid and the other acids: laws that hold at any input. Published figures are in tests/outside/carbonate.csv
// and water.csv.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include <Eigen/Core>

#include <unsupported/Eigen/AutoDiff>

#include "science/acid.hpp"
#include "science/carbonate.hpp"

namespace {

using namespace oddgrist::science;
using Dual = Eigen::AutoDiffScalar<Eigen::Vector2d>;

double between(double low, double high) {
  constexpr int steps = 1'000'000;
  return low + (high - low) * *rc::gen::inRange(0, steps + 1) / steps;
}

CarbonateConstants<double> some_constants() { return carbonate_constants(between(0, 90), between(0, 0.5)).value(); }

AcidKind some_acid() { return static_cast<AcidKind>(*rc::gen::inRange<std::size_t>(0, acid_kind_count)); }

RC_GTEST_PROP(WaterCarbonate, ConstantsAreSoundOverTheWholeRange, ()) {
  const CarbonateConstants<double> constants = some_constants();
  RC_ASSERT(constants.k1 > constants.k2 && constants.k2 > constants.kw && constants.kw > 0.0);
  RC_ASSERT(constants.h_per_a >= 1.0 && constants.h_per_a < 1.6);
  RC_ASSERT(constants.kh > 0.0);
}

RC_GTEST_PROP(WaterCarbonate, AlkalinityGoesThereAndBack, ()) {
  const CarbonateConstants<double> constants = some_constants();
  const double total = between(1e-4, 2e-2), ph = between(4, 10);
  const double alkalinity = carbonate_alkalinity_eq_per_l(total, ph, constants);
  const auto back = carbonate_total_mol_per_l(alkalinity, ph, constants);
  RC_ASSERT(back.has_value());
  RC_ASSERT(std::abs(*back - total) < 1e-9);
}

RC_GTEST_PROP(WaterCarbonate, ChargeRisesWithPhFromNoneToTwo, ()) {
  const CarbonateConstants<double> constants = some_constants();
  const double ph = between(2, 12);
  const double here = carbonate_charge(ph, constants), above = carbonate_charge(ph + 0.1, constants);
  RC_ASSERT(here > 0.0 && here < above && above < 2.0);
  const double bicarbonate = bicarbonate_fraction(ph, constants);
  RC_ASSERT(bicarbonate > 0.0 && bicarbonate < 1.0);
}

// Far below both constants all is CO2, between them all is bicarbonate, far above all is carbonate with its two charges.
TEST(WaterCarbonate, ChargeAtItsThreePlateaus) {
  const auto constants = carbonate_constants(25.0, 0.0).value();
  EXPECT_NEAR(carbonate_charge(2.0, constants), 0.0, 1e-4);
  EXPECT_NEAR(carbonate_charge(8.34, constants), 1.0, 1e-3);
  EXPECT_NEAR(carbonate_charge(14.0, constants), 2.0, 1e-3);
}

// Acid to go from a to c is the acid from a to b and from b to c; back again costs the same in base.
RC_GTEST_PROP(WaterCarbonate, AcidDemandAddsUp, ()) {
  const CarbonateConstants<double> constants = some_constants();
  const double total = between(0, 1e-2), a = between(3, 11), b = between(3, 11), c = between(3, 11);
  const auto demand = [&](double from, double to) {
    return carbonate_acid_demand_closed_eq_per_l(total, from, to, constants);
  };
  RC_ASSERT(std::abs(demand(a, b) + demand(b, c) - demand(a, c)) < 1e-12);
  RC_ASSERT((demand(a, b) > 0.0) == (a > b) || std::abs(a - b) < 1e-9);
}

// With the CO2 let go, an acid has all of the alkalinity to pay for; in a closed vessel, below the end point, only what
// the dissolved CO2 does not cover.
RC_GTEST_PROP(WaterCarbonate, OpenVesselWantsMoreAcid, ()) {
  const CarbonateConstants<double> constants = carbonate_constants(20.0, 0.005).value();
  const double alkalinity = between(5e-4, 8e-3), ph = between(4.6, 6);
  const double total = carbonate_total_mol_per_l(alkalinity, 7.5, constants).value();
  const double closed = carbonate_acid_demand_closed_eq_per_l(total, 7.5, ph, constants);
  const double open = carbonate_acid_demand_open_eq_per_l(alkalinity, ph, 0.00042, constants);
  RC_ASSERT(open > closed);
  RC_ASSERT(std::abs(open - alkalinity) < 1e-4);
}

TEST(WaterCarbonate, RefusesOutsideItsRange) {
  EXPECT_FALSE(carbonate_constants(-1.0, 0.0));
  EXPECT_FALSE(carbonate_constants(91.0, 0.0));
  EXPECT_FALSE(carbonate_constants(20.0, 0.6));
  EXPECT_FALSE(carbonate_constants(20.0, -0.1));
  EXPECT_FALSE(carbonate_constants(std::nan(""), 0.0));
  const auto constants = carbonate_constants(20.0, 0.0).value();
  EXPECT_FALSE(carbonate_total_mol_per_l(1e-4, 11.0, constants));
  EXPECT_FALSE(carbonate_total_mol_per_l(2e-3, 1.0, constants));
}

TEST(WaterCarbonate, CarriesDerivatives) {
  const auto alkalinity = [](auto temperature_c, auto ph) {
    using Scalar = decltype(temperature_c);
    const auto constants = carbonate_constants(temperature_c, Scalar(0.01)).value();
    return carbonate_alkalinity_eq_per_l(Scalar(2e-3), ph, constants);
  };
  const Dual value = alkalinity(Dual(25.0, 2, 0), Dual(8.0, 2, 1));
  const double h = 1e-5;
  EXPECT_NEAR(value.derivatives()[0], (alkalinity(25.0 + h, 8.0) - alkalinity(25.0 - h, 8.0)) / (2 * h), 1e-11);
  EXPECT_NEAR(value.derivatives()[1], (alkalinity(25.0, 8.0 + h) - alkalinity(25.0, 8.0 - h)) / (2 * h), 1e-10);
}

RC_GTEST_PROP(WaterAcid, ChargeRisesWithPhUpToItsProtons, ()) {
  const AcidKind kind = some_acid();
  const double ph = between(0, 14);
  const double here = acid_charge_per_mole(kind, ph), above = acid_charge_per_mole(kind, ph + 0.05);
  constexpr double rounding = 1e-14;  // a strong acid has given all it has, to the last bit or two
  RC_ASSERT(std::isfinite(here) && here >= 0.0 && here <= above + rounding);
  RC_ASSERT(above <= acid_traits(kind).protons + rounding);
}

// At a pKa far from the others half of that proton is given.
TEST(WaterAcid, HalfAtThePka) {
  EXPECT_NEAR(acid_charge_per_mole(AcidKind::lactic, 3.86), 0.5, 1e-12);
  EXPECT_NEAR(acid_charge_per_mole(AcidKind::phosphoric, 7.198), 1.5, 1e-4);
}

TEST(WaterAcid, RefusesOutsideItsRange) {
  EXPECT_FALSE(acid_meq_per_ml(AcidKind::lactic, 1.2, 1.2, 5.4));
  EXPECT_FALSE(acid_meq_per_ml(AcidKind::lactic, 0.88, 0.1, 5.4));
  EXPECT_FALSE(acid_meq_per_ml(AcidKind::lactic, 0.88, 1.2, 15.0));
  EXPECT_FALSE(acid_meq_per_ml(AcidKind::lactic, std::nan(""), 1.2, 5.0));
  EXPECT_TRUE(acid_meq_per_ml(AcidKind::lactic, 0.88, 1.2, 5.4));
}

}  // namespace

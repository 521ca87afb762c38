#include "quantity/gravity.hpp"

#include <cmath>

#include <eigen3/Eigen/Core>
#include <eigen3/unsupported/Eigen/AutoDiff>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace oddgrist::science {
namespace {

using Derivative = Eigen::AutoDiffScalar<Eigen::Matrix<double, 1, 1>>;

Derivative variable(double value) { return Derivative(value, 1, 0); }

TEST(gravity, agrees_with_printed_tables) {
  // Plato tables as printed in brewing texts, specific gravity 20/20 to four decimals (from memory).
  EXPECT_NEAR(specific_gravity_from_plato_asbc(10.0), 1.0400, 5e-5);
  EXPECT_NEAR(specific_gravity_from_plato_asbc(12.0), 1.0484, 5e-5);
  EXPECT_NEAR(specific_gravity_from_plato_asbc(20.0), 1.0830, 5e-5);
}

TEST(gravity, agrees_with_sucrose_solutions) {
  // Cubic fitted to Bates et al., Polarimetry, Saccharimetry and the Sugars, NBS Circular 440, 1942: another table, of
  // sucrose (its coefficients from memory). The Plato table of the ASBC fit is printed to 0.01 and both fits keep about
  // 0.005 within 20 degrees.
  for (double s = 1.004; s < 1.0835; s += 0.004) {
    const double sucrose = ((182.4601 * s - 775.6821) * s + 1262.7794) * s - 669.5622;
    EXPECT_NEAR(plato_from_specific_gravity_asbc(s), sucrose, 0.01) << s;
  }
}

TEST(gravity, water_is_nothing_and_dry_beer_below_nothing) {
  EXPECT_EQ(plato_from_specific_gravity_asbc(1.0), 0.0);
  EXPECT_EQ(specific_gravity_from_plato_asbc(0.0), 1.0);
  EXPECT_EQ(plato_from_specific_gravity_asbc(1.000005), 0.0);
  EXPECT_NEAR(plato_from_specific_gravity_asbc(0.998), -0.518,
              5e-4);  // slope at water 258.587 x -0.002, less curvature 0.002
  EXPECT_NEAR(plato_from_specific_gravity_asbc(std::nextafter(1.0, 0.0)), 0.0, 1e-9);
}

TEST(gravity, nan_stays_nan) {
  EXPECT_TRUE(std::isnan(plato_from_specific_gravity_asbc(std::nan(""))));
  EXPECT_TRUE(std::isnan(specific_gravity_from_plato_asbc(std::nan(""))));
}

TEST(gravity, derivatives_agree_with_differences) {
  for (const double s : {0.985, 0.999, 1.0, 1.000005, 1.02, 1.069, 1.15}) {
    const double exact = plato_from_specific_gravity_asbc(variable(s)).derivatives()(0);
    const double difference = (plato_cubic_asbc(s + 1e-5) - plato_cubic_asbc(s - 1e-5)) / 2e-5;
    EXPECT_NEAR(exact, difference, 1e-5) << s;
  }
  for (const double p : {-2.0, 1.0, 12.0, 30.0}) {
    const Derivative exact = specific_gravity_from_plato_asbc(variable(p));
    const double difference =
        (specific_gravity_from_plato_asbc(p + 1e-3) - specific_gravity_from_plato_asbc(p - 1e-3)) / 2e-3;
    EXPECT_EQ(exact.value(), specific_gravity_from_plato_asbc(p));
    EXPECT_NEAR(exact.derivatives()(0), difference, 1e-9) << p;
  }
}

RC_GTEST_PROP(gravity, there_and_back, ()) {
  const double s = 0.98 + 0.22 * *rc::gen::inRange(0, 1000001) / 1e6;
  RC_PRE(s < 1.0 || s > 1.0000117);  // between them lies water
  const double back = specific_gravity_from_plato_asbc(plato_from_specific_gravity_asbc(s));
  RC_ASSERT(std::abs(back - s) <= 1e-12 * s);
}

RC_GTEST_PROP(gravity, heavier_wort_holds_more, ()) {
  const double s = 0.98 + 0.22 * *rc::gen::inRange(0, 1000000) / 1e6;
  RC_ASSERT(plato_from_specific_gravity_asbc(s) <= plato_from_specific_gravity_asbc(s + 1e-6));
}

}  // namespace
}  // namespace oddgrist::science

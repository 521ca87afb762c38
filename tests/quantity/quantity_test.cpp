// What the compiler must refuse. Compiling this file is most of the test.
#include "quantity/quantity.hpp"

#include <concepts>

#include <gtest/gtest.h>

namespace oddgrist {
namespace {

template <class A, class B>
concept addable = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept subtractable = requires(A a, B b) {
  a - b;
};
template <class A, class B>
concept comparable = requires(A a, B b) {
  a < b;
};
template <class A, class B>
concept dividable = requires(A a, B b) {
  a / b;
};
template <class A>
concept scalable = requires(A a) {
  2.0 * a;
};
template <class A, class U>
concept readable_in = requires(A a, U u) {
  a.in(u);
};

static_assert(addable<Mass, Mass> && subtractable<Mass, Mass> && comparable<Mass, Mass> && scalable<Mass>);
static_assert(!addable<Mass, Volume> && !subtractable<Mass, Volume> && !comparable<Mass, Volume>);
static_assert(std::same_as<decltype(Mass{} / Mass{}), double>);
static_assert(!dividable<Mass, Volume>, "a density is not a share");
static_assert(!addable<Mass, double> && !comparable<Mass, double>, "a bare number has no unit");
static_assert(!addable<Concentration, Fraction> && !addable<Energy, Power>);

// Points: a temperature is not added to, doubled or divided; neither is a gravity. A rise is another kind.
static_assert(!addable<Temperature, Temperature> && !subtractable<Temperature, Temperature> && !scalable<Temperature>);
static_assert(!addable<Temperature, TemperatureRise> && comparable<Temperature, Temperature>);
static_assert(!comparable<Temperature, TemperatureRise>);
static_assert(addable<TemperatureRise, TemperatureRise>);
static_assert(!addable<Gravity, Gravity> && !scalable<Gravity> && comparable<Gravity, Gravity>);

// In and out only by a unit of the same kind; no number turns into a quantity by itself.
static_assert(readable_in<Volume, Unit<VolumeKind>> && !readable_in<Volume, Unit<MassKind>>);
static_assert(!readable_in<Temperature, Unit<TemperatureRiseKind>>);
static_assert(!std::convertible_to<double, Mass> && !std::constructible_from<Mass, double>);
static_assert(!std::convertible_to<Mass, double> && !std::convertible_to<Mass, Volume>);

TEST(quantity, goes_in_and_out_by_its_unit) {
  EXPECT_DOUBLE_EQ((2.0 * pound + 8.0 * ounce).in(pound), 2.5);
  EXPECT_DOUBLE_EQ((158.0 * fahrenheit).in(celsius), 70.0);
  EXPECT_DOUBLE_EQ((1.0 * us_gallon).in(us_fluid_ounce), 128.0);
  EXPECT_DOUBLE_EQ((1.0 * imperial_gallon).in(imperial_quart), 4.0);
  EXPECT_DOUBLE_EQ((1.0 * us_gallon).in(us_pint), 8.0);
}

TEST(quantity, a_us_gallon_is_not_an_imperial_one) {
  EXPECT_NEAR((1.0 * imperial_gallon).in(us_gallon), 1.20095,
              5e-6);  // NIST Handbook 44, Appendix C: 1.200 95 (from memory)
}

}  // namespace
}  // namespace oddgrist

// Hop acids in the boil and after it, hops in store, vapour.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <Eigen/Core>
#include <unsupported/Eigen/AutoDiff>
#include <vector>

#include "science/hop_kinetics.hpp"
#include "science/hop_storage.hpp"
#include "science/vapour.hpp"

namespace {

using namespace oddgrist::science;
using Dual = Eigen::AutoDiffScalar<Eigen::VectorXd>;

double between(double low, double high, const char* what) {
  return low + (high - low) * (*rc::gen::inRange(0, 1'000'001).as(what)) / 1e6;
}

HopAcids<double> acids(double alpha, double iso = 0.0, double degraded = 0.0) {
  HopAcids<double> made;
  made.alpha = alpha;
  made.iso_alpha = iso;
  made.degraded = degraded;
  return made;
}

double sum(const HopAcids<double>& a) { return a.alpha + a.iso_alpha + a.degraded; }

RC_GTEST_PROP(HopAcids, NoMassIsLostOrMade, ()) {
  const auto start = acids(between(0, 10, "alpha"), between(0, 10, "iso"), between(0, 10, "degraded"));
  const auto end = hop_acids_after(start, between(0, 600, "minutes"), between(0, 130, "temperature"));
  RC_ASSERT(std::abs(sum(end) - sum(start)) <= 1e-12 * (1.0 + sum(start)));
  RC_ASSERT(end.alpha >= 0.0);
  RC_ASSERT(end.iso_alpha >= 0.0);
  RC_ASSERT(end.degraded >= start.degraded - 1e-12);
}

RC_GTEST_PROP(HopAcids, OneStandIsTwoHalves, ()) {
  const double minutes = between(0.01, 200, "minutes"), temperature = between(20, 120, "temperature");
  const auto whole = hop_acids_after(acids(1.0), minutes, temperature);
  const auto halves = hop_acids_after(hop_acids_after(acids(1.0), minutes / 2, temperature), minutes / 2, temperature);
  RC_ASSERT(std::abs(whole.iso_alpha - halves.iso_alpha) < 1e-9);
}

RC_GTEST_PROP(HopAcids, CourseHeldIsTheExactStep, ()) {
  const double minutes = between(0.1, 90, "minutes"), temperature = between(60, 105, "temperature");
  const auto along = hop_acids_along(acids(1.0), minutes, [=](double) { return temperature; });
  RC_ASSERT(std::abs(along.iso_alpha - hop_acids_after(acids(1.0), minutes, temperature).iso_alpha) < 1e-9);
}

RC_GTEST_PROP(HopAcids, HotterGivesMoreInAShortBoil, ()) {
  const double minutes = between(1, 60, "minutes"), temperature = between(60, 100, "temperature");
  RC_ASSERT(hop_iso_yield(minutes, temperature + 1.0) > hop_iso_yield(minutes, temperature));
}

TEST(HopAcids, FinerSlicesChangeAFastChillByLessThanStated) {
  const auto chill = [](double minute) { return newton_cooling_c(98.0, 20.0, 0.15, minute); };
  const double usual = hop_acids_along(acids(1.0), 20.0, chill).iso_alpha;
  const double fine = hop_acids_along(acids(1.0), 20.0, chill, 0.005).iso_alpha;
  EXPECT_NEAR(usual, fine, 5e-5 * fine);
}

TEST(HopAcids, NothingHappensInNoTime) {
  EXPECT_EQ(hop_acids_after(acids(1.0), 0.0, 100.0).alpha, 1.0);
  EXPECT_EQ(hop_acids_after(acids(1.0), -5.0, 100.0).alpha, 1.0);
  EXPECT_EQ(hop_acids_along(acids(1.0), 0.0, [](double) { return 100.0; }).iso_alpha, 0.0);
}

TEST(HopAcids, MeasuredRange) {
  EXPECT_TRUE(hop_kinetics_measured(90.0));
  EXPECT_TRUE(hop_kinetics_measured(100.0));
  EXPECT_FALSE(hop_kinetics_measured(89.9));
  EXPECT_FALSE(hop_kinetics_measured(131.0));
}

TEST(HopAcids, DerivativeByTemperatureAgreesWithADifference) {
  const Dual temperature(100.0, 1, 0);
  const double exact = hop_iso_yield(Dual(60.0), temperature).derivatives()(0);
  const double difference = (hop_iso_yield(60.0, 100.001) - hop_iso_yield(60.0, 99.999)) / 0.002;
  EXPECT_NEAR(exact, difference, 1e-8);
}

TEST(HopAcids, DerivativeAlongACooling) {
  const Dual start(98.0, 1, 0);
  const auto yield = [](const auto& from) {
    using Scalar = std::decay_t<decltype(from)>;
    HopAcids<Scalar> fresh;
    fresh.alpha = Scalar(1.0);
    const auto course = [&from](double minute) {
      return newton_cooling_c(Scalar(from), Scalar(20.0), Scalar(0.01), Scalar(minute));
    };
    return hop_acids_along(fresh, 20.0, course).iso_alpha;
  };
  const double difference = (yield(98.001) - yield(97.999)) / 0.002;
  EXPECT_NEAR(yield(start).derivatives()(0), difference, 1e-8);
}

TEST(TemperatureCourse, LinesBetweenPointsHeldOutside) {
  const std::vector<TemperaturePoint<double>> points = {{0.0, 100.0}, {10.0, 80.0}, {10.0, 70.0}, {20.0, 70.0}};
  EXPECT_DOUBLE_EQ(temperature_on_course_c<double>(points, -1.0), 100.0);
  EXPECT_DOUBLE_EQ(temperature_on_course_c<double>(points, 5.0), 90.0);
  EXPECT_DOUBLE_EQ(temperature_on_course_c<double>(points, 10.5), 70.0);
  EXPECT_DOUBLE_EQ(temperature_on_course_c<double>(points, 99.0), 70.0);
}

RC_GTEST_PROP(HopStorage, LossIsAShareAndGrowsWithTheIndex, ()) {
  const double index = between(0.1, 3.0, "index");
  const double lost = hop_loss_share_nickerson(index);
  RC_ASSERT(lost >= 0.0 && lost <= 1.0);
  RC_ASSERT(hop_loss_share_nickerson(index + 0.05) >= lost);
}

RC_GTEST_PROP(HopStorage, ColderKeepsMore, ()) {
  const double lost = between(0.05, 0.6, "lost"), days = between(1, 700, "days");
  const double temperature = between(-25, 25, "temperature");
  const double warm = hop_alpha_left_share_garetz(lost, temperature + 1.0, 1.0, days);
  const double cold = hop_alpha_left_share_garetz(lost, temperature, 1.0, days);
  RC_ASSERT(warm < cold);
  RC_ASSERT(cold > 0.0 && cold <= 1.0);
}

TEST(HopStorage, HomeDriedIntervalOnlyWidensDownwards) {
  const HopAlphaRange left = home_dried_alpha_left(home_dried_alpha_unknown, 20.0, 120.0);
  EXPECT_LT(left.low, home_dried_alpha_unknown.low);
  EXPECT_LT(left.high, home_dried_alpha_unknown.high);
  EXPECT_LT(left.low, left.high);
}

RC_GTEST_PROP(Vapour, BoilingPointInvertsThePressure, ()) {
  const double temperature = between(20, 150, "temperature");
  RC_ASSERT(std::abs(water_boiling_point_c(water_vapour_pressure_bar_wagner(temperature)) - temperature) < 1e-9);
}

RC_GTEST_PROP(Vapour, SlopeIsTheDerivative, ()) {
  const double t = between(1, 200, "temperature");
  const Dual dual(t, 1, 0);
  const double slope = water_vapour_pressure_slope_bar_per_k_wagner(t);
  RC_ASSERT(std::abs(water_vapour_pressure_bar_wagner(dual).derivatives()(0) - slope) < 1e-12 + 1e-10 * slope);
}

TEST(Vapour, HigherUpWaterBoilsColderAndAKettleBoilsOffLittleMore) {
  EXPECT_LT(water_boiling_point_at_altitude_c(2000.0), 94.0);
  const double low = boil_off_bound_kg_per_hour(2.0, 100.0);
  EXPECT_NEAR(low, 7200.0 / 2256.5, 1e-3);  // latent heat 2256.5 kJ/kg: IAPWS-95
  EXPECT_EQ(boil_off_bound_kg_per_hour(-1.0, 100.0), 0.0);
}

TEST(Vapour, DerivativeByAltitude) {
  const Dual altitude(1000.0, 1, 0);
  const auto bound = [](const auto& metres) {
    using Scalar = std::decay_t<decltype(metres)>;
    return boil_off_bound_kg_per_hour(Scalar(2.0), water_boiling_point_at_altitude_c(metres));
  };
  const double difference = (bound(1000.5) - bound(999.5)) / 1.0;
  EXPECT_NEAR(bound(altitude).derivatives()(0), difference, 1e-10);
}

}  // namespace

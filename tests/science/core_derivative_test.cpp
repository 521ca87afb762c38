// Every core formula must give its own derivatives: the solver has no others. Each is compared with a central
// difference, once with every input active and once for each input alone, the others being plain constants without
// derivatives.
#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <array>
#include <cmath>
#include <string>
#include <unsupported/Eigen/AutoDiff>

#include "science/alcoholometry.hpp"
#include "science/attenuation.hpp"
#include "science/balling.hpp"
#include "science/bitterness.hpp"
#include "science/colour.hpp"
#include "science/density.hpp"
#include "science/extract.hpp"
#include "science/heat.hpp"
#include "science/label_energy.hpp"
#include "science/volumes.hpp"

namespace {

using namespace oddgrist::science;
using Dual = Eigen::AutoDiffScalar<Eigen::VectorXd>;

template <std::size_t n, class Function>
double central_difference(const Function& function, const std::array<double, n>& at, std::size_t i) {
  const double step = 1e-5 * std::max(1e-2, std::abs(at[i]));
  std::array<double, n> above = at;
  std::array<double, n> below = at;
  above[i] += step;
  below[i] -= step;
  return (function(above) - function(below)) / (2.0 * step);
}

template <std::size_t n, class Function>
void expect_derivatives(const std::string& name, const Function& function, const std::array<double, n>& at) {
  SCOPED_TRACE(name);
  std::array<Dual, n> all_active;
  for (std::size_t i = 0; i < n; ++i) all_active[i] = Dual(at[i], static_cast<int>(n), static_cast<int>(i));
  const Dual together = function(all_active);
  EXPECT_DOUBLE_EQ(together.value(), function(at));
  ASSERT_EQ(together.derivatives().size(), static_cast<Eigen::Index>(n));
  for (std::size_t i = 0; i < n; ++i) {
    std::array<Dual, n> one_active;
    for (std::size_t j = 0; j < n; ++j) one_active[j] = i == j ? Dual(at[j], 1, 0) : Dual(at[j]);
    const Dual alone = function(one_active);
    const double numeric = central_difference(function, at, i);
    const double margin = 1e-6 * std::max(1e-3, std::abs(numeric));
    EXPECT_NEAR(together.derivatives()(static_cast<Eigen::Index>(i)), numeric, margin) << "input " << i;
    ASSERT_EQ(alone.derivatives().size(), 1) << "input " << i;
    EXPECT_NEAR(alone.derivatives()(0), numeric, margin) << "input " << i << " alone";
  }
}

TEST(CoreDerivatives, Density) {
  for (const double t : {5.0, 20.0, 66.0, 95.0}) {
    expect_derivatives(
        "water", [](const auto& x) { return water_density_kell_kg_per_m3(x[0]); }, std::array{t});
    expect_derivatives(
        "sucrose", [](const auto& x) { return sucrose_solution_density_bettin_kg_per_m3(x[0], x[1]); },
        std::array{0.12, t});
    expect_derivatives(
        "beer", [](const auto& x) { return beer_density_kg_per_m3(x[0], x[1], x[2]); }, std::array{0.04, 0.05, t});
  }
  expect_derivatives(
      "tabarie", [](const auto& x) { return specific_gravity_tabarie(x[0], x[1]); }, std::array{0.04, 0.05});
  expect_derivatives(
      "reading", [](const auto& x) { return hydrometer_reading(x[0], x[1]); }, std::array{0.12, 31.0});
  expect_derivatives(
      "from reading", [](const auto& x) { return specific_gravity_from_hydrometer(x[0], x[1]); },
      std::array{1.047, 31.0});
}

TEST(CoreDerivatives, Alcoholometry) {
  for (const double p : {0.03, 0.4, 0.9}) {
    expect_derivatives(
        "density", [](const auto& x) { return ethanol_water_density_oiml_kg_per_m3(x[0], x[1]); }, std::array{p, 7.0});
    expect_derivatives(
        "by volume", [](const auto& x) { return alcohol_by_volume_from_mass_fraction(x[0]); }, std::array{p});
    expect_derivatives(
        "by mass", [](const auto& x) { return mass_fraction_from_alcohol_by_volume(x[0]); }, std::array{p});
  }
  expect_derivatives(
      "of liquid", [](const auto& x) { return alcohol_by_volume_of_liquid(x[0], x[1]); }, std::array{0.04, 1010.0});
  expect_derivatives(
      "contraction", [](const auto& x) { return contraction_on_mixing(x[0], x[1]); }, std::array{2.0, 5.0});
}

TEST(CoreDerivatives, Balling) {
  expect_derivatives(
      "real extract", [](const auto& x) { return real_extract_balling_plato(x[0], x[1]); }, std::array{12.0, 2.5});
  expect_derivatives(
      "alcohol", [](const auto& x) { return alcohol_mass_fraction_balling(x[0], x[1]); }, std::array{12.0, 4.2});
  expect_derivatives(
      "by mass", [](const auto& x) { return alcohol_mass_fraction_balling_from_gravities(x[0], x[1]); },
      std::array{1.05, 1.01});
  expect_derivatives(
      "by volume", [](const auto& x) { return alcohol_volume_fraction_balling(x[0], x[1]); }, std::array{1.05, 1.01});
  expect_derivatives(
      "apparent", [](const auto& x) { return apparent_attenuation(x[0], x[1]); }, std::array{12.0, 2.5});
  expect_derivatives(
      "real", [](const auto& x) { return real_attenuation_asbc(x[0], x[1]); }, std::array{12.0, 4.2});
  expect_derivatives(
      "ethanol", [](const auto& x) { return fermentation_split_balling(x[0]).ethanol_kg; }, std::array{1.6});
}

TEST(CoreDerivatives, Heat) {
  const std::array mash{2.6, 20.0, 13.2, 72.0, 2.0, 19.0};
  expect_derivatives(
      "rest", [](const auto& x) { return rest_temperature_c(x[0], x[1], x[2], x[3], x[4], x[5]); }, mash);
  const std::array strike{2.6, 20.0, 13.2, 2.0, 19.0, 66.0};
  expect_derivatives(
      "strike", [](const auto& x) { return strike_temperature_c(x[0], x[1], x[2], x[3], x[4], x[5]); }, strike);
  expect_derivatives(
      "strike in kettle", [](const auto& x) { return strike_temperature_in_kettle_c(x[0], x[1], x[2], x[3], x[4]); },
      std::array{2.6, 20.0, 13.2, 2.0, 66.0});
  expect_derivatives(
      "capacity", [](const auto& x) { return mash_heat_capacity_kj_per_k(x[0], x[1], x[2]); },
      std::array{2.6, 13.2, 2.0});
  expect_derivatives(
      "infusion", [](const auto& x) { return infusion_kg(x[0], x[1], x[2], x[3]); },
      std::array{60.0, 50.0, 66.0, 98.0});
  expect_derivatives(
      "decoction", [](const auto& x) { return decoction_share(x[0], x[1], x[2]); }, std::array{52.0, 65.0, 99.0});
  expect_derivatives(
      "newton", [](const auto& x) { return temperature_newton_c(x[0], x[1], x[2], x[3]); },
      std::array{66.0, 20.0, 60.0, 600.0});
  expect_derivatives(
      "tau", [](const auto& x) { return cooling_time_constant_minutes(x[0], x[1], x[2], x[3]); },
      std::array{66.0, 61.0, 20.0, 60.0});
  expect_derivatives(
      "energy", [](const auto& x) { return heating_energy_kj(x[0], x[1], x[2]); }, std::array{60.0, 20.0, 70.0});
  expect_derivatives(
      "minutes", [](const auto& x) { return heating_minutes(x[0], x[1], x[2], x[3], x[4]); },
      std::array{60.0, 20.0, 70.0, 2.2, 0.85});
}

TEST(CoreDerivatives, VolumesAndBitterness) {
  expect_derivatives(
      "hot", [](const auto& x) { return hot_volume_l(x[0], x[1]); }, std::array{10.0, 80.0});
  expect_derivatives(
      "cold", [](const auto& x) { return cold_volume_l(x[0], x[1]); }, std::array{10.0, 80.0});
  expect_derivatives(
      "mass", [](const auto& x) { return water_mass_kg(x[0], x[1]); }, std::array{10.0, 80.0});
  expect_derivatives(
      "grain", [](const auto& x) { return grain_displacement_l(x[0]); }, std::array{2.6});
  expect_derivatives(
      "boil", [](const auto& x) { return boil_off_kg(x[0], x[1]); }, std::array{2.0, 75.0});
  expect_derivatives(
      "utilisation", [](const auto& x) { return utilisation_tinseth(x[0], x[1]); }, std::array{1.05, 30.0});
  expect_derivatives(
      "ibu", [](const auto& x) { return bitterness_tinseth_ibu(x[0], x[1], x[2], x[3], x[4]); },
      std::array{0.02, 0.06, 30.0, 1.05, 10.0});
}

TEST(CoreDerivatives, ColourAttenuationExtractLabel) {
  for (const double mcu : {-1.0, 0.004, 0.02, 8.0}) {
    expect_derivatives(
        "morey", [](const auto& x) { return colour_morey_srm(x[0]); }, std::array{mcu});
  }
  expect_derivatives(
      "mcu", [](const auto& x) { return malt_colour_units(x[0], x[1]); }, std::array{9.0, 10.0});
  expect_derivatives(
      "lovibond", [](const auto& x) { return lovibond_from_malt_ebc(x[0]); }, std::array{150.0});
  expect_derivatives(
      "malt ebc", [](const auto& x) { return malt_ebc_from_lovibond(x[0]); }, std::array{60.0});
  expect_derivatives(
      "fermentable", [](const auto& x) { return mash_fermentable_share(x[0]); }, std::array{67.0});
  expect_derivatives(
      "as is", [](const auto& x) { return as_is_extract(x[0], x[1]); }, std::array{0.81, 0.045});
  expect_derivatives(
      "points", [](const auto& x) { return points_gallon_per_lb(x[0]); }, std::array{300.0});
  expect_derivatives(
      "us", [](const auto& x) { return label_energy_us_kcal(x[0], x[1], x[2]); }, std::array{58.0, 7.0, 30.0});
  const auto eu_kj = [](const auto& x) {
    EnergyCarriers<std::decay_t<decltype(x[0])>> grams;
    grams.carbohydrate = x[0];
    grams.fat = x[1];
    grams.fibre = x[2];
    return label_energy_eu_kj(grams);
  };
  expect_derivatives("eu", eu_kj, std::array{58.0, 30.0, 3.0});
}

// A constant temperature outside the fit has no derivative; the formula must still be usable with one.
TEST(CoreDerivatives, FermentableShareIsFlatOutside) {
  const Dual share = mash_fermentable_share(Dual(80.0, 1, 0));
  EXPECT_EQ(share.value(), mash_fermentable_share(75.0));
  for (Eigen::Index i = 0; i < share.derivatives().size(); ++i) EXPECT_EQ(share.derivatives()(i), 0.0);
}

}  // namespace

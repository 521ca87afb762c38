// The derivatives that compose steers by are those of the forward model itself: compared with central differences of it.
#include <cmath>

#include <gtest/gtest.h>

#include "process/forecast.hpp"

namespace oddgrist::process {
namespace {

template <class Scalar>
Charge<Scalar> charge_with(const std::array<Scalar, 5>& x) {
  Charge<Scalar> charge;
  charge.mash_liquor[Component::water] = x[0];
  charge.grist[Component::starch] = x[1];
  charge.grist[Component::solids] = x[1] * 0.35;
  charge.grist[Component::dextrin] = x[1] * 0.05;
  charge.grist.colour_load_kg_lovibond = x[1] * 12.0;
  charge.kettle = {{60.0, {}}};
  charge.kettle[0].mixture[Component::alpha_acid] = x[2];
  charge.infused_food[Component::sucrose] = x[3];
  charge.infused_food[Component::fat] = Scalar(0.01);
  charge.rest_temperature_c = x[4];
  return charge;
}

template <class Scalar>
Forecast<Scalar> forecast_at(const std::array<Scalar, 5>& x) {
  return forecast(make_plan(Kit{}, charge_with(x), Ferment{}, 2.4));
}

template <class Scalar>
std::array<Scalar, 8> outputs(const Forecast<Scalar>& out) {
  return {out.fermenter_volume_l, out.original_gravity_sg, out.final_gravity_sg,  out.abv_percent,
          out.bitterness_ibu,     out.colour_ebc,          out.mash_volume_hot_l, out.priming_sucrose_g};
}

TEST(Active, DerivativesAgreeWithCentralDifferences) {
  const std::array<double, 5> at = {14.0, 1.5, 0.002, 0.03, 66.3};
  const std::array<double, 5> step = {1e-3, 1e-4, 1e-6, 1e-5, 1e-3};
  std::array<Active, 5> active;
  for (int i = 0; i < 5; ++i) {
    active[i] = Active(at[i]);
    active[i].derivatives()[i] = 1.0;
  }
  const auto exact = outputs(forecast_at(active));
  const auto plain = outputs(forecast_at(at));
  for (int i = 0; i < 5; ++i) {
    auto up = at, down = at;
    up[i] += step[i];
    down[i] -= step[i];
    const auto high = outputs(forecast_at(up)), low = outputs(forecast_at(down));
    for (std::size_t g = 0; g < plain.size(); ++g) {
      EXPECT_NEAR(exact[g].value(), plain[g], 1e-12 * std::max(1.0, std::abs(plain[g])));
      const double difference = (high[g] - low[g]) / (2.0 * step[i]);
      EXPECT_NEAR(exact[g].derivatives()[i], difference, 2e-5 * std::max(1.0, std::abs(difference)))
          << "output " << g << " input " << i;
    }
  }
}

}  // namespace
}  // namespace oddgrist::process

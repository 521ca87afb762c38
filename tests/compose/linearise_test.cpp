// The linear core's coefficients are derivatives of the forecast, whatever the number of ingredients.
#include <cmath>

#include <gtest/gtest.h>

#include "compose/design.hpp"
#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

TEST(Linearise, AgreesWithCentralDifferencesOfTheForecast) {
  const Brief brief = sample::harvest();
  const Unknowns unknowns = unknowns_of(brief);
  Fermentation fermentation;
  fermentation.yeast = &brief.have.back();
  fermentation.how = {*brief.have.back().ingredient.yeast, 19.0};
  fermentation.pitched_kg = 0.009;
  Design design;
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v) design.amount_kg.push_back(0.01 + 0.004 * static_cast<double>(v));
  design.amount_kg[0] = 13.5;
  design.amount_kg[1] = 0.4;
  design.amount_kg[2] = 1.2;
  design.rest_temperature_c = 66.2;
  const Linearisation line = linearise(brief, unknowns, design, fermentation);
  const auto at = [&](const Design& where) { return gauges_of(forecast_of(brief, unknowns, where, fermentation)); };
  const auto plain = at(design);
  for (std::size_t v = 0; v <= unknowns.variables.size(); ++v) {
    const double step = v == unknowns.variables.size() ? 1e-3 : 1e-5;
    Design up = design, down = design;
    (v == unknowns.variables.size() ? up.rest_temperature_c : up.amount_kg[v]) += step;
    (v == unknowns.variables.size() ? down.rest_temperature_c : down.amount_kg[v]) -= step;
    const auto high = at(up), low = at(down);
    for (int g = 0; g < gauge_count; ++g) {
      EXPECT_NEAR(line.value[g], plain[g], 1e-12 * std::max(1.0, plain[g]));
      const double difference = (high[g] - low[g]) / (2.0 * step);
      const double slope = v == unknowns.variables.size() ? line.per_kelvin_of_rest[g] : line.per_kg[g][v];
      EXPECT_NEAR(slope, difference, 1e-4 * std::max(1e-2, std::abs(difference))) << "gauge " << g << " variable " << v;
    }
  }
}

}  // namespace
}  // namespace oddgrist::compose

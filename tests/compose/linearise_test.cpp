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
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v)
    design.amount_kg.push_back(0.01 + 0.004 * static_cast<double>(v));
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

// Nothing of an ingredient is in yet: the search must still see what the first gram would do.
TEST(Linearise, SeesTheFirstGram) {
  const Brief brief = sample::harvest();
  const Unknowns unknowns = unknowns_of(brief);
  const Fermentation fermentation{&brief.have.back(), {*brief.have.back().ingredient.yeast, 19.0}, 0.009};
  Design design;
  design.amount_kg.assign(unknowns.variables.size(), 0.0);
  design.amount_kg[0] = 14.0;
  design.amount_kg[2] = 2.5;
  const Linearisation line = linearise(brief, unknowns, design, fermentation);
  const int bitterness = static_cast<int>(Gauge::bitterness), colour = static_cast<int>(Gauge::colour);
  for (std::size_t v = 0; v < unknowns.variables.size(); ++v) {
    if (unknowns.variables[v].supply < 0) continue;
    const larder::Composition& made_of = *unknowns.variables[v].composition;
    if (made_of[larder::Component::alpha_acid] > 0.0) {
      EXPECT_GT(line.per_kg[bitterness][v], 10.0);
    }
    if (made_of.colour_load_per_kg > 50.0) {
      EXPECT_GT(line.per_kg[colour][v], 10.0);
    }
  }
}

}  // namespace
}  // namespace oddgrist::compose

#include "science/yeast_uptake.hpp"

#include <gtest/gtest.h>

namespace oddgrist::science {
namespace {

TEST(YeastUptake, GoesThereAndBack) {
  double before = 0.0;
  for (double attenuation = 0.10; attenuation <= 1.0; attenuation += 0.01) {
    const SugarUptakes takes = uptakes_of_attenuation(attenuation);
    EXPECT_NEAR(attenuation_of_uptakes(takes), attenuation, 1e-9);
    for (const double share : {takes.maltose, takes.maltotriose, takes.dextrin}) {
      EXPECT_GE(share, 0.0);
      EXPECT_LE(share, 1.0);
    }
    EXPECT_GT(attenuation_of_uptakes(takes), before);
    before = attenuation_of_uptakes(takes);
  }
}

// By hand: with all maltose and no maltotriose 0.79 of the fermentable sugar goes, of a limit of 79.5 %: 62.8 %.
TEST(YeastUptake, LeavesMaltotrioseFirst) {
  EXPECT_NEAR(packet_wort_limit(), 0.795, 0.003);
  EXPECT_NEAR(attenuation_of_uptakes({1.0, 0.0, 0.0}), 0.79 * 0.795, 0.003);
  const SugarUptakes low = uptakes_of_attenuation(0.5);
  EXPECT_EQ(low.maltotriose, 0.0);
  EXPECT_LT(low.maltose, 1.0);
  EXPECT_EQ(uptakes_of_attenuation(0.7).maltose, 1.0);
  EXPECT_EQ(uptakes_of_attenuation(0.7).dextrin, 0.0);
  EXPECT_GT(uptakes_of_attenuation(0.9).dextrin, 0.0);
  EXPECT_EQ(uptakes_of_attenuation(0.0).maltose, 0.0);
}

}  // namespace
}  // namespace oddgrist::science

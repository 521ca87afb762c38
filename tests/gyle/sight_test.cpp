// From readings to what the forecast calls them.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "gyle/sight.hpp"
#include "science/density.hpp"
#include "science/refractometry.hpp"

namespace oddgrist::gyle {
namespace {

Taken taken(Sight sight, Stage stage, double value, std::optional<double> at_c = {}) {
  Taken taken;
  taken.reading.sight = sight;
  taken.reading.stage = stage;
  taken.reading.value = value;
  taken.reading.at_celsius = at_c;
  return taken;
}

TEST(Sight, ABoilingVolumeShrinks) {
  // Water: 998.2 kg/m3 at 20 C, 959.8 at 98 C (Kell 1975), so 10 L hot are 9.615 L cold.
  const auto hot = sighting_of(taken(Sight::volume, Stage::before_boil, 10.0), {}).seen;
  ASSERT_TRUE(hot);
  EXPECT_EQ(hot->told, Told::pre_boil_volume);
  EXPECT_NEAR(hot->value, 9.615, 0.002);
  const auto cold = sighting_of(taken(Sight::volume, Stage::before_boil, 10.0, 20.0), {}).seen;
  EXPECT_NEAR(cold->value, 10.0, 1e-9);
}

RC_GTEST_PROP(Sight, AWarmHydrometerIsBroughtBackToTwentyDegrees, ()) {
  const double sg = 1.0 + *rc::gen::inRange(5, 100) / 1000.0;
  const double at_c = *rc::gen::inRange(5, 40);
  const double shown = science::hydrometer_reading(science::plato_from_specific_gravity_asbc(sg) * 0.01, at_c);
  const auto seen = sighting_of(taken(Sight::gravity, Stage::after_boil, shown, at_c), {}).seen;
  RC_ASSERT(seen && std::abs(seen->value - sg) < 2e-4);
}

RC_GTEST_PROP(Sight, ARefractometerInBeerKnowsOfTheAlcohol, ()) {
  const double original = *rc::gen::inRange(80, 200) / 10.0, apparent = *rc::gen::inRange(10, 60) / 10.0;
  Known known;
  known.original_gravity_sg = science::specific_gravity_from_plato_asbc(original);
  const double brix = science::refraction_of_fermented_brix(original, apparent) * science::refractometer_wort_factor;
  const auto seen = sighting_of(taken(Sight::refraction, Stage::package, brix), known).seen;
  RC_ASSERT(seen && seen->told == Told::final_gravity);
  RC_ASSERT(std::abs(seen->value - science::specific_gravity_from_plato_asbc(apparent)) < 1e-4);
  RC_ASSERT(seen->deviation > usual_deviation(Sight::gravity, 1.0));  // less sure than a hydrometer
}

TEST(Sight, AGravityHoursAfterPitchingIsNotTheOriginalOne) {
  Taken later = taken(Sight::gravity, Stage::fermenter, 1.030);
  later.hours_into_stage = 48.0;
  EXPECT_FALSE(sighting_of(later, {}).seen);
  later.hours_into_stage = 1.0;
  EXPECT_EQ(sighting_of(later, {}).seen->told, Told::original_gravity);
}

RC_GTEST_PROP(Sight, NothingBreaksIt, ()) {
  Taken any = taken(static_cast<Sight>(*rc::gen::inRange(0, 8)), static_cast<Stage>(*rc::gen::inRange(0, 7)),
                    *rc::gen::arbitrary<double>(), *rc::gen::inRange(-20, 150));
  const Sighting sighting = sighting_of(any, {});
  RC_ASSERT(sighting.seen.has_value() != !sighting.why.empty());
  if (sighting.seen) RC_ASSERT(std::isfinite(sighting.seen->value) && sighting.seen->deviation > 0.0);
}

std::vector<std::string> slips(const Taken& of, double gravity, double litres) {
  return likely_slips(of, {}, [&](Told told) -> Expected {
    const bool volume =
        told == Told::pre_boil_volume || told == Told::post_boil_volume || told == Told::fermenter_volume;
    return volume ? Expected{litres, 0.3} : Expected{gravity, 0.0015};
  });
}

TEST(Slips, AreNamed) {
  const auto first = [](const std::vector<std::string>& list) { return list.empty() ? std::string() : list.front(); };
  EXPECT_EQ(first(slips(taken(Sight::gravity, Stage::after_boil, 12.4), 1.050, 11.0)), "typed in degrees Plato");
  EXPECT_EQ(first(slips(taken(Sight::gravity, Stage::after_boil, 1050.0), 1.050, 11.0)), "the point left out");
  EXPECT_EQ(first(slips(taken(Sight::volume, Stage::fermenter, 2.9), 1.050, 11.0)), "typed in US gallons");
  const double warm = science::hydrometer_reading(0.124, 60.0);
  EXPECT_EQ(first(slips(taken(Sight::gravity, Stage::after_boil, warm), 1.050, 11.0)),
            "read at about 60 °C and not at 20 °C");
  EXPECT_TRUE(slips(taken(Sight::gravity, Stage::after_boil, 1.150), 1.050, 11.0).empty());
}

TEST(Marks, AreReadStraightBetweenAndNotBeyond) {
  const Marks marks = {{0.0, 0.5}, {10.0, 4.5}, {20.0, 9.5}};
  EXPECT_DOUBLE_EQ(*litres_at(marks, 5.0), 2.5);
  EXPECT_DOUBLE_EQ(*litres_at(marks, 20.0), 9.5);
  EXPECT_FALSE(litres_at(marks, 21.0));
  EXPECT_FALSE(litres_at({{0.0, 1.0}, {5.0, 0.5}}, 2.0));
}

}  // namespace
}  // namespace oddgrist::gyle

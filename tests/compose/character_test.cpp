// The sketch follows what is in the glass: figures made by hand, and laws that hold for any beer.
#include "compose/character.hpp"

#include <gtest/gtest.h>

#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

// A beer of 950 g water, 40 g ethanol and 45 g dextrin, typed by hand.
process::Forecast<double> beer(double dextrin_kg, double colour_ebc, double ibu, double og) {
  process::Forecast<double> forecast;
  process::Moment<double> last;
  last.after[process::Component::water] = 0.95;
  last.after[process::Component::ethanol] = 0.04;
  last.after[process::Component::dextrin] = dextrin_kg;
  forecast.trace.push_back(last);
  forecast.abv_percent = 5.0;
  forecast.colour_ebc = colour_ebc;
  forecast.bitterness_ibu = ibu;
  forecast.original_gravity_sg = og;
  forecast.packaged_volume_l = process::liquid_volume_l(last.after, 20.0);
  return forecast;
}

const Trait& on(const std::vector<Trait>& traits, Axis axis) {
  for (const Trait& trait : traits) {
    if (trait.axis == axis) return trait;
  }
  throw std::runtime_error("no such axis");
}

TEST(Character, FiguresComeFromWhatIsInTheBeer) {
  const auto forecast = beer(0.045, 24.0, 30.0, 1.050);
  const auto traits = traits_of(forecast, 0.004, "faint");
  EXPECT_NEAR(on(traits, Axis::body).value, 45.0 / forecast.packaged_volume_l, 1e-9);  // g of extract in its litres
  EXPECT_NEAR(on(traits, Axis::bitterness).value, 0.6, 1e-12);                         // 30 IBU over 50 points
  EXPECT_NEAR(on(traits, Axis::oddment).value, 4.0 / forecast.packaged_volume_l, 1e-9);
  EXPECT_EQ(on(traits, Axis::colour).word, "amber");
  EXPECT_EQ(on(traits, Axis::bitterness).word, "balanced");
  EXPECT_EQ(on(traits, Axis::oddment).word, "faint");
}

TEST(Character, MoreExtractIsFullerMoreColourDarkerMoreHopsMoreBitter) {
  const auto plain = traits_of(beer(0.030, 10.0, 20.0, 1.050), 0.0, "");
  const auto more = traits_of(beer(0.060, 40.0, 45.0, 1.050), 0.0, "");
  for (Axis axis : {Axis::body, Axis::colour, Axis::bitterness}) {
    EXPECT_GT(on(more, axis).steps, on(plain, axis).steps);
    EXPECT_GT(on(more, axis).share, on(plain, axis).share);
    EXPECT_NE(on(more, axis).word, on(plain, axis).word);
  }
}

TEST(Character, DistanceIsADistance) {
  const auto a = traits_of(beer(0.030, 10.0, 20.0, 1.050), 0.0, "");
  const auto b = traits_of(beer(0.060, 40.0, 45.0, 1.050), 0.0, "");
  const auto c = traits_of(beer(0.045, 25.0, 20.0, 1.040), 0.05, "plain");
  EXPECT_DOUBLE_EQ(steps_between(a, a), 0.0);
  EXPECT_DOUBLE_EQ(steps_between(a, b), steps_between(b, a));
  EXPECT_LE(steps_between(a, b), steps_between(a, c) + steps_between(c, b) + 1e-12);
  EXPECT_GT(steps_between(a, b), 1.0);
}

TEST(Character, EveryShareLiesOnItsAxisWhateverTheBeer) {
  for (double extract : {0.0, 0.02, 0.3}) {
    for (double colour : {0.0, 3.0, 300.0}) {
      for (double og : {1.0, 1.050, 1.200}) {
        for (const Trait& trait : traits_of(beer(extract, colour, 60.0, og), 0.2, "loud")) {
          EXPECT_GE(trait.share, 0.0);
          EXPECT_LE(trait.share, 1.0);
          EXPECT_FALSE(trait.word.empty());
        }
      }
    }
  }
}

TEST(Character, EveryAxisHasWordsAndASource) {
  for (Axis axis : {Axis::strength, Axis::body, Axis::colour, Axis::bitterness, Axis::oddment}) {
    EXPECT_FALSE(axis_words(axis).name.empty());
    EXPECT_FALSE(axis_words(axis).source.empty());
  }
}

// A proposal as composed: no oddment, so no axis for one.
TEST(Character, OfAComposedBeer) {
  const Brief brief = sample::harvest();
  const Character character = character_of(brief, compose(brief).proposals.at(0));
  ASSERT_EQ(character.traits.size(), 4u);
  EXPECT_NE(character_words(character).find("amber"), std::string::npos);  // the brief asks for 20 to 30 EBC
  EXPECT_EQ(character_words(character).find("oddment"), std::string::npos);
  EXPECT_TRUE(character_of(brief, Proposal{}).traits.empty());
}

}  // namespace
}  // namespace oddgrist::compose

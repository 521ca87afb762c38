// What a tasting changes in the next brief.
#include <gtest/gtest.h>

#include "gyle/lesson.hpp"
#include "hidden_gyle.hpp"

namespace oddgrist::gyle {
namespace {

using compose::Measure;
using hidden::Mishap;

const compose::Wish& wish_of(const compose::Brief& brief, Measure measure) {
  return *std::find_if(brief.wishes.begin(), brief.wishes.end(),
                       [&](const auto& wish) { return wish.measure == measure; });
}

hidden::Day tasted_day(const std::string& note, Mishap mishap = Mishap::none) {
  hidden::Day day = hidden::day_of(hidden::planned().brief, hidden::planned().recipe, 21, mishap, Stage::package);
  day.log.write(Note{note});
  return day;
}

NextTime next_of(const hidden::Day& day) { return next_time(*day.brief, standing_of(*day.brief, day.state())); }

TEST(Tasting, IsReadFromPlainWords) {
  const auto tasted = tasted_in("Rather thin, and too BITTER for Jo.");
  ASSERT_EQ(tasted.size(), 2u);
  EXPECT_TRUE(tasted_in("not too bitter, isn't thin").empty());
  EXPECT_TRUE(tasted_in("something lovely, inflated praise").empty());
}

TEST(Lesson, AComplaintMovesTheWishAwayFromWhatTheBeerHad) {
  const auto day = tasted_day("too bitter");
  const Standing standing = standing_of(*day.brief, day.state());
  const double had = standing.now[static_cast<std::size_t>(Told::bitterness)].value;
  const auto& before = wish_of(*day.brief, Measure::bitterness);
  const auto& after = wish_of(next_time(*day.brief, standing).brief, Measure::bitterness);
  if (had > before.high) {
    EXPECT_DOUBLE_EQ(after.high, before.high);
  } else {
    EXPECT_LT(0.5 * (after.low + after.high), had);
    EXPECT_NEAR(after.high - after.low, before.high - before.low, 1e-9);
  }
}

TEST(Lesson, TastersWhoDisagreeChangeNothing) {
  auto day = tasted_day("too dark");
  day.log.write(Note{"too pale"});
  const auto& after = wish_of(next_of(day).brief, Measure::colour);
  EXPECT_DOUBLE_EQ(after.high, wish_of(*day.brief, Measure::colour).high);
}

TEST(Lesson, TheKitLearns) {
  const auto day = hidden::day_with_good_dipstick(16, 1.7);
  const NextTime next = next_of(day);
  EXPECT_GT(next.brief.kit.boil_off.in(litre_per_hour), day.brief->kit.boil_off.in(litre_per_hour));
  EXPECT_TRUE(std::any_of(next.lessons.begin(), next.lessons.end(),
                          [](const Lesson& lesson) { return lesson.what.starts_with("boil-off"); }));
}

TEST(Lesson, TheNewBriefCanBeComposed) {
  const NextTime next = next_of(tasted_day("a bit thin and too weak"));
  EXPECT_FALSE(compose::compose(next.brief).proposals.empty());
}

}  // namespace
}  // namespace oddgrist::gyle

// Moves: what is offered, that a move does what it says, and that taking the first one is better than doing nothing.
#include <cmath>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "hidden_gyle.hpp"

namespace oddgrist::gyle {
namespace {

using hidden::Day;
using hidden::Mishap;
using Kind = Part::Kind;

const hidden::Planned& planned() { return hidden::planned(); }

Replan replan_of(const Day& day) { return replan(*day.brief, day.state(), hidden::minute_of_day(day.log.now_minutes)); }

bool holds_nothing(const Replan& plan) {
  return std::count_if(plan.moves.begin(), plan.moves.end(), [](const Move& move) { return move.parts.empty(); }) == 1;
}

TEST(Replan, DoingNothingIsAlwaysAmongTheMoves) {
  for (Stage stage : {Stage::before_boil, Stage::boil, Stage::after_boil, Stage::fermenter, Stage::package}) {
    for (int mishap = 0; mishap < hidden::mishap_count; ++mishap) {
      const Day day = hidden::day_of(planned().brief, planned().recipe, 100, static_cast<Mishap>(mishap), stage);
      EXPECT_TRUE(holds_nothing(replan_of(day)));
    }
  }
}

// What the log says after a move was taken forecasts the same day as the move did.
TEST(Replan, TakingAMoveIsTheMove) {
  int compared = 0;
  for (Stage stage : {Stage::before_boil, Stage::boil, Stage::after_boil, Stage::fermenter}) {
    const Day day = hidden::day_of(planned().brief, planned().recipe, 101, Mishap::boil_over, stage);
    const Replan plan = replan_of(day);
    for (const Move& move : plan.moves) {
      const Day taken = hidden::taking(day, move);
      EXPECT_TRUE(taken.state().trouble.empty());
      const Brewing brewing = brewing_of(*day.brief, taken.state());
      const Belief belief = belief_of(brewing, taken.state().readings);
      const Outlook outlook = outlook_of(brewing, belief, 512);
      for (Told told : {Told::original_gravity, Told::fermenter_volume, Told::bitterness, Told::final_gravity}) {
        const auto& promised = move.outlook[static_cast<std::size_t>(told)];
        const auto& there = outlook[static_cast<std::size_t>(told)];
        EXPECT_NEAR(promised.value, there.value, 0.35 * (there.high - there.low) + 1e-6) << static_cast<int>(told);
      }
      ++compared;
    }
  }
  EXPECT_GT(compared, 8);
}

TEST(Replan, OnlyUsesWhatIsInTheHouse) {
  const Day day = hidden::day_of(planned().brief, planned().recipe, 102, Mishap::forgotten_hop, Stage::boil);
  for (const Move& move : replan_of(day).moves) {
    const Brewing after = brewing_of(*day.brief, hidden::taking(day, move).state());
    for (const auto* list : {&day.brief->given, &day.brief->have}) {
      for (const auto& supply : *list) {
        if (!supply.amount || supply.ingredient.yeast) continue;
        double used = 0.0;
        for (const auto& amount : after.recipe.amounts) used += amount.what == supply.ingredient.id ? amount.kg : 0.0;
        EXPECT_LE(used, supply.amount->in(kilogram) + 1e-6) << supply.ingredient.id;
      }
    }
  }
}

// An oddment is there for its taste, which no demand sees: it is not the first thing to turn for a tenth of a per cent of alcohol.
TEST(Replan, MoreOfAnOddmentOnlyForSomethingPlain) {
  compose::Brief brief = compose::sample::harvest();  // no sugar in the house to make up for strength with
  compose::Supply spread = compose::sample::of("honey-hazelnut paste", 220.0 * gram);
  spread.must = compose::Must{compose::Must::Sense::between, 20.0 * gram, 60.0 * gram};
  spread.route = compose::Route::infusion;
  brief.given.push_back(spread);
  const compose::Recipe recipe = compose::compose(brief).proposals.at(0).recipe;
  int offered = 0;
  for (std::uint64_t seed = 300; seed < 330; ++seed) {
    const Day day = hidden::day_of(brief, recipe, seed, Mishap::low_conversion, Stage::before_boil);
    const Replan plan = replan_of(day);
    const auto nothing =
        std::find_if(plan.moves.begin(), plan.moves.end(), [](const Move& move) { return move.parts.empty(); });
    for (auto move = plan.moves.begin(); move != plan.moves.end(); ++move) {
      const bool more = std::any_of(move->parts.begin(), move->parts.end(),
                                    [](const Part& part) { return part.kind == Kind::oddment && part.change > 0.0; });
      offered += more ? 1 : 0;
      if (more && move < nothing) {
        EXPECT_GE(move->gain, 0.25 * nothing->loss) << "seed " << seed;
      }
    }
  }
  EXPECT_GT(offered, 0);
}

TEST(Replan, TheKettleIsNotFilledOverItsRim) {
  const Day day = hidden::day_of(planned().brief, planned().recipe, 103, Mishap::low_conversion, Stage::before_boil);
  const double room = day.brief->kit.kettle.in(litre);
  for (const Move& move : replan_of(day).moves) {
    const Brewing after = brewing_of(*day.brief, hidden::taking(day, move).state());
    EXPECT_LE(upcome_as_reckoned(after).forecast.pre_boil_volume_hot_l, room);
  }
}

TEST(Replan, AtTheBottlesLessSugarForLessBeer) {
  const Day day = hidden::day_of(planned().brief, planned().recipe, 104, Mishap::boil_over, Stage::package);
  const Replan plan = replan_of(day);
  ASSERT_FALSE(plan.moves.front().parts.empty());
  EXPECT_EQ(plan.moves.front().parts.front().kind, Kind::prime);
  EXPECT_LT(plan.moves.front().parts.front().change, 0.0);
  const auto gas = [&](const Move& move) { return move.outlook[static_cast<std::size_t>(Told::carbonation)].value; };
  for (const Move& move : plan.moves) {
    if (move.parts.empty()) {
      EXPECT_GT(gas(move), gas(plan.moves.front()));
    }
  }
}

// A gravity well above where this yeast ends: waiting is offered before sugar is weighed.
TEST(Replan, ABeerThatHasNotFinishedIsWaitedFor) {
  Day day = hidden::day_of(planned().brief, planned().recipe, 105, Mishap::none, Stage::fermenter);
  day.log.now_minutes += 5.0 * 24.0 * 60.0;
  day.log.write(Reached{Stage::package});
  Reading reading;
  reading.stage = Stage::package;
  reading.value = told_by(day.upcome(), Told::final_gravity) + 0.012;
  day.log.write(reading);
  const Replan plan = replan_of(day);
  ASSERT_TRUE(plan.belief.readings.back().questioned);
  const auto& first = plan.moves.front().parts;
  EXPECT_TRUE(std::any_of(first.begin(), first.end(), [](const Part& part) { return part.kind == Kind::wait; }));
}

// The brief wants all of it used, and the kettle is cold: what the kettle did not get goes in dry, and bitters nothing.
TEST(Replan, AHopForgottenInTheKettleGoesIntoTheFermenter) {
  for (Stage stage : {Stage::after_boil, Stage::fermenter}) {
    const Day day = hidden::day_of(planned().brief, planned().recipe, 106, Mishap::forgotten_hop, stage);
    const auto missed = std::find_if(day.log.entries.begin(), day.log.entries.end(),
                                     [](const Entry& entry) { return std::holds_alternative<Missed>(entry.what); });
    ASSERT_NE(missed, day.log.entries.end());
    const double forgotten_kg = std::get<Missed>(missed->what).amount.kg;
    const Move first = replan_of(day).moves.front();
    const auto hop =
        std::find_if(first.parts.begin(), first.parts.end(), [](const Part& part) { return part.kind == Kind::hop; });
    ASSERT_NE(hop, first.parts.end());
    EXPECT_EQ(hop->into, compose::Recipe::Into::fermenter);
    EXPECT_NEAR(hop->change, forgotten_kg, 1e-9);
    Move only_the_hop;
    only_the_hop.entries = {Added{{std::get<Missed>(missed->what).amount.what, hop->into, 0.0, forgotten_kg}}};
    const double before = told_by(day.upcome(), Told::bitterness);
    EXPECT_NEAR(told_by(hidden::taking(day, only_the_hop).upcome(), Told::bitterness), before, 0.01 * before);
  }
}

// Who knows the day as it is has nothing to fear, and comes at least as near as doing nothing.
TEST(Replan, ABeliefWithoutSpreadIsTheTruth) {
  for (std::uint64_t seed : {107, 108, 109}) {
    Day day = hidden::day_of(planned().brief, planned().recipe, seed, Mishap::boil_over, Stage::boil);
    constexpr double too_little = 0.1;  // what one more moment to put a hop in costs, and less than any wish
    // The last digit of the scale is another one for what goes in at another minute.
    std::erase_if(day.truth, [](const auto& input) { return input.first.starts_with("last digit of the scale"); });
    const State state = day.state();
    const Brewing brewing = brewing_of(*day.brief, state);
    Belief truth = prior_belief(brewing);
    truth.z = hidden::inputs_of(brewing, day.truth);
    truth.covariance.setZero();
    const Replan plan = replan(brewing, state, hidden::minute_of_day(day.log.now_minutes), truth);
    for (const Move& move : plan.moves) EXPECT_NEAR(hidden::taking(day, move).loss(), move.loss, too_little);
    EXPECT_LT(plan.moves.front().loss, 0.5 * day.loss());
  }
}

// Hidden truths: 21 kinds of disturbed day, 8 of each. Better or no worse than doing nothing in 95 %, better in nearly all that
// somebody who knew the truth could have bettered, and never worse by more than the margin the documentation states. bench/gyle_bench
// counts more of them.
TEST(Replan, IsBetterThanDoingNothing) {
  constexpr double stated_margin = 400.0;  // replan.hpp says so
  int better = 0, same = 0, worse = 0, mendable = 0, mended = 0;
  double worst = 0.0, idle = 0.0, moved = 0.0;
  std::uint64_t seed = 7;
  for (Stage stage : {Stage::before_boil, Stage::boil, Stage::after_boil, Stage::fermenter, Stage::package}) {
    for (int m = 1; m < hidden::mishap_count; ++m) {
      const auto mishap = static_cast<Mishap>(m);
      if (!hidden::has_happened(mishap, stage)) continue;
      for (int i = 0; i < 8; ++i) {
        const Day day = hidden::day_of(planned().brief, planned().recipe, seed++, mishap, stage);
        const double nothing = day.loss(), something = hidden::taking(day, replan_of(day).moves.front()).loss();
        idle += nothing, moved += something;
        worst = std::max(worst, something - nothing);
        (something < nothing - 1e-9 ? better : something > nothing + 1e-9 ? worse : same) += 1;
        if (hidden::least_loss_of_who_knows(day) >= nothing - hidden::a_hundredth) continue;
        mendable += 1;
        mended += something < nothing - 1e-9 ? 1 : 0;
      }
    }
  }
  const int all = better + same + worse;
  RecordProperty("better", better);
  RecordProperty("worse", worse);
  RecordProperty("mendable", mendable);
  RecordProperty("mended", mended);
  const auto counts =
      fmt::format("{} better, {} same, {} worse; {} of {} mended", better, same, worse, mended, mendable);
  EXPECT_GE(static_cast<double>(better + same), 0.95 * all) << counts;
  EXPECT_GE(static_cast<double>(better), 0.95 * (better + worse)) << counts;  // where something was put first
  // 95 %, with the room that so few need: one set of days in a hundred would fall below it.
  EXPECT_GE(static_cast<double>(mended), 0.95 * mendable - 2.33 * std::sqrt(0.95 * 0.05 * mendable)) << counts;
  EXPECT_LE(worst, stated_margin);
  EXPECT_LT(moved, 0.5 * idle);
}

}  // namespace
}  // namespace oddgrist::gyle

// The blind tasting: letters, ladder, scale-up by mass, strength and gas by hand.
#include "present/trial.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace oddgrist::present {
namespace {

using process::Component;

TrialPlan plan() {
  TrialPlan plan;
  plan.beer = beer_that_reads(0.05, 1.010).value();
  for (double& mass : plan.beer.mass_kg) mass *= 10.0;
  plan.liquor = sweet_liquor(0.40, 0.150).value();
  plan.doses_l = {0.0005, 0.001, 0.002};
  plan.seed = 7;
  return plan;
}

// 1e-6 % vol: the density of ethanol is kept to eight digits.
TEST(Trial, ReadingsComeBack) {
  const TrialPlan made = plan();
  EXPECT_NEAR(process::liquid_volume_l(made.beer, 20.0), 10.0, 1e-9);
  EXPECT_NEAR(process::alcohol_by_volume_percent(made.beer), 5.0, 1e-6);
  EXPECT_NEAR(process::apparent_gravity_sg(made.beer), 1.010, 1e-9);
  EXPECT_NEAR(process::alcohol_by_volume_percent(made.liquor), 40.0, 1e-6);
  EXPECT_NEAR(process::liquid_volume_l(made.liquor, 20.0), 1.0, 1e-9);
}

// OIML R 22, International Alcoholometric Tables, 1975: 40 % vol weighs 948.05 kg/m3 at 20 C (from memory).
TEST(Trial, PlainSpiritHasThePrintedDensity) {
  EXPECT_NEAR(process::total_mass_kg(sweet_liquor(0.40, 0.0).value()), 0.94805, 5e-5);
}

TEST(Trial, WhatCannotBeIsRefused) {
  EXPECT_FALSE(sweet_liquor(1.2, 0.0));
  EXPECT_FALSE(sweet_liquor(-0.1, 0.0));
  EXPECT_FALSE(sweet_liquor(0.4, -0.1));
  EXPECT_FALSE(sweet_liquor(0.95, 0.8));
  EXPECT_FALSE(beer_that_reads(0.05, 0.90));
  EXPECT_FALSE(beer_that_reads(0.5, 1.010));
  for (double dose : {0.0, -0.001, 0.2, std::nan("")}) {
    TrialPlan wrong = plan();
    wrong.doses_l = {dose};
    EXPECT_TRUE(trial_of(wrong).glasses.empty()) << dose;
  }
  TrialPlan many = plan();
  many.doses_l.assign(most_trial_doses + 1, 0.001);
  EXPECT_TRUE(trial_of(many).glasses.empty());
  EXPECT_TRUE(trial_of(TrialPlan{}).glasses.empty());
}

// Five in equal ratios over a factor of sixteen: each twice the one before.
TEST(Trial, UsualLadderDoubles) {
  for (const auto& doses : {usual_doses_l(0.1, std::nullopt), usual_doses_l(0.1, 0.03)}) {
    ASSERT_EQ(doses.size(), 5u);
    for (std::size_t i = 1; i < doses.size(); ++i) EXPECT_NEAR(doses[i] / doses[i - 1], 2.0, 1e-12);
  }
  EXPECT_NEAR(usual_doses_l(0.1, 0.03)[3], 0.003, 1e-12);  // the planned one is among them
  EXPECT_LE(usual_doses_l(0.1, 5.0).back(), 0.1 + 1e-12);
}

RC_GTEST_PROP(TrialProperty, LettersAreAPermutationThatTheSeedRepeats, ()) {
  TrialPlan made = plan();
  made.seed = *rc::gen::arbitrary<std::uint64_t>();
  made.doses_l = usual_doses_l(made.glass_l, std::nullopt);
  const Trial once = trial_of(made), again = trial_of(made);
  std::set<char> letters;
  for (std::size_t i = 0; i < once.glasses.size(); ++i) {
    letters.insert(once.glasses[i].letter);
    RC_ASSERT(once.glasses[i].letter == again.glasses[i].letter);
  }
  RC_ASSERT(letters == std::set<char>(once.letters.begin(), once.letters.end()));
  RC_ASSERT(once.letters == "ABCDEF");
}

TEST(Trial, AnotherSeedIsAnotherOrder) {
  std::set<std::string> orders;
  for (std::uint64_t seed = 0; seed < 40; ++seed) {
    TrialPlan made = plan();
    made.seed = seed;
    std::string order;
    for (const TrialGlass& glass : trial_of(made).glasses) order += glass.letter;
    orders.insert(order);
  }
  EXPECT_GT(orders.size(), 15u);  // of 24
}

// 1 mL in 100 mL is 100 mL in 10 L: the batch is a hundred glasses of the same beer, by mass as by volume.
TEST(Trial, ScaleUpByMass) {
  const Trial trial = trial_of(plan());
  ASSERT_EQ(trial.glasses.size(), 4u);
  EXPECT_EQ(trial.glasses[0].dose_l, 0.0);
  EXPECT_EQ(trial.glasses[0].abv_rise, 0.0);
  EXPECT_EQ(trial.glasses[0].later_volumes, 0.0);
  EXPECT_NEAR(trial.glasses[2].batch_dose_l, 0.100, 1e-9);
  EXPECT_NEAR(trial.glasses[2].batch_dose_kg, 0.1 * process::total_mass_kg(plan().liquor), 1e-9);
}

// 100 mL of 40 % vol into 10 L of 5 % vol: 0.540 L of ethanol in 10.1 L, which mixing changes by less than 0.1 %. Its 15 g of
// sugar, 1.485 g/L, give 4 x 44.009 / 342.297 g of gas each, at 1.9635 g/L a volume (IUPAC masses, 22.414 L/mol).
TEST(Trial, StrengthAndGasByHand) {
  const TrialGlass glass = trial_of(plan()).glasses[2];
  EXPECT_NEAR(glass.abv_percent, 100.0 * 0.540 / 10.1, 0.1 * 0.0535);
  EXPECT_NEAR(glass.sugar_g_per_l, 15.0 / 10.1, 0.002);
  EXPECT_NEAR(glass.later_volumes, 15.0 / 10.1 * 4.0 * 44.009 / 342.297 / 1.9635, 0.002);
}

RC_GTEST_PROP(TrialProperty, MoreInTheGlassIsMoreInTheBeer, ()) {
  TrialPlan made = plan();
  made.doses_l = usual_doses_l(made.glass_l, *rc::gen::inRange(1, 40) / 100.0);
  const Trial trial = trial_of(made);
  for (std::size_t i = 1; i < trial.glasses.size(); ++i) {
    RC_ASSERT(trial.glasses[i].abv_percent > trial.glasses[i - 1].abv_percent);
    RC_ASSERT(trial.glasses[i].gravity_sg != trial.glasses[i - 1].gravity_sg);
    RC_ASSERT(trial.glasses[i].later_volumes > trial.glasses[i - 1].later_volumes);
    RC_ASSERT(trial.glasses[i].bottle_gauge_bar > trial.glasses[i - 1].bottle_gauge_bar);
    RC_ASSERT(trial.glasses[i].batch_dose_kg > trial.glasses[i - 1].batch_dose_kg);
  }
}

TEST(Trial, PicksTakeTheMiddleAndTheSmallerOfTwo) {
  const Trial trial = trial_of(plan());
  const auto letter = [&](std::size_t i) { return std::string(1, trial.glasses[i].letter); };
  EXPECT_EQ(picked_glass(trial, letter(3) + letter(1) + letter(1)), &trial.glasses[1]);
  EXPECT_EQ(picked_glass(trial, letter(1) + letter(3)), &trial.glasses[1]);
  EXPECT_EQ(picked_glass(trial, letter(0)), &trial.glasses[0]);
  EXPECT_EQ(picked_glass(trial, "Z"), nullptr);
  EXPECT_EQ(picked_glass(trial, ""), nullptr);
}

TEST(Trial, TheTastersPageDoesNotTellAndThePressureIsSaid) {
  TrialPlan made = plan();
  made.doses_l = {0.001, 0.02};
  const Trial trial = trial_of(made);
  EXPECT_EQ(trial.glasses.back().verdict, science::BottleVerdict::refuse);
  const std::string text = trial_text(made, trial, std::string(1, trial.glasses[1].letter), false);
  const auto page_end = text.find('\f');
  ASSERT_NE(page_end, std::string::npos);
  EXPECT_EQ(text.substr(0, page_end).find(" mL"), std::string::npos);
  EXPECT_NE(text.find("! Pressure:", page_end), std::string::npos);
  EXPECT_NE(text.find("For the batch", page_end), std::string::npos);
  const std::string plain = trial_text(made, trial, std::string(1, trial.glasses[0].letter), false);
  EXPECT_NE(plain.find("leave it out"), std::string::npos);
}

}  // namespace
}  // namespace oddgrist::present

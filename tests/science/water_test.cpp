// Water: units, salts, mixing, and what a report says. Published figures are in tests/outside/water.csv.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "science/water.hpp"
#include "science/water_report.hpp"

namespace {

using namespace oddgrist::science;

double between(double low, double high) {
  constexpr int steps = 1'000'000;
  return low + (high - low) * *rc::gen::inRange(0, steps + 1) / steps;
}

WaterIons<double> some_water() {
  return {between(0, 300), between(0, 80),  between(0, 250), between(0, 20),
          between(0, 300), between(0, 600), between(0, 50),  between(0, 8)};
}

constexpr double WaterIons<double>::*places[] = {
    &WaterIons<double>::calcium_mg_per_l,  &WaterIons<double>::magnesium_mg_per_l,
    &WaterIons<double>::sodium_mg_per_l,   &WaterIons<double>::potassium_mg_per_l,
    &WaterIons<double>::chloride_mg_per_l, &WaterIons<double>::sulphate_mg_per_l,
    &WaterIons<double>::nitrate_mg_per_l,  &WaterIons<double>::alkalinity_meq_per_l};

bool near(double a, double b, double margin) { return std::abs(a - b) <= margin; }

// A water that adds up: Ca 80, Mg 12.15, Na 23 against Cl 35.45, SO4 96.06, NO3 6.2 and what alkalinity is left.
WaterReport sound_report() {
  WaterReport report;
  report.calcium_mg_per_l = 80.0;
  report.magnesium_mg_per_l = 12.15;
  report.sodium_mg_per_l = 23.0;
  report.chloride_mg_per_l = 35.45;
  report.sulphate_mg_per_l = 96.06;
  report.nitrate_mg_per_l = 6.2;
  report.alkalinity = Hardness{2.89, HardnessUnit::milliequivalent_per_l};
  return report;
}

const WaterSuspect& first_suspect(const WaterVerdict& verdict) { return verdict.reading.value().suspects.at(0); }

RC_GTEST_PROP(Water, BlendIsLinearInEveryIon, ()) {
  const WaterIons<double> a = some_water(), b = some_water();
  const double volume_a_l = between(0.1, 50), volume_b_l = between(0.1, 50);
  const WaterIons<double> blend = water_blend(a, volume_a_l, b, volume_b_l);
  for (const auto place : places) {
    const double mass = a.*place * volume_a_l + b.*place * volume_b_l;
    RC_ASSERT(near(blend.*place * (volume_a_l + volume_b_l), mass, 1e-9 * (1.0 + mass)));
  }
  const double hardness = water_hardness_meq_per_l(a) * volume_a_l + water_hardness_meq_per_l(b) * volume_b_l;
  RC_ASSERT(near(water_hardness_meq_per_l(blend) * (volume_a_l + volume_b_l), hardness, 1e-9 * (1.0 + hardness)));
}

// Every salt is neutral, so dosing one can't move a charge balance, whatever the water.
RC_GTEST_PROP(Water, SaltsAreNeutral, ()) {
  const auto salt = static_cast<WaterSalt>(*rc::gen::inRange<std::size_t>(0, water_salt_count));
  const ChargeBalance balance = water_charge_balance(salt_ions(salt, between(0.01, 5), between(0.5, 50)));
  RC_ASSERT(near(balance.cations_meq_per_l, balance.anions_meq_per_l, 1e-9 * (1.0 + balance.cations_meq_per_l)));
  RC_ASSERT(balance.cations_meq_per_l > 0.0);
}

RC_GTEST_PROP(Water, UnitsGoThereAndBack, ()) {
  const auto from = static_cast<HardnessUnit>(*rc::gen::inRange(0, 8));
  const auto to = static_cast<HardnessUnit>(*rc::gen::inRange(0, 8));
  const double value = between(0, 500);
  RC_ASSERT(near(hardness_converted(hardness_converted(value, from, to), to, from), value, 1e-9 * (1.0 + value)));
}

RC_GTEST_PROP(Water, DilutionReachesTheTarget, ()) {
  const WaterIons<double> tap = some_water();
  const double target = tap.sulphate_mg_per_l * between(0, 1);
  RC_PRE(tap.sulphate_mg_per_l > 1.0);
  const double share = distilled_share(tap.sulphate_mg_per_l, target).value();
  RC_ASSERT(near(water_blend(tap, 1.0 - share, {}, share).sulphate_mg_per_l, target, 1e-9 * tap.sulphate_mg_per_l));
}

TEST(Water, RefusesWhatIsNoDilution) {
  EXPECT_FALSE(distilled_share(10.0, 20.0));
  EXPECT_FALSE(distilled_share(0.0, 0.0));
  EXPECT_FALSE(distilled_share(std::nan(""), 1.0));
}

TEST(Water, ChalkAndMuchGypsumDoNotDissolve) {
  EXPECT_TRUE(salt_dissolves(WaterSalt::gypsum, 20.0, 10.0));
  EXPECT_FALSE(salt_dissolves(WaterSalt::gypsum, 30.0, 10.0));
  EXPECT_FALSE(salt_dissolves(WaterSalt::chalk, 1.0, 10.0));
  EXPECT_FALSE(salt_dissolves(WaterSalt::gypsum, 1.0, 0.0));
}

TEST(WaterReport, SoundReportHasNoSuspects) {
  const WaterVerdict verdict = read_water_report(sound_report());
  ASSERT_TRUE(verdict.reading);
  EXPECT_TRUE(verdict.reading->balance.acceptable);
  EXPECT_TRUE(verdict.reading->suspects.empty());
  EXPECT_EQ(verdict.reading->missing, std::vector<WaterIon>{WaterIon::potassium});
}

TEST(WaterReport, FindsSulphatePrintedAsSulphur) {
  WaterReport report = sound_report();
  report.sulphate_mg_per_l = 96.06 * 32.06 / 96.056;
  const WaterVerdict verdict = read_water_report(report);
  EXPECT_EQ(first_suspect(verdict).slip, ReportSlip::sulphate_as_sulphur);
  EXPECT_NEAR(first_suspect(verdict).corrected, 96.06, 0.01);
}

TEST(WaterReport, FindsHardnessPrintedAsCalcium) {
  WaterReport report = sound_report();
  report.calcium_mg_per_l = 249.8;  // 80 mg/L of calcium and 12.15 of magnesium as CaCO3
  const WaterVerdict verdict = read_water_report(report);
  EXPECT_EQ(first_suspect(verdict).slip, ReportSlip::total_hardness_as_calcium);
  EXPECT_NEAR(first_suspect(verdict).corrected, 80.0, 0.2);
}

TEST(WaterReport, FindsCalciumHardnessPrintedAsCalcium) {
  WaterReport report = sound_report();
  report.calcium_mg_per_l = 80.0 * 2.497;
  const WaterVerdict verdict = read_water_report(report);
  EXPECT_EQ(first_suspect(verdict).slip, ReportSlip::calcium_as_calcium_carbonate);
}

// A digit lost from one ion: no known slip explains it, and the ion's true value is among the candidates.
RC_GTEST_PROP(WaterReport, CandidatesHoldTheTrueValue, ()) {
  WaterReport report = sound_report();
  const double truth = between(150, 400);
  report.calcium_mg_per_l = truth;
  const double alkalinity = (truth - 80.0) / calcium_mg_per_meq + 2.89;
  report.alkalinity = Hardness{alkalinity, HardnessUnit::milliequivalent_per_l};
  report.calcium_mg_per_l = truth / 10.0;
  const WaterVerdict verdict = read_water_report(report);
  const auto& suspects = verdict.reading.value().suspects;
  RC_ASSERT(std::any_of(suspects.begin(), suspects.end(), [&](const WaterSuspect& s) {
    return s.ion == WaterIon::calcium && s.slip == ReportSlip::other && near(s.corrected, truth, 0.02 * truth);
  }));
  for (const WaterSuspect& s : suspects) RC_ASSERT(s.corrected >= 0.0);
}

// The same for an anion: whichever of the two sides is short, the correction must go the right way, to a balance of nothing.
RC_GTEST_PROP(WaterReport, CandidatesBalance, ()) {
  WaterReport report = sound_report();
  const double truth = between(150, 400);
  report.chloride_mg_per_l = truth / 10.0;
  report.sodium_mg_per_l = 23.0 + (truth - 35.45) / chloride_mg_per_meq * sodium_mg_per_meq;
  const WaterVerdict verdict = read_water_report(report);
  const auto& suspects = verdict.reading.value().suspects;
  RC_ASSERT(std::any_of(suspects.begin(), suspects.end(), [&](const WaterSuspect& s) {
    return s.ion == WaterIon::chloride && s.slip == ReportSlip::other && near(s.corrected, truth, 0.02 * truth);
  }));
  for (const WaterSuspect& s : suspects) {
    if (s.slip != ReportSlip::other) continue;
    WaterIons<double> corrected = verdict.reading->ions;
    corrected.*places[static_cast<std::size_t>(s.ion)] = s.corrected;
    RC_ASSERT(near(water_charge_balance(corrected).error_percent, 0.0, 1e-9));
  }
}

TEST(WaterReport, FillsMagnesiumInFromHardness) {
  WaterReport report = sound_report();
  report.magnesium_mg_per_l.reset();
  report.hardness = Hardness{249.8, HardnessUnit::calcium_carbonate_mg_per_l};
  const WaterVerdict verdict = read_water_report(report);
  ASSERT_TRUE(verdict.reading);
  EXPECT_NEAR(verdict.reading->ions.magnesium_mg_per_l, 12.15, 0.05);
  EXPECT_EQ(verdict.reading->filled_in, std::vector<WaterIon>{WaterIon::magnesium});
}

TEST(WaterReport, CountsCarbonateWhenThePhIsHigh) {
  WaterReport report = sound_report();
  report.ph = 9.5;
  const WaterVerdict verdict = read_water_report(report);
  ASSERT_TRUE(verdict.reading);
  EXPECT_LT(verdict.reading->bicarbonate_mg_per_l, 0.85 * 2.89 * bicarbonate_mg_per_meq);
}

TEST(WaterReport, RefusesTheImpossible) {
  const auto refused = [](auto change) {
    WaterReport report = sound_report();
    change(report);
    const WaterVerdict verdict = read_water_report(report);
    return !verdict.reading && !verdict.refusal.empty();
  };
  EXPECT_TRUE(refused([](WaterReport& r) { r.calcium_mg_per_l = -1.0; }));
  EXPECT_TRUE(refused([](WaterReport& r) { r.sodium_mg_per_l = std::nan(""); }));
  EXPECT_TRUE(refused([](WaterReport& r) { r.ph = 14.0; }));
  EXPECT_TRUE(refused([](WaterReport& r) { r.temperature_c = 120.0; }));
  EXPECT_TRUE(refused([](WaterReport& r) { r.bicarbonate_mg_per_l = 100.0; }));
  EXPECT_TRUE(refused([](WaterReport& r) { r.hardness = Hardness{100.0, HardnessUnit::calcium_carbonate_mg_per_l}; }));
  EXPECT_TRUE(refused([](WaterReport& r) { r.hardness = Hardness{500.0, HardnessUnit::bicarbonate_mg_per_l}; }));
  EXPECT_TRUE(refused([](WaterReport& r) {
    r.ph = 12.0;  // 10 mEq/L of hydroxide alone
    r.alkalinity = Hardness{1.0, HardnessUnit::milliequivalent_per_l};
  }));
  EXPECT_FALSE(refused([](WaterReport&) {}));
}

TEST(WaterReport, NamesTheCeilingsPassed) {
  WaterIons<double> water;
  water.nitrate_mg_per_l = 51.0;
  water.sulphate_mg_per_l = 249.0;
  const auto exceeded = water_ceilings_exceeded(water);
  ASSERT_EQ(exceeded.size(), 1U);
  EXPECT_EQ(exceeded[0].ion, WaterIon::nitrate);
  EXPECT_EQ(exceeded[0].kind, CeilingKind::health);
}

}  // namespace

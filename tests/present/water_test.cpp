// What a water report means and how it is printed.
#include "present/water.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "example.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

// Ca 48, Mg 10, Na 22, K 3, SO4 60, Cl 35, HCO3 135, NO3 8: 4.252 mEq/L against 4.578, error -3.7 %; by hand from equivalent weights
// (Ca 20.039, Mg 12.153, Na 22.990, K 39.098, SO4 48.03, Cl 35.45, HCO3 61.017, NO3 62.004).
science::WaterReport report() {
  science::WaterReport typed;
  typed.calcium_mg_per_l = 48.0;
  typed.magnesium_mg_per_l = 10.0;
  typed.sodium_mg_per_l = 22.0;
  typed.potassium_mg_per_l = 3.0;
  typed.sulphate_mg_per_l = 60.0;
  typed.chloride_mg_per_l = 35.0;
  typed.bicarbonate_mg_per_l = 135.0;
  typed.nitrate_mg_per_l = 8.0;
  return typed;
}

WaterToRead water_of(const science::WaterReport& typed, const std::string& name = "tap") {
  WaterToRead water;
  water.name = name;
  const auto verdict = science::read_water_report(typed);
  EXPECT_TRUE(verdict.reading) << verdict.refusal;
  if (verdict.reading) water.reading = *verdict.reading;
  return water;
}

WaterToRead distilled(double litres) {
  WaterToRead water;
  water.name = "distilled";
  water.amount = litres * litre;
  water.distilled = true;
  return water;
}

TEST(WaterFindings, HandWorkedReport) {
  const WaterFindings findings = water_findings(water_of(report()));
  EXPECT_NEAR(findings.water.reading.balance.cations_meq_per_l, 4.252, 1e-3);
  EXPECT_NEAR(findings.water.reading.balance.anions_meq_per_l, 4.578, 1e-3);
  EXPECT_NEAR(findings.water.reading.balance.error_percent, -3.7, 0.05);
  double sum = 0.0;
  for (const IonLine& ion : findings.ions) sum += ion.meq_per_l;
  EXPECT_NEAR(sum, 4.252 + 4.578, 2e-3);
  EXPECT_NEAR(findings.hardness_meq_per_l, 48.0 / 20.039 + 10.0 / 12.153, 1e-3);
  const std::string text = water_text(findings, false);
  EXPECT_NE(text.find("error -3.7 %"), std::string::npos) << text;
  EXPECT_NE(example::unwrapped(text).find("cations 4.25 mEq/L, anions 4.58 mEq/L"), std::string::npos);
}

// Kolbach 1953, by hand: HCO3 300, Ca 100, Mg 20: 300/61.017 - 100/20.039/3.5 - 20/12.153/7 = 3.256 mEq/L = 9.13 °dH.
TEST(WaterFindings, ResidualAlkalinityByHand) {
  science::WaterReport typed;
  typed.bicarbonate_mg_per_l = 300.0;
  typed.calcium_mg_per_l = 100.0;
  typed.magnesium_mg_per_l = 20.0;
  const WaterFindings findings = water_findings(water_of(typed));
  EXPECT_NEAR(findings.residual_alkalinity_meq_per_l, 3.256, 1e-3);
  const std::string text = water_text(findings, false);
  const auto row = text.find("residual  ");
  ASSERT_NE(row, std::string::npos);
  EXPECT_NE(text.substr(row, text.find('\n', row) - row).find(" 9.1 "), std::string::npos) << text;
}

TEST(WaterFindings, CeilingsNameTheirSource) {
  science::WaterReport typed = report();
  typed.nitrate_mg_per_l = 80.0;
  typed.chloride_mg_per_l = 500.0;
  typed.sodium_mg_per_l = 390.0;
  const WaterFindings findings = water_findings(water_of(typed));
  ASSERT_EQ(findings.exceeded.size(), 3U);
  // Half distilled water halves the chloride to its ceiling of 250 mg/L; sodium needs 1 - 200/390 = 0.487, nitrate 1 - 50/80 = 0.375.
  EXPECT_NEAR(*findings.share_below_ceilings, 0.5, 1e-12);
  const std::string text = example::unwrapped(water_text(findings, false));
  EXPECT_NE(text.find("nitrate is above 50 mg/L"), std::string::npos);
  EXPECT_NE(text.find("WHO, Guidelines for drinking-water quality"), std::string::npos);
  EXPECT_NE(text.find("With 50 % of distilled water"), std::string::npos);
}

// Charge removed by boiling is equal on both sides, and never more than there is.
RC_GTEST_PROP(WaterFindings, BoilingTakesOutChalkOnly, ()) {
  science::WaterIons<double> ions;
  ions.calcium_mg_per_l = *rc::gen::inRange(0, 3000) / 10.0;
  ions.magnesium_mg_per_l = *rc::gen::inRange(0, 500) / 10.0;
  ions.alkalinity_meq_per_l = *rc::gen::inRange(0, 1000) / 100.0;
  const Boiled boiled = water_boiled(ions);
  const double calcium_meq = (ions.calcium_mg_per_l - boiled.ions.calcium_mg_per_l) / science::calcium_mg_per_meq;
  const double alkalinity_meq = ions.alkalinity_meq_per_l - boiled.ions.alkalinity_meq_per_l;
  RC_ASSERT(std::abs(calcium_meq - alkalinity_meq) < 1e-9);
  RC_ASSERT(alkalinity_meq >= 0.0);
  RC_ASSERT(boiled.ions.alkalinity_meq_per_l >= std::min(1.0, ions.alkalinity_meq_per_l) - 1e-9);
  RC_ASSERT(boiled.ions.magnesium_mg_per_l == ions.magnesium_mg_per_l);
  RC_ASSERT(std::abs(boiled.chalk_mg_per_l - alkalinity_meq * science::calcium_carbonate_mg_per_meq) < 1e-9);
}

TEST(WaterFindings, BlendIsByVolume) {
  WaterToRead tap = water_of(report());
  tap.amount = 9.0 * litre;
  tap.chlorine = 0.5 * milligram_per_litre;
  const auto blend = blend_findings({tap, distilled(6.0)});
  ASSERT_TRUE(blend);
  EXPECT_NEAR(blend->water.amount->in(litre), 15.0, 1e-12);
  EXPECT_NEAR(blend->water.reading.ions.calcium_mg_per_l, 48.0 * 0.6, 1e-9);
  EXPECT_NEAR(blend->water.chlorine->in(milligram_per_litre), 0.3, 1e-9);
  EXPECT_FALSE(blend->water.ph);
  EXPECT_NEAR(blend->water.reading.balance.error_percent, tap.reading.balance.error_percent, 1e-9);
  EXPECT_FALSE(blend_findings({tap}));
  tap.amount.reset();
  EXPECT_FALSE(blend_findings({tap, distilled(6.0)}));
}

// 2 Cl2 for each S2O5: 190.1/141.8 = 1.34 mg of the sodium salt, 222.3/141.8 = 1.57 mg of the potassium salt, for each mg; by hand.
TEST(WaterText, ChlorineDose) {
  WaterToRead tap = water_of(report());
  EXPECT_NE(
      example::unwrapped(water_text(water_findings(tap), false)).find("1.34 mg/L of sodium or 1.57 mg/L of potassium"),
      std::string::npos);
  tap.chlorine = 1.0 * milligram_per_litre;
  tap.amount = 20.0 * litre;
  const std::string text = example::unwrapped(water_text(water_findings(tap), true));
  EXPECT_NE(text.find("For 5.28 US gal (20.0 L) dissolve 27 mg of sodium or 31 mg of potassium"), std::string::npos)
      << text;
}

TEST(WaterText, NamesTheLikelyMisprint) {
  science::WaterReport typed = report();
  typed.sulphate_mg_per_l = 60.0 / 2.996;  // SO4 printed as SO4-S
  typed.calcium_mg_per_l = 55.0;
  const std::string text = example::unwrapped(water_text(water_findings(water_of(typed)), false));
  EXPECT_NE(text.find("does not add up"), std::string::npos);
  EXPECT_NE(text.find("sulphate: 20.0 mg/L should be 60.0 mg/L; printed as sulphur"), std::string::npos) << text;
}

TEST(WaterText, FitsEightyColumnsAndHoldsOnlyNumbers) {
  science::WaterReport none;
  none.calcium_mg_per_l = 0.0;
  science::WaterReport much;
  much.calcium_mg_per_l = much.sulphate_mg_per_l = much.sodium_mg_per_l = much.chloride_mg_per_l = 19999.0;
  const std::string name =
      "a name as long as a report's letterhead, with the street and the house number and\x1b[2J more";
  for (const auto& typed : {report(), none, much}) {
    for (const bool us : {false, true}) {
      WaterToRead water = water_of(typed, name);
      water.amount = 12345.0 * litre;
      const std::string text = waters_text({water_findings(water), water_findings(distilled(1.0))}, std::nullopt, us);
      for (const std::string& row : example::rows(text)) EXPECT_LE(columns(row), 80U) << row;
      EXPECT_EQ(text.find('\x1b'), std::string::npos);
      EXPECT_EQ(text.find("nan"), std::string::npos);
      EXPECT_EQ(text.find("inf"), std::string::npos);
      EXPECT_EQ(text.find('?'), std::string::npos);
    }
  }
}

}  // namespace
}  // namespace oddgrist::present

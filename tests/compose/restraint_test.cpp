// How loud an oddment is: by hand where the mass can be followed, and the dose it allows judged by the forecast itself.
#include "compose/restraint.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "sample_briefs.hpp"

namespace oddgrist::compose {
namespace {

Brief wheat_with(const std::string& food, Mass amount, Route route) {
  Brief brief;
  brief.given = {sample::all_of(food, amount)};
  brief.given[0].route = route;
  brief.have = {sample::of("pale ale malt", 5.0 * kilogram), sample::of("Northern Brewer", 50.0 * gram),
                sample::of("neutral ale yeast", 11.5 * gram)};
  brief.wishes = {{Measure::volume, 9.8, 10.2, 1.0, {}}, {Measure::alcohol, 4.3, 4.7, 1.0, {}}};
  return brief;
}

const Oddment& only(const std::vector<Oddment>& oddments) {
  if (oddments.size() != 1) throw std::runtime_error("not one oddment");
  return oddments.front();
}

const Carried* carried(const Oddment& oddment, Carried::What what) {
  const auto found = std::find_if(oddment.carried.begin(), oddment.carried.end(),
                                  [&](const Carried& each) { return each.what == what; });
  return found == oddment.carried.end() ? nullptr : &*found;
}

// Salt does not react: what went in at flame-out is in the beer, but for the wort left in kettle and fermenter, so its concentration in
// the beer is that of the wort: grams over litres in the kettle.
TEST(Restraint, SaltOfLemonPasteByMassBalance) {
  const Brief brief = wheat_with("salted lemon paste", 60.0 * gram, Route::flame_out);
  const Answer answer = compose(brief);
  ASSERT_FALSE(answer.proposals.empty());
  const auto& proposal = answer.proposals.front();
  const Oddment oddment = only(oddments_of(brief, proposal));
  const Carried* salt = carried(oddment, Carried::What::salt);
  ASSERT_NE(salt, nullptr);
  const double sodium_mg = 60.0e3 * brief.given[0].ingredient.composition[larder::Component::sodium];
  const double by_hand = sodium_mg * 58.443 / 22.990 / proposal.forecast.post_boil_volume_l;
  EXPECT_NEAR(salt->mg_per_l.value, by_hand, 0.02 * by_hand);  // the beer is a little less than the wort it came from
  EXPECT_EQ(salt->loudness, salt->mg_per_l.value < 0.5 * std::sqrt(800.0 * 1500.0) ? Loudness::hint : Loudness::plain);
}

// The amount said to be a hint is tried out: with it the beer holds just half of the threshold.
TEST(Restraint, TheLargestHintIsAHint) {
  for (double grams : {30.0, 60.0, 180.0}) {
    const Brief brief = wheat_with("salted lemon paste", grams * gram, Route::flame_out);
    const Answer answer = compose(brief);
    ASSERT_FALSE(answer.proposals.empty());
    const Oddment oddment = only(oddments_of(brief, answer.proposals.front()));
    ASSERT_TRUE(oddment.most_for_a_hint);
    auto charge = answer.proposals.front().charge;
    add_to(charge.flame_out, brief.given[0].ingredient.composition,
           oddment.most_for_a_hint->in(kilogram)-grams / 1000.0);
    const process::Ferment ferment{*answer.proposals.front().yeast.yeast, brief.ferment_at.in(celsius)};
    const auto out = process::forecast(process::make_plan(brief.kit, charge, ferment, brief.carbonation_volumes),
                                       process::Trace::on);
    const auto& beer = out.trace.back().after;
    const double salt = 1e6 * beer[larder::Component::sodium] * 58.443 / 22.990 / out.packaged_volume_l;
    const double acid = 1e6 * beer[larder::Component::organic_acid] / out.packaged_volume_l;
    const double salt_limit = 0.5 * std::sqrt(800.0 * 1500.0), acid_limit = 0.5 * std::sqrt(170.0 * 250.0);
    EXPECT_NEAR(std::max(salt / salt_limit, acid / acid_limit), 1.0, 0.02);
  }
}

TEST(Restraint, MoreIsNeverSofter) {
  double last_mg = 0.0;
  Loudness last = Loudness::below;
  for (double grams : {5.0, 20.0, 80.0, 200.0}) {
    const Brief brief = wheat_with("quince jelly", grams * gram, Route::fermenter);
    const Answer answer = compose(brief);
    ASSERT_FALSE(answer.proposals.empty());
    const Oddment oddment = only(oddments_of(brief, answer.proposals.front()));
    const Carried* acid = carried(oddment, Carried::What::acid);
    ASSERT_NE(acid, nullptr) << grams;
    EXPECT_GT(acid->mg_per_l.value, last_mg);
    EXPECT_GE(acid->loudness, last);
    last_mg = acid->mg_per_l.value;
    last = acid->loudness;
    EXPECT_EQ(acid->mg_per_l.low, acid->mg_per_l.high) << "nothing is steeped";
  }
}

TEST(Restraint, SteepingIsASpanAndSpiritAddsAlcohol) {
  Brief brief = wheat_with("honey-hazelnut paste", 60.0 * gram, Route::infusion);
  const Answer in_water = compose(brief);
  brief.given[0].steeping = process::Steeping{};
  brief.given[0].steeping->liquor_alcohol_volume_fraction = 0.40;
  const Answer in_spirit = compose(brief);
  ASSERT_FALSE(in_water.proposals.empty() || in_spirit.proposals.empty());
  const Oddment wet = only(oddments_of(brief, in_water.proposals.front()));
  const Oddment strong = only(oddments_of(brief, in_spirit.proposals.front()));
  const Carried* fat = carried(wet, Carried::What::fat);
  ASSERT_NE(fat, nullptr);
  EXPECT_LT(fat->mg_per_l.low, fat->mg_per_l.value);
  EXPECT_GT(fat->mg_per_l.high, fat->mg_per_l.value);
  EXPECT_GT(strong.abv_rise_percent, wet.abv_rise_percent + 0.3);
  EXPECT_GT(strong.alcohol_g_per_l, wet.alcohol_g_per_l + 3.0);
  const auto says = [](const Answer& answer, const std::string& words) {
    return std::any_of(answer.cautions.begin(), answer.cautions.end(),
                       [&](const Caution& caution) { return caution.text.find(words) != std::string::npos; });
  };
  EXPECT_TRUE(says(in_water, "botulinum") && !says(in_water, "Fire:"));
  EXPECT_TRUE(says(in_spirit, "Fire:") && says(in_spirit, "post") && !says(in_spirit, "botulinum"));
}

TEST(Restraint, NothingOddNothingSaid) {
  const Brief brief = sample::harvest();
  const Answer answer = compose(brief);
  ASSERT_FALSE(answer.proposals.empty());
  EXPECT_TRUE(oddments_of(brief, answer.proposals.front()).empty());
  EXPECT_TRUE(oddments_of(brief, Proposal{}).empty());
  EXPECT_EQ(restraint_words(Oddment{}), "");
}

}  // namespace
}  // namespace oddgrist::compose

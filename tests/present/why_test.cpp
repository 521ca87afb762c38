#include "present/why.hpp"

#include <sstream>

#include <gtest/gtest.h>

#include "example.hpp"
#include "present/words.hpp"

namespace oddgrist::present {
namespace {

using namespace example;
using compose::LeftOut;
using compose::OneMore;
using compose::Reasons;

std::string one_line(const std::string& text) {
  std::string joined;
  std::istringstream words(text);
  for (std::string word; words >> word;) joined += (joined.empty() ? "" : " ") + word;
  return joined;
}

Reasons reasons() {
  OneMore malt;
  malt.ingredient = "pale malt";
  malt.step_kg = 0.1;
  malt.original_gravity_sg = 0.00224;
  malt.abv_percent = 0.235;
  malt.bitterness_ibu = -0.46;
  malt.colour_ebc = 0.01;  // prints as nothing
  malt.points = 0.2;
  malt.hurts = "alcohol";
  OneMore hops;
  hops.ingredient = "garden hops";
  hops.route = Route::boil;
  hops.minutes_before_boil_end = 60.0;
  hops.step_kg = 0.001;
  hops.bitterness_ibu = 1.18;
  hops.points = 444.0;
  hops.hurts = "all 45 g of garden hops";
  Reasons typed;
  typed.one_more = {malt, hops};
  for (int i = 0; i < 9; ++i) {
    LeftOut out;
    out.ingredient = "spare malt " + std::to_string(i);
    out.reason = "nothing it brings is missing";
    typed.left_out.push_back(out);
  }
  LeftOut roast;
  roast.ingredient = "roast malt";
  roast.cause = LeftOut::Cause::hurts;
  roast.reason = "it pushes colour towards the edge of its range";
  typed.left_out.push_back(roast);
  return typed;
}

TEST(why, says_what_a_little_more_does_and_leaves_out_what_prints_as_nothing) {
  const std::string text = one_line(why_text(brief(), reasons()));
  EXPECT_NE(
      text.find("more pale malt: gravity +0.0022, alcohol +0.23 % vol, bitterness -0.5 IBU; alcohol suffers first."),
      std::string::npos)
      << text;
  EXPECT_EQ(text.find("colour +0.0"), std::string::npos);
}

TEST(why, a_demand_that_would_be_broken_is_not_called_suffering) {
  const std::string text = one_line(why_text(brief(), reasons()));
  EXPECT_NE(
      text.find("more garden hops at 60 minutes: bitterness +1.2 IBU; it would break \"all 45 g of garden hops\"."),
      std::string::npos)
      << text;
}

TEST(why, what_was_left_out_for_one_reason_is_told_once_and_cut_short) {
  const std::string text = one_line(why_text(brief(), reasons()));
  EXPECT_NE(text.find("spare malt 5; and 3 more: nothing it brings is missing."), std::string::npos) << text;
  EXPECT_EQ(text.find("spare malt 6"), std::string::npos);
  EXPECT_NE(text.find("In the way: roast malt: it pushes colour towards the edge of its range."), std::string::npos);
}

TEST(why, fits_80_columns_and_is_empty_without_reasons) {
  std::istringstream lines(why_text(brief(), reasons()));
  for (std::string line; std::getline(lines, line);) EXPECT_LE(columns(line), 80u) << line;
  EXPECT_EQ(why_text(brief(), {}), "");
}

}  // namespace
}  // namespace oddgrist::present

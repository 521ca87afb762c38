// A thing that must not be brewed with is answered with that before anything else is looked at.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

const std::string malt_and_yeast =
    "[[have]]\nitem = \"pale ale malt\"\namount = \"5 kg\"\n[[have]]\nitem = \"neutral ale yeast\"\namount = \"11 "
    "g\"\n";

std::string given(const std::string& name) { return "[[given]]\nitem = \"" + name + "\"\namount = \"20 g\"\n"; }

ProgramRun composed(const std::string& text, const std::vector<std::string>& more = {}) {
  const Scratch scratch;
  write_text(scratch / "brief.toml", text);
  std::vector<std::string> words = {"compose", scratch / "brief.toml"};
  words.insert(words.end(), more.begin(), more.end());
  return oddgrist(words);
}

const std::string want = "[want]\nvolume = \"10 L\"\n";

TEST(Poison, UnknownToTheLarderOrNotIsRefusedWithItsReason) {
  for (const char* name : {"foxglove leaves", "Tollkirschen", "D. purpurea", "red kidney beans, dried", "E 250",
                           "kernels, apricot", "Fliegenpilz"}) {
    const ProgramRun text = composed(want + malt_and_yeast + given(name));
    EXPECT_EQ(text.exit_code, 4) << name << text.out << text.err;
    EXPECT_NE(text.out.find("REFUSED"), std::string::npos) << name;
    EXPECT_EQ(text.out.find("Did you mean"), std::string::npos) << name;
    const ProgramRun json = composed(want + malt_and_yeast + given(name), {"--json"});
    EXPECT_EQ(json.exit_code, 4) << name;
    const auto answer = nlohmann::json::parse(json.out, nullptr, false);
    ASSERT_TRUE(answer.is_object()) << json.out;
    EXPECT_EQ(answer["outcome"], "refused");
    EXPECT_TRUE(answer["proposals"].empty());
    EXPECT_EQ(answer["cautions"][0]["severity"], "refuse");
  }
}

TEST(Poison, ComesBeforeWhateverElseIsWrongWithTheBrief) {
  const ProgramRun run = composed("[kit]\nkettle = \"much\"\n" + given("foxglove leaves") + given("smokd wheat mallt"));
  EXPECT_EQ(run.exit_code, 4) << run.out << run.err;
  EXPECT_NE(run.out.find("foxglove leaves"), std::string::npos) << run.out;
}

TEST(Poison, InAPacketsListOrOnAnUnreadablePacketIsFound) {
  const std::string packet =
      "[item.packet]\nper = \"100 g\"\ncarbohydrate = \"50 g\"\nprotein = \"1 g\"\nfat = \"1 g\"\n";
  for (const std::string& item :
       {"[[item]]\nname = \"garden tea\"\ndeclared = \"mint, Fingerhutblätter\"\n" + packet,
        std::string("[[item]]\nname = \"garden tea\"\ndeclared = \"mint, foxglove\"\n[item.packet]\nper = \"a cup\"\n"),
        std::string("[[item]]\nname = \"garden tea\"\ndeclared = \"foxglove\"\n")}) {
    const ProgramRun run = composed(want + malt_and_yeast + item + given("garden tea"));
    EXPECT_EQ(run.exit_code, 4) << item << run.out << run.err;
  }
  const std::string like = "[[item]]\nname = \"hemlock\"\nlike = \"Fuggle\"\nalpha = \"5 %\"\n";
  EXPECT_EQ(composed(want + malt_and_yeast + like + given("hemlock")).exit_code, 4);
}

TEST(Poison, OfOtherVerbsToo) {
  const Scratch scratch;
  write_text(scratch / "brief.toml", want + malt_and_yeast + given("foxglove leaves"));
  for (const char* verb : {"sheet", "mash", "ferment", "doubt"})
    EXPECT_EQ(oddgrist({verb, scratch / "brief.toml"}).exit_code, 4) << verb;
  const ProgramRun looked_up = oddgrist({"larder", "foxglove", "leaves"});
  EXPECT_EQ(looked_up.exit_code, 4);
  EXPECT_EQ(looked_up.err.find("Did you mean"), std::string::npos) << looked_up.err;
  const auto json = nlohmann::json::parse(oddgrist({"larder", "--json", "foxglove"}).out, nullptr, false);
  EXPECT_EQ(json["hazards"][0]["severity"], "refuse");
  EXPECT_FALSE(json.contains("nearest"));
}

TEST(Poison, WhatIsOnlyUnknownIsCalledSo) {
  const ProgramRun run = composed(want + malt_and_yeast + given("zorbleberries"));
  EXPECT_EQ(run.exit_code, 65);
  EXPECT_NE(run.err.find("not known here: nothing was checked"), std::string::npos) << run.err;
  const std::string packet =
      "[[item]]\nname = \"zorbleberries\"\n[item.packet]\nper = \"100 g\"\nfat = \"0 g\"\ncarbohydrate = \"10 g\"\n"
      "sugars = \"9 g\"\nprotein = \"1 g\"\n";
  const std::string brief = want + malt_and_yeast + packet + given("zorbleberries");
  const ProgramRun text = composed(brief);
  EXPECT_NE(text.out.find("zorbleberries: not known here: nothing was"), std::string::npos) << text.out << text.err;
  const auto json = nlohmann::json::parse(composed(brief, {"--json"}).out, nullptr, false);
  EXPECT_EQ(json["proposals"][0]["unknown_foods"], nlohmann::json::array({"zorbleberries"}));
  const Scratch scratch;
  write_text(scratch / "brief.toml", brief);
  const ProgramRun sheet = oddgrist({"sheet", scratch / "brief.toml"});
  EXPECT_NE(sheet.out.find("! Not known here, nothing was checked: zorbleberries."), std::string::npos) << sheet.out;
}

}  // namespace
}  // namespace oddgrist::test

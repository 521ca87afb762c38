// Rounds from TOML: what is read, and what is said about what cannot be.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <filesystem>

#include "files/round_file.hpp"
#include "files/text_file.hpp"

namespace oddgrist::files {
namespace {

const std::filesystem::path source_folder = ODDGRIST_SOURCE_DIR;

const std::string frame = R"([[have]]
item = "pale ale malt"
[[have]]
item = "neutral ale yeast"
[[member]]
name = "Bea"
[[member.parcel]]
item = "honey"
amount = "200 g"
[[member]]
name = "Cal"
[[member.parcel]]
item = "rye malt"
amount = "300 g"
[[member]]
name = "Dot"
[[member.parcel]]
item = "Golding"
amount = "30 g"
)";

std::string said(const Problems& problems) {
  std::string text;
  for (const Problem& problem : problems) text += problem_line(problem) + "\n";
  return text;
}

std::string text_of(const std::string& path) { return read_text_file((source_folder / path).string()).value(); }

TEST(RoundFile, ReadsTheExample) {
  const auto read = read_round_text(text_of("examples/rounds/saltmarsh-autumn.toml"), "r.toml");
  ASSERT_TRUE(read) << said(read.problems());
  const round::Round& round = read.value();
  EXPECT_EQ(round.members.size(), 6U);
  EXPECT_FALSE(round.straight_swaps);
  EXPECT_EQ(round.draw_seed, 20261004U);
  EXPECT_EQ(round.kits.size(), 2U);
  EXPECT_EQ(round.members[1].kit, 0U);
  EXPECT_EQ(round.members[1].cannot_handle, std::vector{larder::Allergen::tree_nut});
  ASSERT_EQ(round.past.size(), 1U);
  EXPECT_EQ(round.past[0].pairs.size(), 6U);
  EXPECT_FALSE(round.drawn);
  EXPECT_EQ(judge_count(round), 7U);
}

TEST(RoundFile, ReadsTheBlockOfTheDocs) {
  const std::string page = text_of("docs/file-format.md");
  const auto begin = page.find("~~~toml\n", page.find("# A round"));
  ASSERT_NE(begin, std::string::npos);
  const auto read = read_round_text(page.substr(begin + 8, page.find("~~~\n", begin + 8) - begin - 8), "docs");
  ASSERT_TRUE(read) << said(read.problems());
  ASSERT_TRUE(read.value().drawn);
  EXPECT_EQ(*read.value().drawn, (std::vector<std::size_t>{1, 2, 0}));
  ASSERT_EQ(read.value().sheets.size(), 1U);
  EXPECT_EQ(read.value().sheets[0].brewer, 1U);
  EXPECT_EQ(read.value().sheets[0].marks, (std::vector<std::optional<double>>{7.0, 8.0}));
}

TEST(RoundFile, SheetsByCodeAndByBrewer) {
  const auto read = read_round_text(
      "[round]\nguests = [\"Nell\"]\n" + frame + "[[sheet]]\njudge = \"nell\"\n[sheet.scores]\nQXZ = 7.5\nBea = 3\n",
      "r.toml");
  ASSERT_TRUE(read) << said(read.problems());
  const auto& sheets = read.value().sheets;
  ASSERT_EQ(sheets.size(), 2U);
  EXPECT_EQ(sheets[0].code, "QXZ");
  EXPECT_EQ(sheets[0].judge, 3U);
  EXPECT_EQ(sheets[1].brewer, 0U);
  EXPECT_TRUE(sheets[1].code.empty());
  EXPECT_EQ(sheets[1].place.line, 26);
}

TEST(RoundFile, WhoHasLeftIsKnownButDoesNotCount) {
  const auto read = read_round_text("[round]\nformer = [\"Otto\"]\n" + frame +
                                        "[[past]]\n[past.brewed]\nBea = \"Otto\"\nOtto = \"Cal\"\nDot = \"Bea\"\n",
                                    "r.toml");
  ASSERT_TRUE(read) << said(read.problems());
  ASSERT_EQ(read.value().past[0].pairs.size(), 1U);
  EXPECT_EQ(read.value().past[0].pairs[0], (round::Pair{2, 0}));
}

struct Wrong {
  std::string added;
  int line;           // where it must be said; counted in the added text
  std::string words;  // that must be among what is said
};

// The frame has 19 lines.
TEST(RoundFile, SaysWhereWhatAndWhatToDo) {
  const std::vector<Wrong> wrongs = {
      {"[past]\n", 1, "a list of tables"},
      {"[[past]]\n[past.brewed]\nBea = \"Call\"\n", 3, "Did you mean \"Cal\"?"},
      {"[[past]]\n[past.brewed]\nBea = \"Bea\"\n", 3, "nobody gets their own"},
      {"[[past]]\n[past.brewed]\nBea = \"Cal\"\nDot = \"Cal\"\n", 4, "each parcel is brewed once"},
      {"[[past]]\nname = \"spring\"\n", 1, "does not say who brewed"},
      {"[drawn]\nBea = \"Cal\"\nCal = \"Bea\"\n", 1, "Dot is missing"},
      {"[[sheet]]\njudge = \"Zoe\"\n[sheet.scores]\nBea = 4\n", 2, "neither a member nor a guest"},
      {"[[sheet]]\njudge = \"Cal\"\n[sheet.scores]\nBea = 11\n", 4, "from 0 to 10"},
      {"[[sheet]]\njudge = \"Cal\"\n[sheet.scores]\nquince = 4\n", 4, "neither the code"},
      {"[[sheet]]\njudge = \"Cal\"\n", 1, "has no scores"},
      {"[[criterion]]\nname = \"gift\"\n[[sheet]]\njudge = \"Cal\"\n[sheet.scores]\nBea = { gfit = 4 }\n", 6,
       "Did you mean \"gift\"?"},
      {"[[member]]\nname = \"bea\"\n[[member.parcel]]\nitem = \"honey\"\namount = \"1 kg\"\n", 1, "named twice"},
      {"[[member]]\nname = \"Emrys\"\n", 1, "leaves no parcel"},
      {"[[member]]\nname = \"Emrys\"\n[[member.parcel]]\nitem = \"honey\"\n", 3, "member[4].parcel[1]"},
      {"[[member]]\nname = \"Emrys\"\ncannot-handle = [\"nuts\"]\n[[member.parcel]]\nitem = \"honey\"\namount = \"1 "
       "kg\"\n",
       3, "tree-nut"},
      {"[[member]]\nname = \"Emrys\"\nkit = \"cauldron\"\n[[member.parcel]]\nitem = \"honey\"\namount = \"1 kg\"\n", 3,
       "no [[kit]] has that name"},
      {"[round]\nstraight-swaps = \"no\"\n", 2, "true or false"},
      {"[round]\ndraw-seed = -4\n", 2, "0 or more"},
      {"[round]\nseeed = 4\n", 2, "no such key"},
      {"[rund]\n", 1, "a round has no such key"},
  };
  for (const Wrong& wrong : wrongs) {
    const auto read = read_round_text(frame + wrong.added, "r.toml");
    ASSERT_FALSE(read) << wrong.added;
    bool there = false;
    for (const Problem& problem : read.problems()) {
      EXPECT_FALSE(problem.remedy.empty()) << problem_line(problem);
      there = there ||
              (problem.place.line == 19 + wrong.line && problem_line(problem).find(wrong.words) != std::string::npos);
    }
    EXPECT_TRUE(there) << wrong.added << said(read.problems());
  }
}

TEST(RoundFile, ARoundNeedsTwoAndAYeast) {
  EXPECT_NE(said(read_round_text("[round]\nname = \"x\"\n", "r.toml").problems()).find("2 to 200 members"),
            std::string::npos);
  std::string dry = frame;
  dry.erase(dry.find("[[have]]\nitem = \"neutral"), std::string("[[have]]\nitem = \"neutral ale yeast\"\n").size());
  EXPECT_NE(said(read_round_text(dry, "r.toml").problems()).find("Bea has no yeast"), std::string::npos);
}

// Whatever one does to a round, reading it ends in a round or in problems that each say something.
RC_GTEST_PROP(RoundFileProperty, AnyDamageEndsInWords, ()) {
  static const std::string whole = text_of("examples/rounds/saltmarsh-tasting.toml");
  static const std::string letters = "0123456789-.,%\"=[]{}#\n aegilmnortuLkQZ";
  std::string text = whole;
  const int cuts = *rc::gen::inRange(1, 5);
  for (int i = 0; i < cuts; ++i) {
    const std::size_t at = *rc::gen::inRange<std::size_t>(0, text.size());
    const std::size_t length = *rc::gen::inRange<std::size_t>(0, 12);
    text.replace(at, length, *rc::gen::container<std::string>(rc::gen::elementOf(letters)));
  }
  const auto read = read_round_text(text, "damaged.toml");
  if (read) return;
  RC_ASSERT(!read.problems().empty());
  for (const Problem& problem : read.problems()) {
    RC_ASSERT(!problem.what.empty());
    RC_ASSERT(problem.place.file == "damaged.toml");
  }
}

}  // namespace
}  // namespace oddgrist::files

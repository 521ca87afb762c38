// Entries of the brewer's own: taken in once, known to every brief, damaged ones told of and left out.
#include "files/own_larder.hpp"

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "files/brief_file.hpp"
#include "larder/catalogue.hpp"

namespace oddgrist::files {
namespace {

namespace fs = std::filesystem;

class OwnLarderTest : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("own-larder-" + std::to_string(::getpid()));
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    if (const char* value = std::getenv("ODDGRIST_LARDER")) before_ = value;
    ::setenv("ODDGRIST_LARDER", (folder_ / "larder").c_str(), 1);
  }
  void TearDown() override {
    if (before_.empty())
      ::unsetenv("ODDGRIST_LARDER");
    else
      ::setenv("ODDGRIST_LARDER", before_.c_str(), 1);
    fs::remove_all(folder_);
  }

  std::string write(const std::string& name, const std::string& text) {
    const fs::path path = folder_ / name;
    fs::create_directories(path.parent_path());
    std::ofstream(path) << text;
    return path.string();
  }
  static std::string first_problem(const Problems& problems) {
    return problems.empty() ? "" : problem_line(problems.front());
  }

  fs::path folder_;
  std::string before_;
};

constexpr const char* yeast_entry = R"([[item]]
name = "Mill Lane 7"
like = "american-ale-yeast"
attenuation = ["72 %", "76 %"]
temperature = ["15 °C", "21 °C"]
tolerance = "12 %"
cells-per-gram = 6e9
)";

std::string brief_with(const std::string& yeast) {
  return R"([want]
volume = "10 L"
[[have]]
item = "pale ale malt"
[[have]]
item = ")" +
         yeast + "\"\n";
}

TEST_F(OwnLarderTest, WhatIsTakenInOnceEveryBriefKnows) {
  EXPECT_FALSE(read_brief_text(brief_with("Mill Lane 7"), "brief"));
  const auto added = add_to_own_larder(write("mine.toml", yeast_entry));
  ASSERT_TRUE(added) << first_problem(added.problems());
  EXPECT_EQ(added.value(), std::vector<std::string>{"Mill Lane 7"});
  const auto brief = read_brief_text(brief_with("mill-lane 7"), "brief");
  ASSERT_TRUE(brief) << first_problem(brief.problems());
  const larder::Ingredient& yeast = brief.value().have[1].ingredient;
  ASSERT_TRUE(yeast.yeast);
  EXPECT_EQ(yeast.name, "Mill Lane 7");
  EXPECT_NEAR(yeast.yeast->temperature_low_c, 15.0, 1e-9);
  EXPECT_NEAR(yeast.yeast->tolerance_abv_percent, 12.0, 1e-9);
  EXPECT_NEAR(yeast.yeast->cells_per_kg, 6e12, 1.0);
  // 74 % is below what the class takes (0.88 of the maltotriose is 77 %), so less of it is taken.
  EXPECT_EQ(yeast.yeast->maltose_uptake, 1.0);
  EXPECT_LT(yeast.yeast->maltotriose_uptake, larder::catalogue().find("american-ale-yeast")->yeast->maltotriose_uptake);

  ASSERT_TRUE(drop_from_own_larder("Mill Lane 7"));
  EXPECT_FALSE(read_brief_text(brief_with("Mill Lane 7"), "brief"));
  EXPECT_FALSE(drop_from_own_larder("Mill Lane 7"));
}

TEST_F(OwnLarderTest, ABriefsOwnItemComesFirstAndTheSameNameIsReplaced) {
  ASSERT_TRUE(add_to_own_larder(write("mine.toml", yeast_entry)));
  std::string warmer = yeast_entry;
  warmer.replace(warmer.find("12 %"), 4, "14 %");
  ASSERT_TRUE(add_to_own_larder(write("again.toml", warmer)));
  ASSERT_EQ(read_own_larder().entries.size(), 1u);
  EXPECT_NEAR(read_own_larder().entries[0].ingredient.yeast->tolerance_abv_percent, 14.0, 1e-9);
  std::string own_item = yeast_entry;
  own_item.replace(own_item.find("12 %"), 4, "9 %");
  const auto brief = read_brief_text(brief_with("Mill Lane 7") + own_item, "brief");
  ASSERT_TRUE(brief) << first_problem(brief.problems());
  EXPECT_NEAR(brief.value().have[1].ingredient.yeast->tolerance_abv_percent, 9.0, 1e-9);
}

TEST_F(OwnLarderTest, ADamagedEntryIsToldWithItsPlaceAndStopsNothing) {
  ASSERT_TRUE(add_to_own_larder(write("mine.toml", yeast_entry)));
  write("larder/broken.toml", "[[item]]\nname = \"broken\nlike = 3\n");
  write("larder/odd.toml", "[[item]]\nname = \"odd malt\"\nlike = \"no such thing at all\"\n");
  write("larder/notes.txt", "not looked at");
  const OwnLarder own = read_own_larder();
  ASSERT_EQ(own.entries.size(), 1u);
  ASSERT_EQ(own.problems.size(), 2u);
  EXPECT_NE(problem_line(own.problems[0]).find("broken.toml:2"), std::string::npos) << problem_line(own.problems[0]);
  EXPECT_NE(problem_line(own.problems[1]).find("odd.toml:3"), std::string::npos) << problem_line(own.problems[1]);
  EXPECT_TRUE(read_brief_text(brief_with("Mill Lane 7"), "brief"));
  EXPECT_TRUE(read_brief_text(brief_with("neutral ale yeast"), "brief"));
  ASSERT_TRUE(drop_from_own_larder("broken"));
  EXPECT_EQ(read_own_larder().problems.size(), 1u);
}

TEST_F(OwnLarderTest, NothingIsTakenInUnlessAllOfTheFileIsSound) {
  const std::string two =
      std::string(yeast_entry) + "[[item]]\nname = \"second\"\nlike = \"american-ale-yeast\"\nalpha = \"5 %\"\n";
  const auto refused = add_to_own_larder(write("two.toml", two));
  ASSERT_FALSE(refused);
  EXPECT_NE(first_problem(refused.problems()).find("two.toml:"), std::string::npos);
  EXPECT_TRUE(read_own_larder().entries.empty());
  for (const char* bad : {"", "name = \"x\"\n", "[[item]]\nname = \"lager yeast\"\nlike = \"lager-yeast\"\n",
                          "[[item]]\nname = \"m\"\nlike = \"american-ale-yeast\"\n[want]\nvolume = \"1 L\"\n"})
    EXPECT_FALSE(add_to_own_larder(write("bad.toml", bad))) << bad;
  EXPECT_FALSE(add_to_own_larder((folder_ / "not-there.toml").string()));
}

TEST_F(OwnLarderTest, NamesMakePlainFileNames) {
  for (const char* name : {"../../etc/passwd", "Hefe Nr. 5/ü", "x", "C:\\aux", ".hidden"}) {
    const auto added = add_to_own_larder(write(
        "one.toml", fmt::format("[[item]]\nname = '{}'\nlike = \"american-ale-yeast\"\ntolerance = \"12 %\"\n", name)));
    ASSERT_TRUE(added) << name << first_problem(added.problems());
  }
  EXPECT_EQ(read_own_larder().entries.size(), 5u);
  for (const fs::directory_entry& file : fs::directory_iterator(folder_ / "larder"))
    EXPECT_EQ(file.path().extension(), ".toml") << file.path();
}

TEST_F(OwnLarderTest, ABriefThatIsKeptMeansTheSameAfterwards) {
  ASSERT_TRUE(add_to_own_larder(write("mine.toml", yeast_entry)));
  const std::string text = brief_with("Mill Lane 7"), kept = with_own_entries(text);
  EXPECT_TRUE(kept.starts_with(text));
  ASSERT_TRUE(drop_from_own_larder("Mill Lane 7"));
  const auto brief = read_brief_text(kept, "brief");
  ASSERT_TRUE(brief) << first_problem(brief.problems());
  EXPECT_NEAR(brief.value().have[1].ingredient.yeast->tolerance_abv_percent, 12.0, 1e-9);
  EXPECT_EQ(with_own_entries(kept), kept);
  EXPECT_EQ(with_own_entries("not [ toml"), "not [ toml");
}

TEST_F(OwnLarderTest, AYeastThatEatsDextrinMustSaySo) {
  const auto with = [&](const std::string& more) {
    return add_to_own_larder(write("dry.toml", "[[item]]\nname = \"dry one\"\nlike = \"american-ale-yeast\"\n" + more));
  };
  const auto refused = with("attenuation = \"90 %\"\n");
  ASSERT_FALSE(refused);
  EXPECT_NE(first_problem(refused.problems()).find("diastatic = true"), std::string::npos);
  ASSERT_TRUE(with("attenuation = \"90 %\"\ndiastatic = true\n"));
  const larder::Ingredient yeast = read_own_larder().entries.at(0).ingredient;
  EXPECT_GT(yeast.yeast->dextrin_uptake, 0.3);
  EXPECT_NE(yeast.mind.find("burst"), std::string::npos);
  EXPECT_TRUE(with("attenuation = \"79 %\"\n"));  // just below the limit of ordinary wort, 79.5 %
  EXPECT_FALSE(with("attenuation = \"81 %\"\n"));
}

}  // namespace
}  // namespace oddgrist::files

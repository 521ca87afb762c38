// Names as people write them, by hand in names.csv: found at once, or suggested first; and what nothing is near to.
#include <algorithm>
#include <fstream>
#include <sstream>

#include <gtest/gtest.h>

#include "larder/catalogue.hpp"

namespace oddgrist::larder {
namespace {

std::vector<std::vector<std::string>> rows_of(const std::string& file) {
  std::ifstream in(ODDGRIST_SOURCE_DIR "/tests/larder/" + file);
  std::vector<std::vector<std::string>> rows;
  std::string line;
  std::getline(in, line);  // what the columns are
  while (std::getline(in, line)) {
    std::vector<std::string> cells;
    std::stringstream cut(line);
    for (std::string cell; std::getline(cut, cell, ',');) cells.push_back(cell);
    rows.push_back(cells);
  }
  return rows;
}

TEST(Names, WhatPeopleWriteIsFoundOrSuggestedFirst) {
  const auto rows = rows_of("names.csv");
  ASSERT_GE(rows.size(), 150u);
  for (const auto& row : rows) {
    ASSERT_EQ(row.size(), 3u) << row.front();
    ASSERT_NE(catalogue().find(row[1]), nullptr) << row[1];
    const Ingredient* found = catalogue().find(row[0]);
    if (row[2] == "found") {
      ASSERT_NE(found, nullptr) << row[0];
      EXPECT_EQ(found->id, row[1]) << row[0];
      continue;
    }
    ASSERT_EQ(row[2], "near") << row[0];
    EXPECT_EQ(found, nullptr) << row[0] << " is " << (found != nullptr ? found->id : "");
    const auto near = catalogue().nearest(row[0], 3);
    EXPECT_NE(std::find(near.begin(), near.end(), row[1]), near.end())
        << row[0] << ", but: " << (near.empty() ? "nothing" : near.front());
  }
}

TEST(Names, NothingIsSuggestedWhereNothingIsNear) {
  const auto rows = rows_of("not_near.csv");
  ASSERT_GE(rows.size(), 40u);
  for (const auto& row : rows) {
    EXPECT_EQ(catalogue().find(row[0]), nullptr) << row[0];
    const auto near = catalogue().nearest(row[0], 3);
    EXPECT_TRUE(near.empty()) << row[0] << ": " << near.front();
  }
}

TEST(Names, AreFoldedToOneSpelling) {
  EXPECT_EQ(folded_name("  Münchner_Malz,  dunkel "), "muenchner malz dunkel");
  EXPECT_EQ(folded_name("Mt. Hood"), "mt hood");
  EXPECT_EQ(folded_name("2.5 %"), "2.5 %");
  EXPECT_EQ(folded_name("Brewer's Gold"), folded_name("Brewer’s gold"));
  EXPECT_EQ(folded_name("\xff\xc3"), "\xff\xc3");  // no UTF-8: left as it is
  EXPECT_EQ(folded_name("’"), "");
}

TEST(Names, TellingWordsMeetAcrossLanguages) {
  EXPECT_EQ(telling_words("Weizenmalz"), telling_words("malted wheat"));
  EXPECT_EQ(telling_words("Roggenflocken"), telling_words("rye flakes"));
  EXPECT_EQ(telling_words("Flaked Oats"), telling_words("oats, rolled"));
  EXPECT_NE(telling_words("crystal malt, dark"), telling_words("crystal malt, pale"));
  EXPECT_EQ(telling_words("hops"), std::vector<std::string>{"hops"});  // what is left alone stays
}

TEST(Names, TwoEntriesWithTheSameWordsAreNotGuessed) {
  NameIndex index;
  EXPECT_FALSE(index.add("red plum jam", 0));
  EXPECT_FALSE(index.add("jam of red plums, light", 1));
  EXPECT_FALSE(index.add("plum-jam red", 2));
  EXPECT_EQ(index.add("Red Plum Jam", 1), 0u);
  EXPECT_EQ(index.find("red plum jam"), 0u);
  EXPECT_FALSE(index.find("jam, red plum"));  // 0 or 2
  EXPECT_EQ(index.nearest("jam, red plum", 3).size(), 3u);
  EXPECT_TRUE(NameIndex().nearest("anything", 3).empty());
}

TEST(Names, LettersApartCountsSwapsOnce) {
  EXPECT_EQ(letters_apart("hazlenut", "hazelnut", 3), 1u);
  EXPECT_EQ(letters_apart("fugle", "fuggle", 3), 1u);
  EXPECT_EQ(letters_apart("", "abc", 5), 3u);
  EXPECT_EQ(letters_apart("abcdef", "uvwxyz", 2), 3u);  // more than it was asked to count
}

}  // namespace
}  // namespace oddgrist::larder

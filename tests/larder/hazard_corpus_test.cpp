// Named things, written down by thinking of kitchen, garden, forest, medicine cupboard and shed, and what must be said of each.
// hazard_corpus.csv: side (dangerous, harmless), name, declared list, dose in g/L if it matters, what must be said, and a word that must stand
// in what is said. Of a dangerous thing at least that much must be said; of a harmless one at most.
#include <algorithm>
#include <cctype>
#include <fstream>
#include <map>

#include <gtest/gtest.h>

#include "larder/hazards.hpp"

namespace oddgrist::larder {
namespace {

struct Row {
  bool dangerous = false;
  std::string name, declared, g_per_l, must, because;
};

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char letter : line) {
    if (letter == '"') {
      quoted = !quoted;
    } else if (letter == ',' && !quoted) {
      cells.emplace_back();
    } else if (letter != '\r') {
      cells.back() += letter;
    }
  }
  return cells;
}

std::vector<Row> corpus(const std::string& file) {
  std::ifstream in(ODDGRIST_SOURCE_DIR "/tests/larder/" + file);
  std::vector<Row> rows;
  std::string line;
  std::getline(in, line);
  EXPECT_EQ(line, "side,name,declared,g_per_l,must,because");
  while (std::getline(in, line)) {
    const std::vector<std::string> cells = cells_of(line);
    EXPECT_EQ(cells.size(), 6u) << line;
    if (cells.size() != 6) continue;
    EXPECT_TRUE(cells[0] == "dangerous" || cells[0] == "harmless") << line;
    rows.push_back({cells[0] == "dangerous", cells[1], cells[2], cells[3], cells[4], cells[5]});
  }
  return rows;
}

// nothing 0, caution 1, danger 2, refuse 3
int grade(const std::string& word) {
  const std::map<std::string, int> grades = {{"nothing", 0}, {"caution", 1}, {"danger", 2}, {"refuse", 3}};
  return grades.at(word);
}

int grade(const std::vector<Hazard>& hazards) {
  int worst = 0;
  for (const Hazard& hazard : hazards) worst = std::max(worst, 1 + static_cast<int>(hazard.severity));
  return worst;
}

std::vector<Hazard> said_of(const Row& row) {
  Ingredient thing;
  thing.name = row.name;
  thing.declared_ingredients = row.declared;
  constexpr double batch_l = 10.0;
  return row.g_per_l.empty() ? hazards_in(thing)
                             : hazards_in(thing, std::stod(row.g_per_l) * batch_l / 1000.0, batch_l);
}

// Whoever reads the gravest lines must read why.
bool says(const std::vector<Hazard>& hazards, const std::string& because, int at_least) {
  return std::any_of(hazards.begin(), hazards.end(), [&](const Hazard& hazard) {
    std::string text = hazard.text;
    std::transform(text.begin(), text.end(), text.begin(),
                   [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
    return 1 + static_cast<int>(hazard.severity) >= at_least && text.find(because) != std::string::npos;
  });
}

std::string described(const Row& row, const std::vector<Hazard>& hazards) {
  std::string text =
      row.name + (row.declared.empty() ? "" : " [" + row.declared + "]") + ": must " + row.must + ", said";
  for (const Hazard& hazard : hazards)
    text += " " + std::to_string(1 + static_cast<int>(hazard.severity)) + " " + hazard.id + " (" + hazard.found + ")";
  return text;
}

struct Counts {
  int dangerous = 0, missed = 0, wrong_reason = 0;
  int harmless = 0, refused = 0, too_grave = 0;
};

Counts counted(const std::string& file) {
  Counts counts;
  for (const Row& row : corpus(file)) {
    const std::vector<Hazard> hazards = said_of(row);
    const int said = grade(hazards), must = grade(row.must);
    if (row.dangerous) {
      ++counts.dangerous;
      const bool missed = said < must;
      const bool wrong_reason = !missed && !says(hazards, row.because, must);
      counts.missed += missed;
      counts.wrong_reason += wrong_reason;
      if (missed || wrong_reason) std::printf("%s %s\n", missed ? "MISSED" : "REASON", described(row, hazards).c_str());
    } else {
      ++counts.harmless;
      counts.refused += said == grade("refuse");
      counts.too_grave += said > must;
      if (said > must) std::printf("TOO MUCH %s\n", described(row, hazards).c_str());
    }
  }
  std::printf(
      "%s: %d dangerous, %d missed, %d for another reason; %d harmless, %d refused, %d with more said than they "
      "deserve\n",
      file.c_str(), counts.dangerous, counts.missed, counts.wrong_reason, counts.harmless, counts.refused,
      counts.too_grave);
  return counts;
}

TEST(HazardCorpus, NothingDangerousPassesAndHardlyAnythingHarmlessIsRefused) {
  const Counts counts = counted("hazard_corpus.csv");
  EXPECT_GE(counts.dangerous, 400);
  EXPECT_GE(counts.harmless, 280);
  EXPECT_EQ(counts.missed, 0);
  EXPECT_EQ(counts.wrong_reason, 0);
  EXPECT_LE(counts.refused, counts.harmless / 50);
  EXPECT_LE(counts.too_grave, counts.harmless / 50);
}

// Two more lists, thought up once the rules stood, and asked before anything was mended. Then 15 of 45 dangerous names were missed and 1 of
// 20 harmless ones refused; after mending, of the second list, 8 of 50 and 1 of 20. So a name nobody thought of is still missed one time in
// six or so; the next person to add a list should count again before mending.
TEST(HazardCorpus, WhatWasOnceMissedIsFoundNow) {
  const Counts counts = counted("hazard_fresh.csv");
  EXPECT_GE(counts.dangerous, 90);
  EXPECT_GE(counts.harmless, 40);
  EXPECT_EQ(counts.missed, 0);
  EXPECT_EQ(counts.wrong_reason, 0);
  EXPECT_EQ(counts.refused, 0);
}

}  // namespace
}  // namespace oddgrist::larder

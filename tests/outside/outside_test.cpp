// Every row of every csv file here is one test case; the rest guards the list itself. To write docs/truth.md anew:
//     ODDGRIST_TRUTH=docs/truth.md outside_test
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "harness.hpp"

namespace outside {

void PrintTo(const Row& row, std::ostream* out) { *out << row.file << ":" << row.line; }

}  // namespace outside

namespace {

const std::string source_folder = ODDGRIST_SOURCE_DIR;

const outside::Table& table() {
  static const outside::Table instance = outside::read_folder(source_folder + "/tests/outside");
  return instance;
}

class OutsideCheck : public testing::TestWithParam<outside::Row> {};

TEST_P(OutsideCheck, holds) {
  const outside::Row& row = GetParam();
  const auto found = outside::models().find(row.model);
  ASSERT_NE(found, outside::models().end()) << row.file << ":" << row.line << ": no model is named " << row.model;
  double computed = 0.0;
  ASSERT_NO_THROW(computed = found->second(row.inputs)) << row.file << ":" << row.line << ": an input is missing";
  EXPECT_NEAR(computed, row.expected, row.tolerance)
      << row.file << ":" << row.line << ": " << row.source << " (" << row.provenance << ") " << row.note;
}

std::string name_of(const testing::TestParamInfo<outside::Row>& info) {
  const outside::Row& row = info.param;
  std::string name = row.file.substr(0, row.file.rfind('.')) + "_line_" + std::to_string(row.line) + "_" + row.model;
  for (char& c : name) {
    if (std::isalnum(static_cast<unsigned char>(c)) == 0) c = '_';
  }
  return name;
}

INSTANTIATE_TEST_SUITE_P(Rows, OutsideCheck, testing::ValuesIn(table().rows), name_of);

TEST(OutsideList, EveryRowIsReadable) { EXPECT_EQ(table().problems, std::vector<std::string>{}); }

TEST(OutsideList, NoModelIsAddedTwice) { EXPECT_EQ(outside::names_added_twice(), std::vector<std::string>{}); }

TEST(OutsideList, EveryModelHasRowsAndEveryRowAModel) {
  std::set<std::string> asked;
  for (const outside::Row& row : table().rows) asked.insert(row.model);
  std::set<std::string> known;
  for (const auto& [name, model] : outside::models()) known.insert(name);
  EXPECT_EQ(asked, known);
}

std::set<std::string> lines_of(const std::string& page) {
  const std::vector<std::string> lines = outside::without_errors(page);
  return {lines.begin(), lines.end()};
}

std::vector<std::string> missing_from(const std::set<std::string>& list, const std::set<std::string>& wanted) {
  std::vector<std::string> missing;
  std::set_difference(wanted.begin(), wanted.end(), list.begin(), list.end(), std::back_inserter(missing));
  return missing;
}

// docs/truth.md is made from these rows; this fails when one of them was changed and the page was not.
TEST(OutsideList, TruthPageIsUpToDate) {
  const std::string fresh = outside::truth_table(table().rows);
  std::cout << fresh;
  if (const char* path = std::getenv("ODDGRIST_TRUTH")) {
    std::ofstream(path) << "# What was checked against what\n\n"
                           "Written by `ODDGRIST_TRUTH=docs/truth.md outside_test` from `tests/outside/*.csv`; do not "
                           "edit by hand.\nThe last column is the largest distance from the source as a share of the "
                           "tolerance beside the row: above 1 would be a failure.\n\n"
                        << fresh;
  }
  std::ostringstream committed;
  committed << std::ifstream(source_folder + "/docs/truth.md").rdbuf();
  const auto on_the_page = lines_of(committed.str());
  const auto in_the_rows = lines_of(fresh);
  EXPECT_EQ(missing_from(on_the_page, in_the_rows), std::vector<std::string>{}) << "these are not on the page";
  EXPECT_EQ(missing_from(in_the_rows, on_the_page), std::vector<std::string>{}) << "these are on the page only";
}

const std::string header = "model,input,expected,tolerance,tolerance_kind,source,provenance,note\n";

std::string problem_of(const std::string& line) {
  const outside::Table read = outside::read_text("x.csv", header + line + "\n");
  return read.problems.empty() ? "" : read.problems.front();
}

bool says(const std::string& problem, const std::string& words) { return problem.find(words) != std::string::npos; }

TEST(OutsideReader, TakesAQuotedRow) {
  const std::string line = "m,a=1;b=-2.5e1,10.0,0.01,rel,\"A, \"\"B\"\", 1999\",published,\"wide, why\"\n";
  const outside::Table read = outside::read_text("x.csv", header + line);
  ASSERT_EQ(read.rows.size(), 1u);
  const outside::Row& row = read.rows.front();
  EXPECT_EQ(row.inputs, (outside::Inputs{{"a", 1.0}, {"b", -25.0}}));
  EXPECT_EQ(row.source, "A, \"B\", 1999");
  EXPECT_DOUBLE_EQ(row.tolerance, 0.1);
  EXPECT_EQ(row.line, 2);
}

TEST(OutsideReader, RefusesWhatIsNotACheck) {
  EXPECT_EQ(problem_of("m,a=1,10.0,0.05,abs,S,published,"), "");
  EXPECT_PRED2(says, problem_of("m,a=1,10.0,0.05,abs,,published,"), "no source");
  EXPECT_PRED2(says, problem_of("m,a=1,10.0,0.05,abs,S,guessed,"), "provenance");
  EXPECT_PRED2(says, problem_of("m,a=1,10.0,0.06,abs,S,published,"), "no note says why");
  EXPECT_PRED2(says, problem_of("m,a=1,1000,0.001,rel,S,published,"), "no note says why");
  EXPECT_PRED2(says, problem_of("m,a=1,2.5e-3,6e-5,abs,S,published,"), "no note says why");
  EXPECT_EQ(problem_of("m,a=1,2.5e-3,5e-5,abs,S,published,"), "");
  EXPECT_PRED2(says, problem_of("m,a=1,10.0,0,abs,S,published,"), "not above 0");
  EXPECT_PRED2(says, problem_of("m,a=1,0,0.1,rel,S,published,why"), "no tolerance");
  EXPECT_PRED2(says, problem_of("m,a=1,10.0,0.05,about,S,published,"), "neither");
  EXPECT_PRED2(says, problem_of("m,a=1,nan,0.05,abs,S,published,"), "expected value");
  EXPECT_PRED2(says, problem_of("m,a=1;a=2,10.0,0.05,abs,S,published,"), "input");
  EXPECT_PRED2(says, problem_of("m,a=1,10.0,0.05,abs,S,published"), "7 fields");
  EXPECT_PRED2(says, problem_of("m,a=1,10.0,0.05,abs,\"S,published,"), "quote");
}

TEST(OutsideReader, AnUnknownModelNeverHolds) {
  outside::Row row;
  row.model = "no such model";
  row.tolerance = 1.0;
  EXPECT_GT(outside::error_share(row), 1.0);
}

}  // namespace

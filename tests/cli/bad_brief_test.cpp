// Every file of tests/cli/bad is a brief with something wrong in it. Beside it stands what the program must do:
//   exit 65          the exit code
//   problems 1       how many lines of complaint, for files that are refused
//   at 6:10          a line of complaint must point here
//   says no unit     and this must occur
#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

namespace fs = std::filesystem;

struct Expectation {
  int exit_code = -1;
  int problems = -1;
  std::vector<std::string> places;
  std::vector<std::string> says;
};

Expectation read_expectation(const fs::path& path) {
  Expectation expected;
  std::istringstream lines(file_text(path));
  std::string line;
  while (std::getline(lines, line)) {
    const auto space = line.find(' ');
    const std::string word = line.substr(0, space);
    const std::string rest = space == std::string::npos ? "" : line.substr(space + 1);
    if (word == "exit")
      expected.exit_code = std::stoi(rest);
    else if (word == "problems")
      expected.problems = std::stoi(rest);
    else if (word == "at")
      expected.places.push_back(rest);
    else if (word == "says")
      expected.says.push_back(rest);
    else
      ADD_FAILURE() << path << ": what is \"" << line << "\"?";
  }
  return expected;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  std::string line;
  while (std::getline(in, line)) lines.push_back(line);
  return lines;
}

bool any_has(const std::vector<std::string>& lines, const std::string& part) {
  return std::any_of(lines.begin(), lines.end(),
                     [&](const std::string& line) { return line.find(part) != std::string::npos; });
}

class BadBrief : public testing::TestWithParam<fs::path> {};

TEST_P(BadBrief, IsRefusedInWordsThatHelp) {
  const Scratch scratch;
  const std::string output = scratch / "recipe.txt";
  const Expectation expected = read_expectation(fs::path(GetParam()).replace_extension(".expect"));
  const ProgramRun result = oddgrist({"compose", GetParam().string(), "--output", output});
  EXPECT_EQ(result.exit_code, expected.exit_code) << result.err;
  EXPECT_EQ(result.out, "");
  if (expected.exit_code != 65) {
    const std::string recipe = file_text(output);
    for (const std::string& words : expected.says)
      EXPECT_NE(recipe.find(words), std::string::npos) << words << "\n" << recipe;
    return;
  }
  const std::vector<std::string> lines = lines_of(result.err);
  EXPECT_EQ(lines.size(), expected.problems) << result.err;
  for (const std::string& line : lines) {
    EXPECT_EQ(line.rfind(GetParam().string() + ":", 0), 0) << line;
    EXPECT_TRUE(line.back() == '.' || line.back() == '?') << line;
  }
  for (const std::string& place : expected.places)
    EXPECT_TRUE(any_has(lines, ".toml:" + place + ": ")) << place << "\n" << result.err;
  for (const std::string& words : expected.says) EXPECT_TRUE(any_has(lines, words)) << words << "\n" << result.err;
  EXPECT_TRUE(fs::is_empty(scratch.folder())) << "something was written";
}

TEST_P(BadBrief, SaysTheSameAsJson) {
  const Expectation expected = read_expectation(fs::path(GetParam()).replace_extension(".expect"));
  const ProgramRun result = oddgrist({"compose", GetParam().string(), "--json"});
  EXPECT_EQ(result.exit_code, expected.exit_code) << result.err;
  EXPECT_EQ(result.err, "");
  const auto document = nlohmann::json::parse(result.out, nullptr, false);
  ASSERT_FALSE(document.is_discarded()) << result.out;
  if (expected.exit_code != 65) return;
  ASSERT_EQ(document.at("problems").size(), expected.problems) << result.out;
  int previous_line = 0;
  for (const auto& problem : document.at("problems")) {
    EXPECT_EQ(problem.at("file"), GetParam().string());
    EXPECT_GE(problem.value("line", 0), previous_line);
    previous_line = problem.value("line", 0);
  }
}

std::string case_name(const testing::TestParamInfo<fs::path>& info) {
  std::string name = info.param.stem().string();
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

INSTANTIATE_TEST_SUITE_P(Files, BadBrief, testing::ValuesIn(files_in("tests/cli/bad", ".toml")), case_name);

TEST(BadBriefFiles, AreAtLeastThirtyEachWithItsExpectation) {
  const auto briefs = files_in("tests/cli/bad", ".toml");
  EXPECT_GE(briefs.size(), 30);
  for (const fs::path& brief : briefs) EXPECT_TRUE(fs::exists(fs::path(brief).replace_extension(".expect"))) << brief;
}

// Ten megabytes are refused before anything looks inside.
TEST(BadBriefFiles, TooLargeIsRefusedUnread) {
  const Scratch scratch;
  const std::string path = scratch / "large.toml";
  write_text(path, std::string(10'000'000, '#'));
  const ProgramRun result = oddgrist({"compose", path});
  EXPECT_EQ(result.exit_code, 65);
  EXPECT_NE(result.err.find("larger than 1 MiB"), std::string::npos) << result.err;
  EXPECT_EQ(lines_of(result.err).size(), 1);
}

TEST(BadBriefFiles, EndlessInputIsRefused) {
  const ProgramRun result = oddgrist({"compose", "-"}, "/dev/zero");
  EXPECT_EQ(result.exit_code, 65);
  EXPECT_NE(result.err.find("larger than 1 MiB"), std::string::npos) << result.err;
}

TEST(BadBriefFiles, WhatCannotBeOpenedIsSaidSo) {
  const Scratch scratch;
  // The memory of a process can be opened, but nothing can be read where it begins: an input error that even root meets.
  for (const std::string& path : {scratch.folder().string(), scratch / "missing.toml", scratch / "no-folder/brief.toml",
                                  std::string("/proc/self/mem")}) {
    const ProgramRun result = oddgrist({"compose", path});
    EXPECT_EQ(result.exit_code, 66) << path;
    EXPECT_EQ(result.out, "");
    EXPECT_EQ(lines_of(result.err).size(), 1) << result.err;
    EXPECT_EQ(result.err.rfind(path + ": ", 0), 0) << result.err;
  }
}

// Deep nesting must end in a message, not in an exhausted stack.
TEST(BadBriefFiles, NestedTooDeeplyIsRefused) {
  const Scratch scratch;
  const std::string path = scratch / "deep.toml";
  write_text(path, "name = " + std::string(100'000, '['));
  EXPECT_EQ(oddgrist({"compose", path}).exit_code, 65);
}

}  // namespace
}  // namespace oddgrist::test

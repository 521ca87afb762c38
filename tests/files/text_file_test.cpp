#include "files/text_file.hpp"

#include <filesystem>
#include <fstream>
#include <iterator>

#include <gtest/gtest.h>

namespace oddgrist::files {
namespace {

namespace fs = std::filesystem;

class TextFile : public testing::Test {
 protected:
  void SetUp() override {
    std::string name = (fs::temp_directory_path() / "oddgrist-text-XXXXXX").string();
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    folder = name;
  }
  void TearDown() override { fs::remove_all(folder); }
  std::string path(const std::string& name) const { return (folder / name).string(); }
  static std::string bytes(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
  }
  fs::path folder;
};

TEST_F(TextFile, WritesAndReadsBack) {
  EXPECT_FALSE(write_text_file(path("a.txt"), "wort\n"));
  const auto read = read_text_file(path("a.txt"));
  ASSERT_TRUE(read);
  EXPECT_EQ(read.value(), "wort\n");
}

TEST_F(TextFile, KeepsThePermissionsOfWhatItReplaces) {
  std::ofstream(path("a.txt")) << "old";
  fs::permissions(path("a.txt"), fs::perms::owner_read | fs::perms::owner_write);
  EXPECT_FALSE(write_text_file(path("a.txt"), "new"));
  EXPECT_EQ(fs::status(path("a.txt")).permissions(), fs::perms::owner_read | fs::perms::owner_write);
  EXPECT_EQ(bytes(path("a.txt")), "new");
}

TEST_F(TextFile, LeavesNothingBehindWhenItCannotWrite) {
  fs::create_directory(path("taken"));
  const auto problem = write_text_file(path("taken"), "text");
  ASSERT_TRUE(problem);
  EXPECT_EQ(problem->trouble, Trouble::cannot_write);
  EXPECT_EQ(std::distance(fs::directory_iterator(folder), fs::directory_iterator()), 1);
  EXPECT_TRUE(write_text_file("/dev/full", "text"));
}

TEST_F(TextFile, SizeLimitIsExact) {
  std::ofstream(path("full.txt")) << std::string(largest_text_file_bytes, 'a');
  std::ofstream(path("over.txt")) << std::string(largest_text_file_bytes + 1, 'a');
  EXPECT_TRUE(read_text_file(path("full.txt")));
  EXPECT_FALSE(read_text_file(path("over.txt")));
}

struct Utf8Case {
  const char* name;
  std::string text;
  int column;  // of the first invalid byte; 0: valid
};

class Utf8 : public testing::TestWithParam<Utf8Case> {};

// RFC 3629, section 3 and 4 (the table of well-formed sequences), and section 10 (overlong forms of "/").
TEST_P(Utf8, IsCheckedAsTheRfcHasIt) {
  const auto problem = problem_in_text(GetParam().text, "f");
  EXPECT_EQ(problem ? problem->place.column : 0, GetParam().column);
}

std::string utf8_case_name(const testing::TestParamInfo<Utf8Case>& which) { return which.param.name; }

INSTANTIATE_TEST_SUITE_P(
    Rfc3629, Utf8,
    testing::Values(Utf8Case{"two_bytes", "a\xC2\xA2", 0}, Utf8Case{"three_bytes", "a\xE2\x82\xAC", 0},
                    Utf8Case{"four_bytes", "a\xF0\x9F\x8D\xBA", 0}, Utf8Case{"last_code_point", "\xF4\x8F\xBF\xBF", 0},
                    Utf8Case{"past_the_last", "ab\xF4\x90\x80\x80", 3}, Utf8Case{"overlong_slash", "a\xC0\xAF", 2},
                    Utf8Case{"overlong_three", "\xE0\x80\xAF", 1}, Utf8Case{"surrogate", "\xED\xA0\x80", 1},
                    Utf8Case{"lone_continuation", "\xC2\xB0\x80", 2}, Utf8Case{"cut_short", "abc\xE2\x82", 4},
                    Utf8Case{"latin_1",
                             "19 \xB0"
                             "C",
                             4},
                    Utf8Case{"nul", std::string("ab\0c", 4), 3}),
    utf8_case_name);

TEST(TextPlace, CountsLinesAndCharacters) {
  const auto problem = problem_in_text("one\n°°\xFF", "f");
  ASSERT_TRUE(problem);
  EXPECT_EQ(problem->place.line, 2);
  EXPECT_EQ(problem->place.column, 3);
}

}  // namespace
}  // namespace oddgrist::files

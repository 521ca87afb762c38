#include <gtest/gtest.h>

#include "files/marks_file.hpp"

namespace oddgrist::files {
namespace {

TEST(MarksFile, IsReadInAnyOrderAndUnit) {
  const auto read = read_marks_text(
      "# dipstick, cm\n[[mark]]\nheight = 10\nvolume = \"6.5 L\"\n[[mark]]\nheight = 2.5\nvolume = \"1500 mL\"\n"
      "[[mark]]\nheight = 30\nvolume = \"5 US gal\"\n",
      "kettle.toml");
  ASSERT_TRUE(read) << problem_line(read.problems().front());
  const gyle::Marks& marks = read.value();
  ASSERT_EQ(marks.size(), 3u);
  EXPECT_EQ(marks[0].first, 2.5);
  EXPECT_NEAR(marks[0].second, 1.5, 1e-12);
  EXPECT_EQ(marks[1], (std::pair{10.0, 6.5}));
  // NIST SP 811 (2008), appendix B.8: 1 US gal = 3.785412 L.
  EXPECT_NEAR(marks[2].second, 5.0 * 3.785412, 2.5e-6);
  EXPECT_NEAR(*gyle::litres_at(marks, 6.25), 4.0, 1e-12);
}

// Where, what and what to do; the line of the mark that is meant.
TEST(MarksFile, SaysWhatIsWrong) {
  struct Case {
    std::string text;
    int line;
    std::string what;
  };
  const std::string sound = "[[mark]]\nheight = 5\nvolume = \"3 L\"\n";
  const std::vector<Case> cases = {
      {sound, 0, "fewer than two"},
      {"# none\n", 0, "fewer than two"},
      {sound + "[[mark]]\nheight = 10\n", 4, "volume is missing"},
      {sound + "[[mark]]\nvolume = \"6 L\"\n", 4, "height is missing"},
      {sound + "[[mark]]\nheight = 10\nvolume = 6\n", 6, "no unit"},
      {sound + "[[mark]]\nheight = 10\nvolume = \"6 kg\"\n", 6, "volume"},
      {sound + "[[mark]]\nheight = -1\nvolume = \"6 L\"\n", 5, "height"},
      {sound + "[[mark]]\nheight = nan\nvolume = \"6 L\"\n", 5, "height"},
      {sound + "[[mark]]\nheight = 10\nvolume = \"2 L\"\n", 4, "less in it"},
      {sound + "[[mark]]\nheight = 5\nvolume = \"6 L\"\n", 4, "second time"},
      {sound + "[[mark]]\nheight = 10\nvolum = \"6 L\"\n", 4, "volume is missing"},
      {"[[marks]]\nheight = 10\nvolume = \"6 L\"\n", 1, "marks"},
  };
  for (const Case& wrong : cases) {
    SCOPED_TRACE(wrong.text);
    const auto read = read_marks_text(wrong.text, "kettle.toml");
    ASSERT_FALSE(read);
    const Problem& first = read.problems().front();
    EXPECT_EQ(first.place.file, "kettle.toml");
    EXPECT_EQ(first.place.line, wrong.line);
    EXPECT_NE(first.what.find(wrong.what), std::string::npos) << first.what;
    EXPECT_FALSE(first.remedy.empty());
  }
  EXPECT_EQ(read_marks_file("/no/such/marks.toml").problems().front().trouble, Trouble::cannot_open);
}

}  // namespace
}  // namespace oddgrist::files

#include "files/toml_bounds.hpp"

#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "files/brief_file.hpp"

namespace oddgrist::files {
namespace {

std::string repeated(std::string_view piece, int times) {
  std::string all;
  for (int i = 0; i < times; ++i) all += piece;
  return all;
}

std::string key_of_names(int names) { return "a" + repeated(".a", names - 1); }

void expect_excess(const std::string& text, TomlExcess::Kind kind) {
  const auto excess = toml_excess(text);
  ASSERT_TRUE(excess) << text.substr(0, 60);
  EXPECT_EQ(excess->kind, kind) << text.substr(0, 60);
}

TEST(TomlBounds, KeysAtTheBoundPassAndOneNameMoreDoesNot) {
  EXPECT_FALSE(toml_excess(key_of_names(most_toml_names_in_a_key) + " = 1\n"));
  expect_excess(key_of_names(most_toml_names_in_a_key + 1) + " = 1\n", TomlExcess::Kind::long_key);
  EXPECT_FALSE(toml_excess("[" + key_of_names(most_toml_names_in_a_key) + "]\n"));
  expect_excess("[" + key_of_names(most_toml_names_in_a_key + 1) + "]\n", TomlExcess::Kind::long_key);
  expect_excess("[[" + key_of_names(most_toml_names_in_a_key + 1) + "]]\n", TomlExcess::Kind::long_key);
}

TEST(TomlBounds, NamesInQuotationMarksAndSpacesCountToo) {
  expect_excess("\"a\"" + repeated(" . 'b.c'", 8) + " = 1\n", TomlExcess::Kind::long_key);
  expect_excess("x = { " + key_of_names(9) + " = 1 }\n", TomlExcess::Kind::long_key);
}

TEST(TomlBounds, BracketsAtTheBoundPassAndOneMoreDoesNot) {
  EXPECT_FALSE(toml_excess("x = " + repeated("[", most_toml_brackets)));
  expect_excess("x = " + repeated("[", most_toml_brackets + 1), TomlExcess::Kind::deep_nesting);
  expect_excess("x = " + repeated("{a=", most_toml_brackets + 1), TomlExcess::Kind::deep_nesting);
}

TEST(TomlBounds, EntriesAtTheBoundPassAndOneMoreDoesNot) {
  EXPECT_FALSE(toml_excess(repeated("a=1\n", most_toml_entries)));
  expect_excess(repeated("a=1\n", most_toml_entries + 1), TomlExcess::Kind::many_entries);
  expect_excess("x = [" + repeated("1,", most_toml_entries), TomlExcess::Kind::many_entries);
}

TEST(TomlBounds, StringsAndCommentsAreNoStructure) {
  const std::string dots = repeated(".", 99), brackets = repeated("[", 99);
  EXPECT_FALSE(toml_excess("x = \"" + dots + brackets + "\\\"" + dots + "\"\n"));
  EXPECT_FALSE(toml_excess("x = '" + dots + "\\'\n"));
  EXPECT_FALSE(toml_excess("x = \"\"\"" + dots + "\n\"" + brackets + "\"\"\"\n"));
  EXPECT_FALSE(toml_excess("x = '''" + dots + "\n" + brackets + "'''\n"));
  EXPECT_FALSE(toml_excess("# " + dots + brackets + "\nx = 1 # " + dots + "\n"));
  expect_excess("x = \"never closed\n" + key_of_names(9) + " = 1\n", TomlExcess::Kind::long_key);
}

TEST(TomlBounds, FortyThousandNamesAreRefusedWithTheirPlace) {
  for (const std::string& text : {key_of_names(40'000) + " = 1\n", "name = \"x\"\n[" + key_of_names(40'000) + "]\n",
                                  "x = " + repeated("[", 40'000), "x = " + repeated("{a=", 40'000)}) {
    const auto brief = read_brief_text(text, "deep.toml");
    ASSERT_FALSE(brief) << text.substr(0, 40);
    ASSERT_FALSE(brief.problems().empty());
    EXPECT_GT(brief.problems().front().place.line, 0);
    EXPECT_NE(brief.problems().front().what.find("which no file of ours needs"), std::string::npos)
        << brief.problems().front().what;
  }
}

RC_GTEST_PROP(TomlBounds, AnyBytesComeToAnEnd, (const std::string& text)) {
  const auto excess = toml_excess(text);
  if (excess) RC_ASSERT(excess->offset < text.size());
}

}  // namespace
}  // namespace oddgrist::files

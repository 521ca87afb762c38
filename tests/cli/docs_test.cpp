// docs/commands.md, docs/file-format.md and --help say the same as the program.
#include <regex>
#include <set>

#include "program.hpp"

namespace oddgrist::test {
namespace {

const std::vector<std::string> verbs = {"serve",     "devices", "compose", "sheet", "ferment", "watch",  "gas",
                                        "carbonate", "doubt",   "mash",    "water", "packet",  "larder", "convert",
                                        "trial",     "round",   "store",   "gyle",  "kit"};

std::string commands_page() { return file_text(std::filesystem::path(ODDGRIST_SOURCE_DIR) / "docs/commands.md"); }

std::set<std::string> long_options(const std::string& text) {
  static const std::regex option("--[a-z][a-z-]*");
  return {std::sregex_token_iterator(text.begin(), text.end(), option), std::sregex_token_iterator()};
}

// From "## `verb" to the next heading.
std::string section(const std::string& page, const std::string& verb) {
  const auto begin = page.find("## `" + verb);
  if (begin == std::string::npos) return {};
  return page.substr(begin, page.find("\n## ", begin + 1) - begin);
}

// The options of --help, without what its example shows.
std::set<std::string> help_options(const std::vector<std::string>& arguments) {
  const ProgramRun help = oddgrist(arguments);
  EXPECT_EQ(help.exit_code, 0);
  EXPECT_NE(help.out.find("Example:"), std::string::npos);
  EXPECT_NE(help.out.find("Exit codes:"), std::string::npos);
  return long_options(help.out.substr(0, help.out.find("Example:")));
}

std::set<std::string> joined(std::set<std::string> one, const std::set<std::string>& other) {
  one.insert(other.begin(), other.end());
  return one;
}

TEST(Docs, EveryOptionOfHelpIsOnTheCommandsPageAndTheOtherWayRound) {
  const std::string page = commands_page();
  const std::set<std::string> common = {"--json", "--output", "--help"};
  for (const std::string& verb : verbs) {
    const std::string its_section = section(page, verb);
    ASSERT_FALSE(its_section.empty()) << verb << " has no section";
    EXPECT_EQ(joined(long_options(its_section), common), help_options({verb, "--help"})) << verb;
  }
  const std::string head = page.substr(0, page.find("\n## "));
  EXPECT_EQ(long_options(head), joined(common, {"--version"}));
  const std::set<std::string> top = help_options({"--help"});
  EXPECT_TRUE(top.contains("--help") && top.contains("--version"));
}

TEST(Docs, EveryVerbOfHelpHasASection) {
  const std::string help = oddgrist({"--help"}).out;
  const auto begin = help.find("Subcommands:");
  ASSERT_NE(begin, std::string::npos);
  const std::string list = help.substr(begin, help.find("Example:") - begin);
  static const std::regex verb_line("\n  ([a-z]+) ");
  std::set<std::string> found;
  for (std::sregex_iterator it(list.begin(), list.end(), verb_line), end; it != end; ++it) found.insert((*it)[1]);
  EXPECT_EQ(found, std::set<std::string>(verbs.begin(), verbs.end()));
}

std::set<std::string> codes(const std::string& text, const std::regex& pattern) {
  std::set<std::string> found;
  for (std::sregex_iterator it(text.begin(), text.end(), pattern), end; it != end; ++it) found.insert((*it)[1]);
  return found;
}

TEST(Docs, ExitCodesOfHelpAreThoseOfTheCommandsPageAndOfTheSource) {
  const std::string help = oddgrist({"compose", "--help"}).out;
  const auto in_help = codes(help.substr(help.find("Exit codes:")), std::regex("([0-9]+) "));
  const auto on_page = codes(commands_page(), std::regex("\n\\| ([0-9]+) \\|"));
  const std::string source = file_text(std::filesystem::path(ODDGRIST_SOURCE_DIR) / "src/cli/exit_code.hpp");
  const auto in_source = codes(source, std::regex("= ([0-9]+),"));
  EXPECT_EQ(in_help, on_page);
  EXPECT_EQ(in_source, on_page);
  EXPECT_GE(on_page.size(), 8);
}

// A schema for every --json, and every schema is named on the page.
TEST(Docs, EverySchemaIsOnTheCommandsPage) {
  const std::string page = commands_page();
  for (const auto& schema : files_in("docs/schema", ".json")) {
    EXPECT_NE(page.find("docs/schema/" + schema.filename().string()), std::string::npos) << schema;
  }
}

// Every command line of the docs runs (compose and sheet of the examples are run as JSON by another test).
TEST(Docs, CommandLinesRun) {
  const Scratch scratch;
  static const std::regex command("\noddgrist ([^\n]*)");
  const std::string page = commands_page();
  int run_count = 0;
  for (std::sregex_iterator it(page.begin(), page.end(), command), end; it != end; ++it) {
    const std::string line = "cd " + scratch.folder().string() +
                             " && cp -r " ODDGRIST_SOURCE_DIR "/examples . && " ODDGRIST_BINARY " " + (*it)[1].str() +
                             " > out.txt";
    const ProgramRun result = run("sh", {"-c", line});
    EXPECT_TRUE(result.exit_code == 0 || result.exit_code == 3) << line << "\n" << result.err;
    ++run_count;
  }
  EXPECT_GE(run_count, 7);
}

}  // namespace
}  // namespace oddgrist::test

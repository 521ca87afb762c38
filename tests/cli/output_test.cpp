// Where results and problems go, and what the exit codes are.
#include <nlohmann/json.hpp>

#include "program.hpp"

namespace oddgrist::test {
namespace {

namespace fs = std::filesystem;

TEST(Output, LandsWholeInTheFileNamed) {
  const Scratch scratch;
  const std::string path = scratch / "gallons.txt";
  const ProgramRun to_screen = oddgrist({"convert", "2.5 US gal"});
  const ProgramRun to_file = oddgrist({"convert", "2.5 US gal", "--output", path});
  EXPECT_EQ(to_file.exit_code, 0);
  EXPECT_EQ(to_file.out, "");
  EXPECT_EQ(file_text(path), to_screen.out);
  EXPECT_EQ(std::distance(fs::directory_iterator(scratch.folder()), fs::directory_iterator()), 1)
      << "no other file may be left";
}

TEST(Output, ReplacesTheFileALinkPointsTo) {
  const Scratch scratch;
  write_text(scratch / "real.txt", "old");
  fs::create_symlink(scratch / "real.txt", scratch / "link.txt");
  EXPECT_EQ(oddgrist({"convert", "10 L", "--output", scratch / "link.txt"}).exit_code, 0);
  EXPECT_TRUE(fs::is_symlink(scratch / "link.txt"));
  EXPECT_NE(file_text(scratch / "real.txt"), "old");
}

TEST(Output, KeepsTheOldFileWhenTheBriefIsBad) {
  const Scratch scratch;
  write_text(scratch / "bad.toml", "kit = 3\n");
  write_text(scratch / "recipe.txt", "the old recipe");
  for (const std::string& flag : {std::string("--json"), std::string()}) {
    std::vector<std::string> arguments{"compose", scratch / "bad.toml", "--output", scratch / "recipe.txt"};
    if (!flag.empty()) arguments.push_back(flag);
    EXPECT_EQ(oddgrist(arguments).exit_code, 65);
    EXPECT_EQ(file_text(scratch / "recipe.txt"), "the old recipe");
  }
}

TEST(Output, ThatCannotBeWrittenIsExit74AndAFullDisk73) {
  const Scratch scratch;
  for (const std::string& path : {scratch / "no-folder/out.txt", scratch.folder().string(), std::string("/dev/full")}) {
    const ProgramRun result = oddgrist({"convert", "10 L", "--output", path});
    EXPECT_EQ(result.exit_code, path == "/dev/full" ? 73 : 74) << path;
    EXPECT_NE(result.err.find("cannot write"), std::string::npos) << result.err;
  }
  EXPECT_TRUE(fs::is_empty(scratch.folder()));
}

TEST(Output, WrongUsageIsExit2) {
  const std::vector<std::vector<std::string>> wrong = {{},
                                                       {"brew"},
                                                       {"compose"},
                                                       {"compose", "a.toml", "b.toml"},
                                                       {"compose", "a.toml", "--unit", "si"},
                                                       {"compose", "a.toml", "--units", "stone"},
                                                       {"sheet", "a.toml", "--proposal", "0"},
                                                       {"convert", "10 gal"},
                                                       {"convert", "10 L", "--to", "kg"}};
  for (const auto& arguments : wrong) {
    const ProgramRun result = oddgrist(arguments);
    EXPECT_EQ(result.exit_code, 2) << testing::PrintToString(arguments) << result.err;
    EXPECT_EQ(result.out, "");
    EXPECT_NE(result.err, "");
  }
}

TEST(Output, WrongUsageIsJsonWhenAskedFor) {
  const ProgramRun result = oddgrist({"convert", "10 gal", "--json"});
  EXPECT_EQ(result.exit_code, 2);
  EXPECT_EQ(result.err, "");
  const auto document = nlohmann::json::parse(result.out, nullptr, false);
  ASSERT_FALSE(document.is_discarded()) << result.out;
  ASSERT_EQ(document.at("problems").size(), 1);
  EXPECT_NE(document.at("problems")[0].at("what").get<std::string>().find("US gal"), std::string::npos);
}

TEST(Output, ConvertTakesNegativeTemperatures) {
  const ProgramRun result = oddgrist({"convert", "-40 °C", "--to", "°F"});
  EXPECT_EQ(result.exit_code, 0) << result.err;
  EXPECT_NE(result.out.find("-40"), std::string::npos) << result.out;
}

TEST(Output, LarderFindsByNameWordAndKind) {
  EXPECT_NE(oddgrist({"larder", "smoked", "wheat", "malt"}).out.find("source"), std::string::npos);
  EXPECT_NE(oddgrist({"larder", "hop"}).out.find("Golding"), std::string::npos);
  const ProgramRun none = oddgrist({"larder", "smoked", "wheet", "mallt"});
  EXPECT_EQ(none.exit_code, 1);
  EXPECT_EQ(none.out, "");
  EXPECT_NE(none.err.find("smoked-wheat-malt"), std::string::npos) << none.err;
}

TEST(Output, ReadsABriefFromStandardInput) {
  const Scratch scratch;
  write_text(scratch / "empty.toml", "\n");
  const ProgramRun result = oddgrist({"compose", "-"}, scratch / "empty.toml");
  EXPECT_EQ(result.exit_code, 65);
  EXPECT_EQ(result.err.rfind("standard input: ", 0), 0) << result.err;
}

// Waiting for the rest of its input, the program is told to stop.
TEST(Output, InterruptionEndsQuietlyWith130) {
  const ProgramRun result =
      run("sh", {"-c", "sleep 1 | timeout --preserve-status --signal=INT 0.3 " ODDGRIST_BINARY " compose -"});
  EXPECT_EQ(result.exit_code, 130);
  EXPECT_EQ(result.out + result.err, "");
}

TEST(Output, PacketThatContradictsItselfIsExit65ButExplained) {
  const Scratch scratch;
  write_text(scratch / "jar.toml",
             "[[item]]\nname = \"jar\"\ndeclared = \"sugar, plums\"\n[item.packet]\nper = \"100 g\"\nfat = \"1 g\"\n"
             "carbohydrate = \"160 g\"\nprotein = \"1 g\"\nenergy = \"1000 kJ\"\n");
  const ProgramRun result = oddgrist({"packet", scratch / "jar.toml"});
  EXPECT_EQ(result.exit_code, 65);
  EXPECT_NE(result.out.find("wrong"), std::string::npos) << result.out;
}

// Sizes that nobody weighs, at both ends of what a number can hold.
TEST(Output, AbsurdAmountsAreNoFaultOfTheProgram) {
  const Scratch scratch;
  for (const std::string fat : {"1e-200 g", "1e-307 g", "1e-323 g", "1e-999 g", "1e200 g", "1e999 g"}) {
    write_text(scratch / "jar.toml",
               "[[item]]\nname = \"jar\"\ndeclared = \"sugar, plums\"\n[item.packet]\nper = \"100 g\"\nfat = \"" + fat +
                   "\"\ncarbohydrate = \"60 g\"\nprotein = \"1 g\"\nenergy = \"1000 kJ\"\n");
    for (const std::vector<std::string>& more : {std::vector<std::string>{}, std::vector<std::string>{"--json"}}) {
      std::vector<std::string> arguments{"packet", scratch / "jar.toml"};
      arguments.insert(arguments.end(), more.begin(), more.end());
      const ProgramRun result = oddgrist(arguments);
      EXPECT_TRUE(result.exit_code == 0 || result.exit_code == 65) << fat << ": " << result.exit_code << result.err;
    }
  }
}

TEST(Output, TerminalIsCommandedByNoName) {
  const Scratch scratch;
  const std::string bell = "\a", escape = "\x1b[2J",
                    csi =
                        "\xc2\x9b"
                        "2J",
                    turned = "\xe2\x80\xae";
  for (const std::string& mischief : {bell, escape, csi, turned}) {
    for (const auto& arguments : std::vector<std::vector<std::string>>{{"larder", "x" + mischief},
                                                                       {"convert", "10 " + mischief},
                                                                       {"compose", scratch / (mischief + ".toml")},
                                                                       {"convert", "10 " + mischief, "--json"},
                                                                       {mischief}}) {
      const ProgramRun result = oddgrist(arguments);
      EXPECT_EQ((result.out + result.err).find(mischief), std::string::npos) << testing::PrintToString(arguments);
    }
  }
}

TEST(Output, DeepFilesAreRefusedWithTheirPlace) {
  const Scratch scratch;
  std::string names = "a";
  for (int i = 0; i < 40'000; ++i) names += ".a";
  for (const std::string& text : {names + " = 1\n", "[" + names + "]\n", "x = " + std::string(100'000, '[')}) {
    write_text(scratch / "deep.toml", text);
    for (const std::string verb : {"compose", "packet", "water", "trial"}) {
      const ProgramRun result = oddgrist({verb, scratch / "deep.toml"});
      EXPECT_TRUE(result.exit_code == 65 || result.exit_code == 2)
          << verb << result.exit_code << result.err.substr(0, 300);
    }
    EXPECT_EQ(oddgrist({"compose", scratch / "deep.toml"}).exit_code, 65);
  }
}

// The hazard that must stop a brew stops the packet verb as well.
TEST(Output, PacketOfKernelsIsExit4) {
  const ProgramRun result = oddgrist({"packet", "examples/kernels.toml"});
  EXPECT_EQ(result.exit_code, 4) << result.out << result.err;
  EXPECT_NE(result.out.find("refuse"), std::string::npos) << result.out;
}

}  // namespace
}  // namespace oddgrist::test

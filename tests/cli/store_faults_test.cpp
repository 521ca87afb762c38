// Faults of the store on the command line, each with its exit code: damaged 72, full 73, busy 75. And the end of a file's room ends no program.
#include "program.hpp"

namespace oddgrist::test {
namespace {

constexpr const char* gyle = "saltmarsh-2026-11-25";

class StoreFaults : public ::testing::Test {
 protected:
  void SetUp() override {
    ASSERT_EQ(oddgrist({"store", "import", "examples/store/saltmarsh.jsonl", "--store", file_}).exit_code, 0);
  }
  [[nodiscard]] ProgramRun kept(std::vector<std::string> words) const {
    words.insert(words.end(), {"--store", file_});
    return oddgrist(words);
  }
  // One digit of a reading, in the file itself.
  void change_a_digit(const std::string& from = "1.041", const std::string& to = "1.047") const {
    std::string bytes = file_text(file_);
    const auto at = bytes.find("\"value\":" + from);
    ASSERT_NE(at, std::string::npos);
    bytes.replace(at, 8 + from.size(), "\"value\":" + to);
    write_text(file_, bytes);
  }
  static void expect_fault(const ProgramRun& run, int code, const std::string& words) {
    EXPECT_EQ(run.exit_code, code) << run.out << run.err;
    EXPECT_NE(run.err.find(words), std::string::npos) << run.err;
    EXPECT_EQ(run.out, "");
  }

  const Scratch scratch_;
  const std::string file_ = scratch_ / "s.db";
};

TEST_F(StoreFaults, ADamagedEntryIsNamedAndNotPassedOn) {
  change_a_digit();
  const std::string named = "entry 13 (gyle-6) is not what was written";
  for (const char* deed : {"log", "now", "after"}) expect_fault(kept({"gyle", deed, gyle}), 72, named);
  expect_fault(kept({"store", "export", scratch_ / "e.jsonl"}), 72, named);
  expect_fault(kept({"store", "backup", scratch_ / "b.db"}), 72, named);
  EXPECT_FALSE(std::filesystem::exists(scratch_ / "e.jsonl"));
  EXPECT_FALSE(std::filesystem::exists(scratch_ / "b.db"));
  const ProgramRun check = kept({"store", "check"});
  EXPECT_EQ(check.exit_code, 72);
  EXPECT_NE(check.out.find(named), std::string::npos) << check.out;
}

TEST_F(StoreFaults, AStoreThatFailsItsCheckIsOnlyReadUntilItIsMended) {
  ASSERT_EQ(kept({"store", "backup", scratch_ / "b.db"}).exit_code, 0);
  change_a_digit();
  ASSERT_EQ(kept({"store", "check"}).exit_code, 72);
  // Into another gyle, which is sound itself.
  expect_fault(kept({"gyle", "start", "other", "examples/saltmarsh-round.toml"}), 72, "only read until it is mended");
  const ProgramRun list = kept({"gyle", "list"});
  EXPECT_EQ(list.exit_code, 0);
  EXPECT_NE(list.err.find("only read until it is mended"), std::string::npos) << "it is not said: " << list.err;
  ASSERT_EQ(kept({"store", "restore", scratch_ / "b.db"}).exit_code, 0);
  EXPECT_EQ(kept({"gyle", "note", gyle, "mended"}).exit_code, 0);
  EXPECT_EQ(kept({"gyle", "list"}).err, "");
}

TEST_F(StoreFaults, TheEndOfAFilesRoomIsAFullDiskAndEndsNoProgram) {
  const auto tight = [&](const std::string& words) {
    return run("bash", {"-c", "ulimit -f 2; exec " ODDGRIST_BINARY " " + words + " --store " + file_});
  };
  expect_fault(tight("store export " + (scratch_ / "e.jsonl")), 73, "File too large");
  expect_fault(tight(std::string("gyle note ") + gyle + " hello"), 73, "the disk is full");
  EXPECT_FALSE(std::filesystem::exists(scratch_ / "e.jsonl"));
  const ProgramRun compose =
      run("bash", {"-c", "ulimit -f 1; exec " ODDGRIST_BINARY " compose examples/saltmarsh-round.toml --output " +
                             (scratch_ / "r.txt")});
  expect_fault(compose, 73, "File too large");
  EXPECT_EQ(kept({"gyle", "note", gyle, "hello"}).exit_code, 0);
}

TEST_F(StoreFaults, ABusyStoreIsExit75) {
  const std::string script =
      "import sqlite3,subprocess,sys\n"
      "c=sqlite3.connect(sys.argv[1],isolation_level=None)\nc.execute('BEGIN IMMEDIATE')\n"
      "sys.exit(subprocess.run(sys.argv[2:]).returncode)\n";
  expect_fault(run("python3", {"-c", script, file_, ODDGRIST_BINARY, "gyle", "note", gyle, "hello", "--store", file_}),
               75, "another program holds the store");
  EXPECT_EQ(kept({"gyle", "note", gyle, "hello"}).exit_code, 0);
}

TEST_F(StoreFaults, NoSuchGyleAndNoSuchStoreAreExit66) {
  expect_fault(kept({"gyle", "now", "nobody"}), 66, "there is no gyle");
  expect_fault(oddgrist({"gyle", "list", "--store", scratch_ / "none.db"}), 66, "there is no store here");
}

}  // namespace
}  // namespace oddgrist::test

// A changed digit in an entry: named wherever the entry is read, passed on nowhere, and nothing is written until the store is mended.
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/wait.h>

#include <csignal>

#include "sample.hpp"
#include "store/kept_round.hpp"
#include "store/known_kit.hpp"
#include "store/open_gyle.hpp"

namespace oddgrist::store {
namespace {

void with_sqlite(const std::string& file, const std::string& sql) {
  sqlite3* raw = nullptr;
  ASSERT_EQ(sqlite3_open(file.c_str(), &raw), SQLITE_OK);
  EXPECT_EQ(sqlite3_exec(raw, sql.c_str(), nullptr, nullptr, nullptr), SQLITE_OK) << sqlite3_errmsg(raw);
  sqlite3_close(raw);
}

// Past our triggers, and those put back, as a flipped bit on a disk would: the pages stay sound.
void change_entry(const std::string& file, const std::string& set_where) {
  with_sqlite(file, "DROP TRIGGER entry_is_never_changed; UPDATE entry SET " + set_where +
                        "; CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, "
                        "'an entry is never changed'); END;");
}

class Damage : public StoreFolder {
 protected:
  // A sound backup, and a store in which the reading g1-r2 says 20.35 instead of 20.25.
  Damage() {
    {
      Store store = new_store(file);
      fill(store);
      must(store.backup_to(path("backup.db")));
    }
    change_entry(file, "body = replace(body, '20.25', '20.35') WHERE key = 'g1-r2'");
  }
  template <class T>
  static void expect_named(const Result<T>& result, const std::string& key = "g1-r2") {
    ASSERT_FALSE(result) << "passed on";
    const auto& problem = result.problems().front();
    EXPECT_EQ(problem.trouble, files::Trouble::damaged);
    EXPECT_NE(problem.what.find(key), std::string::npos) << problem.what;
    EXPECT_FALSE(problem.remedy.empty());
    EXPECT_FALSE(problem.place.file.empty());
  }
  const std::string file = path("s.db");
};

TEST_F(Damage, IsNamedWhereverTheEntryIsRead) {
  const Store store = must(Store::open(file, Mode::read));
  expect_named(store.entries("gyle/g1"));
  expect_named(store.gyle("g1"));
  expect_named(open_gyle(store, "g1"));
  expect_named(known_kit(store, "shed kettle"));
  expect_named(store.changes_since(0));
  // What is not damaged is still there to read.
  EXPECT_GT(must(store.entries("larder")).size(), 3U);
  EXPECT_EQ(must(store.brief("saltmarsh")).proposals.size(), 1U);
  EXPECT_EQ(must(store.gyles({})).lines.size(), 1U);
}

TEST_F(Damage, IsNotCopiedOut) {
  const Store store = must(Store::open(file, Mode::read));
  expect_named(store.backup_to(path("b.db")));
  expect_named(store.export_to_file(path("e.jsonl")));
  std::string text;
  expect_named(store.export_to([&](std::string_view line) {
    text += line;
    return true;
  }));
  EXPECT_EQ(text.find("\"end\""), std::string::npos) << "an export that broke off cannot be imported";
  EXPECT_EQ(text.find("20.35"), std::string::npos);
  EXPECT_FALSE(fs::exists(path("b.db")));
  EXPECT_FALSE(fs::exists(path("e.jsonl")));
}

TEST_F(Damage, InEveryKindOfStreamIsFound) {
  change_entry(file, "body = replace(body, '\"z\":1', '\"z\":2') WHERE key = 'round-1'");
  change_entry(file, "body = replace(body, '5.0', '6.0') WHERE key = 'in-1'");
  change_entry(file, "at = at + 1 WHERE key = 'kit-1'");
  change_entry(file, "body = replace(body, 'Round', 'Sound') WHERE key = 'brief-1'");
  const Store store = must(Store::open(file, Mode::read));
  expect_named(kept_round(store, "autumn"), "round-1");
  expect_named(store.entries("larder"), "in-1");
  expect_named(store.kits(), "kit-1");
  expect_named(store.brief("saltmarsh"), "brief-1");
  expect_named(store.search("sack"), "in-1");
}

TEST_F(Damage, OnceFoundTheStoreIsOnlyRead) {
  Store store = must(Store::open(file, Mode::write));
  // Found by whoever reads it first.
  EXPECT_FALSE(noted_damage(file));
  ASSERT_FALSE(store.gyle("g1"));
  ASSERT_TRUE(noted_damage(file));
  EXPECT_NE(noted_damage(file)->find("g1-r2"), std::string::npos);
  const auto refused = store.append_to_larder(std::vector<StockEntry>{{"later", moment(9), "", Counted{"honey", 1.0}}});
  expect_named(refused);
  EXPECT_NE(refused.problems().front().what.find("only read"), std::string::npos);
  // Another program that opens it knows.
  Store other = must(Store::open(file, Mode::create));
  expect_named(other.append_to_gyle("g2", std::vector<gyle::Entry>{started("g2-start")}));
  expect_named(other.rebuild_lists());
}

TEST_F(Damage, CheckNotesItAndTakesTheNoteAwayWhenItIsMended) {
  const auto write = [&](const std::string& key) {
    Store store = must(Store::open(file, Mode::write));
    return store.append_to_larder(std::vector<StockEntry>{{key, moment(9), "", Counted{"honey", 1.0}}});
  };
  ASSERT_FALSE(must(must(Store::open(file, Mode::read)).check()).damage.empty());
  expect_named(write("one"));
  change_entry(file, "body = replace(body, '20.35', '20.25') WHERE key = 'g1-r2'");
  EXPECT_TRUE(must(must(Store::open(file, Mode::read)).check()).damage.empty());
  EXPECT_FALSE(noted_damage(file));
  EXPECT_TRUE(write("two"));
}

TEST_F(Damage, RestoringABackupMendsIt) {
  ASSERT_FALSE(must(must(Store::open(file, Mode::read)).check()).damage.empty());
  const Restored restored = must(Store::restore(path("backup.db"), file));
  EXPECT_FALSE(noted_damage(file));
  EXPECT_TRUE(noted_damage(restored.kept)) << "what was put aside is still damaged";
  Store store = must(Store::open(file, Mode::write));
  EXPECT_EQ(must(store.gyle("g1")).size(), 6U);
  add(store, "g1", {reading("after")});
  // A damaged file is no backup.
  const auto again = Store::restore(restored.kept, path("t.db"));
  ASSERT_FALSE(again);
  EXPECT_EQ(again.problems().front().trouble, files::Trouble::damaged);
}

// The list has a gyle of which no entry can be found: lost, not missing.
TEST_F(Damage, AListedGyleWithoutItsLogIsNotMissing) {
  with_sqlite(file, "DROP TRIGGER stream_is_never_changed; UPDATE stream SET name = 'gyle/g7' WHERE name = 'gyle/g1'");
  const Store store = must(Store::open(file, Mode::read));
  for (const auto& problem : {store.gyle("g1").problems().front(), store.entries("gyle/g1").problems().front()})
    EXPECT_EQ(problem.trouble, files::Trouble::damaged) << problem.what;
  EXPECT_EQ(store.gyle("nobody").problems().front().trouble, files::Trouble::missing);
}

// Faults by kind.
TEST_F(Damage, OfAnotherSortAreToldByKind) {
  EXPECT_EQ(Store::open(path("none.db"), Mode::read).problems().front().trouble, files::Trouble::missing);
  Store store = must(Store::open(path("backup.db"), Mode::write, 50ms));
  sqlite3* other = nullptr;
  ASSERT_EQ(sqlite3_open(path("backup.db").c_str(), &other), SQLITE_OK);
  ASSERT_EQ(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr), SQLITE_OK);
  const auto busy = store.append_to_gyle("g1", std::vector<gyle::Entry>{reading("r")});
  sqlite3_close(other);
  ASSERT_FALSE(busy);
  EXPECT_EQ(busy.problems().front().trouble, files::Trouble::busy);
  EXPECT_FALSE(noted_damage(path("backup.db"))) << "a busy store is not a damaged one";
}

// A file that may not grow any more: the write fails, and is told as a full disk whatever SQLite calls it.
TEST_F(Damage, AFileThatMayNotGrowIsAFullDisk) {
  const pid_t child = ::fork();
  if (child == 0) {
    ::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{fs::file_size(path("backup.db")) + 30'000, fs::file_size(path("backup.db")) + 30'000};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    Store store = must(Store::open(path("backup.db"), Mode::write));
    for (int i = 0; i < 500; ++i) {
      const auto result = store.append_to_gyle(
          "g1", std::vector<gyle::Entry>{{fmt::format("n{}", i), moment(i), "", gyle::Note{std::string(3000, 'x')}}});
      if (result) continue;
      const bool full = result.problems().front().trouble == files::Trouble::full;
      if (!full) fmt::print(stderr, "instead: {}", words_of(result.problems()));
      const rlimit tighter{1000, 1000};
      ::setrlimit(RLIMIT_FSIZE, &tighter);
      const auto exported = store.export_to_file(path("e.jsonl"));
      ::_exit(full && !exported && exported.problems().front().trouble == files::Trouble::full ? 0 : 1);
    }
    ::_exit(2);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  EXPECT_TRUE(WIFEXITED(status));
  EXPECT_EQ(WEXITSTATUS(status), 0);
}

}  // namespace
}  // namespace oddgrist::store

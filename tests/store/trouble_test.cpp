// Full disks, read-only disks, locked, foreign, newer and damaged files: a clear error, nothing lost, and restore works.
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include <csignal>

#include "sample.hpp"

namespace oddgrist::store {
namespace {

class Trouble : public StoreFolder {};

// Runs in a process of its own, whose limits and rights may then be changed; true if it returned true.
template <class Work>
bool apart(Work&& work) {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(work() ? 0 : 1);
  int status = 0;
  ::waitpid(child, &status, 0);
  return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

// Root may write anywhere; the tests of a read-only folder become somebody else.
void give_up_rights() {
  if (::geteuid() == 0 && (::setgid(65534) != 0 || ::setuid(65534) != 0)) ::_exit(9);
}

bool says(const files::Problems& problems, const std::string& words, files::Trouble trouble) {
  const bool good = problems.size() == 1 && problems[0].what.find(words) != std::string::npos &&
                    !problems[0].remedy.empty() && problems[0].trouble == trouble;
  if (!good) fmt::print(stderr, "instead: {}", words_of(problems));
  return good;
}

void with_sqlite(const std::string& file, const char* sql) {
  sqlite3* raw = nullptr;
  ASSERT_EQ(sqlite3_open(file.c_str(), &raw), SQLITE_OK);
  EXPECT_EQ(sqlite3_exec(raw, sql, nullptr, nullptr, nullptr), SQLITE_OK) << sqlite3_errmsg(raw);
  sqlite3_close(raw);
}

TEST_F(Trouble, FullDisk) {
  const std::string file = path("s.db");
  {
    Store store = new_store(file);
    fill(store);
  }
  int acknowledged[2];
  ASSERT_EQ(::pipe(acknowledged), 0);
  EXPECT_TRUE(apart([&] {
    ::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{fs::file_size(file) + 1'000'000, fs::file_size(file) + 1'000'000};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    Store store = must(Store::open(file, Mode::write));
    for (int i = 0; i < 5000; ++i) {
      const auto result = store.append_to_gyle(
          "g1", std::vector<gyle::Entry>{{fmt::format("n{}", i), moment(i), "", gyle::Note{std::string(3000, 'x')}}});
      if (result) {
        if (::write(acknowledged[1], &i, sizeof i) != sizeof i) return false;
        continue;
      }
      const auto& problem = result.problems().front();
      if (i < 10 || problem.trouble != files::Trouble::full ||
          problem.remedy.find("acknowledged before is safe") == std::string::npos) {
        fmt::print(stderr, "at {}: {}", i, words_of(result.problems()));
        return false;
      }
      return must(store.gyle("g1")).size() == 6U + static_cast<std::size_t>(i);
    }
    return false;
  }));
  ::close(acknowledged[1]);
  int last = -1;
  while (::read(acknowledged[0], &last, sizeof last) == sizeof last) {
  }
  ::close(acknowledged[0]);
  Store store = must(Store::open(file, Mode::write));
  EXPECT_TRUE(must(store.check()).sound());
  EXPECT_EQ(must(store.gyle("g1")).size(), 6U + static_cast<std::size_t>(last + 1));
  add(store, "g1", {reading("after")});
}

TEST_F(Trouble, ReadOnlyFolder) {
  const std::string file = path("s.db");
  {
    Store store = new_store(file);
    fill(store);
  }
  fs::remove(file + "-use");
  ::chmod(file.c_str(), 0444);
  ::chmod(folder.c_str(), 0555);
  EXPECT_TRUE(apart([&] {
    give_up_rights();
    const auto written = Store::open(file, Mode::write, 100ms);
    if (written || !says(written.problems(), "", files::Trouble::cannot_write)) return false;
    const auto read = Store::open(file, Mode::read);
    return read && read.value().gyle("g1").value().size() == 6U && read.value().check().value().sound();
  }));
  ::chmod(folder.c_str(), 0755);
  EXPECT_TRUE(must(must(Store::open(file, Mode::read)).check()).sound());
}

TEST_F(Trouble, LockedByAnotherProgram) {
  const std::string file = path("s.db");
  Store store = new_store(file);
  fill(store);
  sqlite3* other = nullptr;
  ASSERT_EQ(sqlite3_open(file.c_str(), &other), SQLITE_OK);
  ASSERT_EQ(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr), SQLITE_OK);
  const auto waiting = store.append_to_gyle("g1", std::vector<gyle::Entry>{reading("r")});
  ASSERT_FALSE(waiting);
  EXPECT_TRUE(says(waiting.problems(), "another program holds the store", files::Trouble::busy));
  EXPECT_EQ(must(store.gyle("g1")).size(), 6U) << "reading does not wait";
  sqlite3_close(other);
  add(store, "g1", {reading("r")});
  // Nor is a store replaced while it is open.
  must(store.backup_to(path("b.db")));
  const auto restored = Store::restore(path("b.db"), file);
  ASSERT_FALSE(restored);
  EXPECT_TRUE(says(restored.problems(), "has the store open", files::Trouble::busy));
}

TEST_F(Trouble, FilesThatAreNoStore) {
  const auto refused = [&](const std::string& name, const std::string& words, Mode mode, files::Trouble trouble) {
    const auto opened = Store::open(path(name), mode, 100ms);
    ASSERT_FALSE(opened) << name;
    EXPECT_TRUE(says(opened.problems(), words, trouble)) << name;
  };
  write_bytes(path("garbage.db"), std::string(10'000, 'z'));
  write_bytes(path("empty.db"), "");
  fs::create_directory(path("folder.db"));
  with_sqlite(path("other.db"), "CREATE TABLE t(x)");
  const std::string other = bytes_of(path("other.db"));
  for (const Mode mode : {Mode::read, Mode::create}) {
    refused("garbage.db", "this file is no store", mode, files::Trouble::damaged);
    refused("other.db", "another program's file", mode, files::Trouble::cannot_open);
    refused("folder.db", "a folder or a device", mode, files::Trouble::cannot_open);
  }
  refused("none.db", "there is no store here", Mode::write, files::Trouble::missing);
  refused("empty.db", "the file is empty", Mode::write, files::Trouble::damaged);
  EXPECT_EQ(bytes_of(path("other.db")), other) << "another program's file is not touched";
  EXPECT_EQ(bytes_of(path("garbage.db")), std::string(10'000, 'z'));
  EXPECT_TRUE(Store::open(path("empty.db"), Mode::create));
  { Store store = new_store(path("newer.db")); }
  with_sqlite(path("newer.db"), "PRAGMA user_version = 99");
  refused("newer.db", "newer oddgrist", Mode::create, files::Trouble::cannot_open);
}

TEST_F(Trouble, EntriesCannotBeChangedEvenPastUs) {
  Store store = new_store(path("s.db"));
  fill(store);
  sqlite3* raw = nullptr;
  ASSERT_EQ(sqlite3_open(path("s.db").c_str(), &raw), SQLITE_OK);
  EXPECT_NE(sqlite3_exec(raw, "UPDATE entry SET body = '{}'", nullptr, nullptr, nullptr), SQLITE_OK);
  EXPECT_NE(sqlite3_exec(raw, "DELETE FROM entry WHERE id = 3", nullptr, nullptr, nullptr), SQLITE_OK);
  sqlite3_close(raw);
}

TEST_F(Trouble, CheckFindsWhatWasDoneToAStore) {
  const auto spoilt = [&](const std::string& name, const char* sql) {
    {
      Store store = new_store(path(name));
      fill(store);
    }
    with_sqlite(path(name), sql);
    return must(must(Store::open(path(name), Mode::read)).check());
  };
  EXPECT_FALSE(spoilt("a.db", "DROP TRIGGER entry_is_never_changed").damage.empty());
  EXPECT_FALSE(spoilt("b.db",
                      "DROP TRIGGER entry_is_never_changed; UPDATE entry SET body = replace(body, '20.25', '20.35');"
                      "CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, ''); END")
                   .damage.empty());
  EXPECT_FALSE(spoilt("c.db", "DROP TRIGGER entry_is_never_removed; DELETE FROM entry WHERE id = 9").damage.empty());
  const CheckReport stale = spoilt("d.db", "UPDATE stock SET kg = kg + 1; DELETE FROM words");
  EXPECT_TRUE(stale.damage.empty());
  EXPECT_EQ(stale.stale.size(), 2U);
  Store store = must(Store::open(path("d.db"), Mode::write));
  must(store.rebuild_lists());
  EXPECT_TRUE(must(store.check()).sound());
}

// Whatever page is spoilt, nothing crashes, damage is said, and restoring the backup brings everything back.
TEST_F(Trouble, DamagedFileIsSaidAndRestored) {
  const std::string file = path("s.db");
  {
    Store store = new_store(file);
    fill(store);
    must(store.backup_to(path("backup.db")));
  }
  const std::string whole = bytes_of(file);
  int said = 0;
  for (std::size_t page = 0; page * 4096 < whole.size(); ++page) {
    const std::string bad = path(fmt::format("bad-{}.db", page));
    std::string bytes = whole;
    for (std::size_t i = page * 4096 + 8; i < (page + 1) * 4096; i += 3) bytes[i] = static_cast<char>(~bytes[i]);
    write_bytes(bad, bytes);
    {
      const auto opened = Store::open(bad, Mode::write, 100ms);
      if (!opened || !must(opened.value().check()).sound()) ++said;
    }
    const auto restored = Store::restore(path("backup.db"), bad);
    ASSERT_TRUE(restored) << words_of(restored.problems());
    EXPECT_FALSE(restored.value().kept.empty());
    ASSERT_TRUE(must(must(Store::open(bad, Mode::write)).check()).sound());
  }
  EXPECT_EQ(said, static_cast<int>(whole.size() / 4096));
}

}  // namespace
}  // namespace oddgrist::store

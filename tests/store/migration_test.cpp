// A store of every earlier version, as SQL, becomes one of this version with its log untouched. A file old/version-N.sql is added when the
// version after N is made, and never changed again.
#include <sqlite3.h>

#include "sample.hpp"

namespace oddgrist::store {
namespace {

class Migration : public StoreFolder {
 protected:
  void make(const std::string& file, const std::string& sql) {
    sqlite3* raw = nullptr;
    ASSERT_EQ(sqlite3_open(file.c_str(), &raw), SQLITE_OK);
    char* words = nullptr;
    ASSERT_EQ(sqlite3_exec(raw, sql.c_str(), nullptr, nullptr, &words), SQLITE_OK) << words;
    sqlite3_close(raw);
  }
};

std::vector<std::vector<std::string>> raw_log(const std::string& file) {
  std::vector<std::vector<std::string>> rows;
  sqlite3* raw = nullptr;
  EXPECT_EQ(sqlite3_open_v2(file.c_str(), &raw, SQLITE_OPEN_READONLY, nullptr), SQLITE_OK);
  const auto take = [](void* all, int count, char** values, char**) {
    std::vector<std::string> row;
    for (int i = 0; i < count; ++i) row.emplace_back(values[i] == nullptr ? "" : values[i]);
    static_cast<std::vector<std::vector<std::string>>*>(all)->push_back(std::move(row));
    return 0;
  };
  sqlite3_exec(raw,
               "SELECT e.id, s.name, key, kind, version, at, mends, body, sum FROM entry e JOIN stream s ON s.id = "
               "e.stream ORDER BY e.id",
               take, &rows, nullptr);
  sqlite3_close(raw);
  return rows;
}

TEST_F(Migration, FromEveryEarlierVersion) {
  int versions = 0;
  for (const auto& old : fs::directory_iterator(ODDGRIST_SOURCE_DIR "/tests/store/old")) {
    ++versions;
    const std::string file = path(old.path().stem().string() + ".db");
    make(file, bytes_of(old.path().string()));
    const auto before = raw_log(file);
    ASSERT_GT(before.size(), 10U);
    const auto only_read = Store::open(file, Mode::read);
    ASSERT_FALSE(only_read) << "a file that may not be written cannot be brought up to date";
    EXPECT_NE(only_read.problems().front().what.find("older"), std::string::npos);
    // A backup of an earlier version can be restored too, and the backup itself stays as it is.
    const std::string backup = bytes_of(file);
    must(Store::restore(file, path("restored.db")));
    EXPECT_EQ(bytes_of(file), backup);
    for (const std::string& one : {file, path("restored.db")}) {
      {
        Store store = must(Store::open(one, Mode::write));
        const CheckReport report = must(store.check());
        EXPECT_TRUE(report.sound()) << (report.sound()
                                            ? ""
                                            : (report.damage.empty() ? report.stale : report.damage).front());
        EXPECT_EQ(must(store.search("smoke")).size(), 1U);
        EXPECT_EQ(must(store.gyle("g1")).size(), 6U);
      }
      EXPECT_EQ(raw_log(one), before);
    }
    Store store = must(Store::open(file, Mode::write));
    add(store, "g1", {reading("new")});
  }
  EXPECT_EQ(versions, 1) << "the present version is 2";
}

}  // namespace
}  // namespace oddgrist::store

#include <atomic>
#include <thread>

#include "sample.hpp"

namespace oddgrist::store {
namespace {

class Backup : public StoreFolder {};

std::vector<Logged> all_of(const std::string& file) {
  return must(must(Store::open(file, Mode::read)).changes_since(0, 1'000'000));
}

TEST_F(Backup, HoldsEverythingInOneFile) {
  Store store = new_store(path("s.db"));
  fill(store);
  EXPECT_EQ(must(store.backup_to(path("b.db"))), must(store.last_id()));
  EXPECT_FALSE(fs::exists(path("b.db-wal")));
  EXPECT_EQ(all_of(path("b.db")), all_of(path("s.db")));
  const auto taken = store.backup_to(path("b.db"));
  ASSERT_FALSE(taken) << "nothing is overwritten";
  EXPECT_EQ(taken.problems().front().trouble, files::Trouble::cannot_write);
}

TEST_F(Backup, OfAStoreThatIsBeingWrittenTo) {
  Store store = new_store(path("s.db"));
  fill(store);
  std::atomic<bool> stop = false;
  std::thread writer([&] {
    Store other = must(Store::open(path("s.db"), Mode::write));
    for (int i = 0; !stop; ++i) add(other, "g1", {reading(fmt::format("w{}", i))});
  });
  for (int i = 0; i < 5; ++i) {
    const std::string copy = path(fmt::format("b{}.db", i));
    const std::int64_t entries = must(store.backup_to(copy));
    EXPECT_EQ(static_cast<std::int64_t>(all_of(copy).size()), entries);
    EXPECT_TRUE(must(must(Store::open(copy, Mode::read)).check()).sound());
  }
  stop = true;
  writer.join();
}

TEST_F(Backup, StoppedLeavesNothing) {
  Store store = new_store(path("s.db"));
  fill(store);
  const auto before = names();
  const auto never = [](std::int64_t, std::int64_t) { return false; };
  for (const auto& result : {store.backup_to(path("b.db"), never), Store::import(path("none"), path("i.db"), never)})
    EXPECT_FALSE(result);
  EXPECT_EQ(store.backup_to(path("b.db"), never).problems().front().field, "stopped");
  EXPECT_EQ(names(), before);
}

TEST_F(Backup, RestoreBringsBackAndKeepsBeside) {
  std::vector<Logged> at_backup, later;
  {
    Store store = new_store(path("s.db"));
    fill(store);
    must(store.backup_to(path("b.db")));
    at_backup = all_of(path("s.db"));
    add(store, "g1", {reading("later")});
    later = all_of(path("s.db"));
  }
  const Restored restored = must(Store::restore(path("b.db"), path("s.db")));
  EXPECT_EQ(all_of(path("s.db")), at_backup);
  EXPECT_EQ(all_of(restored.kept), later);
  must(Store::restore(path("b.db"), path("new/s.db")));
  EXPECT_EQ(all_of(path("new/s.db")), at_backup);
  EXPECT_FALSE(Store::restore(path("s.db"), path("s.db")));
  write_bytes(path("garbage"), std::string(5000, 'x'));
  EXPECT_FALSE(Store::restore(path("garbage"), path("s.db")));
  EXPECT_FALSE(Store::restore(path("none"), path("s.db")));
  EXPECT_EQ(all_of(path("s.db")), at_backup);
}

TEST_F(Backup, ExportAndImportGiveTheSameStore) {
  Store store = new_store(path("s.db"));
  fill(store);
  const std::int64_t entries = must(store.export_to_file(path("s.jsonl")));
  EXPECT_EQ(entries, must(store.last_id()));
  EXPECT_EQ(must(Store::import(path("s.jsonl"), path("i.db"))), entries);
  EXPECT_EQ(all_of(path("i.db")), all_of(path("s.db")));
  Store imported = must(Store::open(path("i.db"), Mode::write));
  EXPECT_TRUE(must(imported.check()).sound());
  EXPECT_EQ(must(imported.stock()), must(store.stock()));
  EXPECT_EQ(must(imported.gyles({})).lines, must(store.gyles({})).lines);
  std::string again;
  must(imported.export_to([&](std::string_view text) {
    again += text;
    return true;
  }));
  EXPECT_EQ(again, bytes_of(path("s.jsonl")));
}

TEST_F(Backup, ImportNoticesEveryChange) {
  Store store = new_store(path("s.db"));
  fill(store);
  must(store.export_to_file(path("s.jsonl")));
  const std::string whole = bytes_of(path("s.jsonl"));
  int number = 0;
  const auto refused = [&](const std::string& text) {
    write_bytes(path("bad.jsonl"), text);
    const auto result = Store::import(path("bad.jsonl"), path(fmt::format("i{}.db", ++number)));
    ASSERT_FALSE(result);
    EXPECT_GT(result.problems().front().place.line, 0) << words_of(result.problems());
  };
  const auto changed = [&](const std::string& from, const std::string& to) {
    std::string text = whole;
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    refused(text.replace(at, from.size(), to));
  };
  changed("20.25", "20.35");
  changed("\"oddgrist_export\":1", "\"oddgrist_export\":2");
  changed("\"id\":3,", "\"id\":4,");
  changed("\"kind\":\"note\"", "\"kind\":\"nota\"");
  changed("{\"end\"", "{\"End\"");
  for (std::size_t cut : {whole.size() / 3, whole.size() - 3, std::size_t{0}}) refused(whole.substr(0, cut));
  refused(whole + whole);
  EXPECT_EQ(names(), (std::vector<std::string>{"bad.jsonl", "s.db", "s.db-shm", "s.db-use", "s.db-wal", "s.jsonl"}));
}

}  // namespace
}  // namespace oddgrist::store

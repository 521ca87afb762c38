// kill -9 at random moments, and write-ahead logs torn at random places. ODDGRIST_KILLS sets how many kills; otherwise 40.
#include <fcntl.h>
#include <sys/wait.h>

#include <csignal>
#include <random>
#include <thread>

#include "sample.hpp"

namespace oddgrist::store {
namespace {

class Kill : public StoreFolder {};

std::string key_of(int run, int number) { return fmt::format("run-{}-{}", run, number); }

// In a process of its own: a stream of readings; the number of each goes into the pipe after the store has acknowledged it.
[[noreturn]] void stream_readings(const std::string& path, int run, int acknowledged) {
  auto opened = Store::open(path, Mode::create);
  if (!opened) ::_exit(1);
  Store& store = opened.value();
  // Sent every time, as a device would that does not know whether its first entry arrived.
  if (!store.append_to_gyle("g", std::vector<gyle::Entry>{started("start")})) ::_exit(2);
  for (int number = 0;; ++number) {
    if (!store.append_to_gyle("g", std::vector<gyle::Entry>{reading(key_of(run, number))})) ::_exit(3);
    if (::write(acknowledged, &number, sizeof number) != sizeof number) ::_exit(4);
  }
}

struct Killed {
  int acknowledged = 0;
  bool by_us = false;
};

Killed run_and_kill(const std::string& path, int run, std::chrono::microseconds after) {
  int ends[2];
  if (::pipe2(ends, O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
  const pid_t child = ::fork();
  if (child == 0) {
    ::close(ends[0]);
    stream_readings(path, run, ends[1]);
  }
  ::close(ends[1]);
  std::this_thread::sleep_for(after);
  ::kill(child, SIGKILL);
  int status = 0;
  ::waitpid(child, &status, 0);
  Killed killed{0, WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL};
  for (int number = 0; ::read(ends[0], &number, sizeof number) == sizeof number;) killed.acknowledged = number + 1;
  ::close(ends[0]);
  return killed;
}

TEST_F(Kill, LosesNothingAcknowledged) {
  const char* wanted = std::getenv("ODDGRIST_KILLS");
  const int kills = wanted == nullptr ? 40 : std::atoi(wanted);
  std::mt19937 random(20261125);
  std::uniform_int_distribution<int> microseconds(0, 120'000);
  const auto began = std::chrono::steady_clock::now();
  std::string file;
  std::int64_t seen = 0, acknowledged = 0, unacknowledged = 0, stores = 0;
  int fruitful = 0;
  for (int run = 0; run < kills; ++run) {
    if (run % 20 == 0) {  // so that making a store is interrupted too
      file = path(fmt::format("store-{}.db", run));
      seen = 0;
      ++stores;
    }
    const Killed killed = run_and_kill(file, run, std::chrono::microseconds(microseconds(random)));
    ASSERT_TRUE(killed.by_us) << "run " << run << ": the program ended by itself";
    auto opened = Store::open(file, Mode::create);
    ASSERT_TRUE(opened) << "run " << run << ": " << words_of(opened.problems());
    Store& store = opened.value();
    std::vector<std::string> keys;
    for (const Logged& entry : must(store.entries("gyle/g", seen))) {
      if (entry.line.kind == "reading") keys.push_back(entry.line.key);
    }
    ASSERT_GE(static_cast<int>(keys.size()), killed.acknowledged) << "run " << run;
    ASSERT_LE(static_cast<int>(keys.size()), killed.acknowledged + 1) << "run " << run;
    for (int i = 0; i < static_cast<int>(keys.size()); ++i)
      ASSERT_EQ(keys[static_cast<std::size_t>(i)], key_of(run, i));
    seen = must(store.last_id());
    acknowledged += killed.acknowledged;
    unacknowledged += static_cast<int>(keys.size()) - killed.acknowledged;
    fruitful += killed.acknowledged > 0 ? 1 : 0;
    if (run % 20 == 19 || run + 1 == kills) {
      const CheckReport report = must(store.check());
      ASSERT_TRUE(report.sound()) << "run " << run << ": "
                                  << (report.damage.empty() ? report.stale : report.damage).front();
    }
  }
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - began;
  fmt::print(
      "{} kills, {} of them amid readings, {} stores: {} readings acknowledged, 0 lost; {} written just before the "
      "kill "
      "without having been acknowledged; {:.1f} s\n",
      kills, fruitful, stores, acknowledged, unacknowledged, took.count());
  EXPECT_GT(fruitful, kills / 4) << "kills that come before the first reading show little";
}

// A power cut may leave any part of what was not yet synced. Stood for by cutting the write-ahead log anywhere, or spoiling it from
// somewhere on: what remains must be the log up to some append, whole, and from then on as if nothing had been.
TEST_F(Kill, TornWriteAheadLogLeavesWholeTransactions) {
  const std::string source = path("source.db");
  std::vector<std::pair<std::size_t, std::int64_t>> synced;  // bytes of the write-ahead log, last id
  std::string database, wal;
  {
    Store store = new_store(source);
    add(store, "g", {started("start")});
    for (int i = 0; i < 60; ++i) {
      add(store, "g", {reading(key_of(0, 2 * i)), reading(key_of(0, 2 * i + 1))});
      synced.emplace_back(fs::file_size(source + "-wal"), must(store.last_id()));
    }
    database = bytes_of(source);
    wal = bytes_of(source + "-wal");
  }
  ASSERT_GT(wal.size(), 100'000U);
  std::mt19937 random(7);
  for (int trial = 0; trial < 60; ++trial) {
    const std::string torn = path(fmt::format("torn-{}.db", trial));
    const std::size_t where = random() % wal.size();
    std::string part = wal.substr(0, where);
    if (trial % 2 == 1) {
      for (std::size_t i = where; i < wal.size(); ++i) part += static_cast<char>(random());
    }
    write_bytes(torn, database);
    write_bytes(torn + "-wal", part);
    std::int64_t at_least = 0;
    for (const auto& [bytes, id] : synced) {
      if (bytes <= where) at_least = id;
    }
    auto opened = Store::open(torn, Mode::create);
    ASSERT_TRUE(opened) << words_of(opened.problems());
    const auto log = must(opened.value().entries("gyle/g"));
    const std::int64_t last = must(opened.value().last_id());
    EXPECT_GE(last, at_least) << "cut at " << where;
    EXPECT_TRUE(log.empty() || log.size() % 2 == 1) << "half of an append: " << log.size();
    EXPECT_TRUE(must(opened.value().check()).sound());
    EXPECT_TRUE(opened.value().append_to_gyle("g2", std::vector<gyle::Entry>{started("more")}));
  }
}

}  // namespace
}  // namespace oddgrist::store

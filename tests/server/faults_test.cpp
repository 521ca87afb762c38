// Faults of the store over HTTP, each by its kind: busy 503, full 507, damaged 500, refused 422, not there 404. Nothing is lost by any.
#include <sqlite3.h>
#include <sys/resource.h>

#include <chrono>
#include <csignal>

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

using Clock = std::chrono::steady_clock;

Json reading(const std::string& key, double gravity, const std::string& text = {}) {
  Json entry{{"version", 1}, {"key", key}, {"at", "2026-11-25T11:00:00.000Z"}};
  entry["kind"] = text.empty() ? "reading" : "note";
  entry["body"] =
      text.empty() ? Json{{"sight", "gravity"}, {"stage", "before-boil"}, {"value", gravity}} : Json{{"text", text}};
  return entry;
}

// Another program with the store in its hands.
class Other {
 public:
  explicit Other(const std::string& file) {
    if (sqlite3_open(file.c_str(), &raw_) != SQLITE_OK) ADD_FAILURE() << file;
  }
  ~Other() { sqlite3_close(raw_); }
  Other(const Other&) = delete;
  Other& operator=(const Other&) = delete;
  void run(const std::string& sql) {
    EXPECT_EQ(sqlite3_exec(raw_, sql.c_str(), nullptr, nullptr, nullptr), SQLITE_OK) << sqlite3_errmsg(raw_);
  }

 private:
  sqlite3* raw_ = nullptr;
};

class Faults : public ::testing::Test {
 protected:
  void SetUp() override {
    const auto begun =
        post("/api/gyles",
             Json{{"gyle", "test"}, {"key", "start"}, {"at", "2026-11-25T09:00:00Z"}, {"brief", small_brief()}});
    ASSERT_TRUE(begun);
    ASSERT_EQ(begun->status, 200) << begun->body;
    ASSERT_EQ(write(reading("r1", 1.041))->status, 200);
  }
  [[nodiscard]] httplib::Result post(const std::string& path, const Json& body) const {
    return live_.client().Post(path, body.dump(), "application/json");
  }
  [[nodiscard]] httplib::Result get(const std::string& path) const { return live_.client().Get(path); }
  [[nodiscard]] httplib::Result write(const Json& entry) const {
    return post("/api/gyles/test/entries", Json{{"entries", {entry}}});
  }
  void change_entry(const std::string& set_where) const {
    Other(file_).run("DROP TRIGGER entry_is_never_changed; UPDATE entry SET " + set_where +
                     "; CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'no'); "
                     "END;");
  }
  static void expect_soon(Clock::time_point begun) { EXPECT_LT(Clock::now() - begun, std::chrono::milliseconds(1500)); }

  KeptFolder folder_;
  const std::string file_ = folder_.settings().store_path;
  LiveServer live_{folder_.settings()};
};

TEST_F(Faults, ABusyStoreIs503AndReadsDoNotWaitForIt) {
  Other other(file_);
  other.run("BEGIN IMMEDIATE");
  const auto begun = Clock::now();
  const auto busy = write(reading("r2", 1.040));
  expect_problem(busy, 503, "busy");
  EXPECT_EQ(busy->get_header_value("Retry-After"), "2");
  EXPECT_LT(Clock::now() - begun, std::chrono::seconds(4));
  // While somebody waits to write, others read.
  std::thread writer([&] { expect_problem(write(reading("r2", 1.040)), 503, "busy"); });
  std::this_thread::sleep_for(std::chrono::milliseconds(100));
  for (const char* path : {"/api/gyles/test", "/api/gyles", "/api/stock", "/api/rounds", "/api/kits"}) {
    const auto asked = Clock::now();
    const auto reply = get(path);
    ASSERT_TRUE(reply) << path;
    EXPECT_EQ(reply->status, 200) << path << reply->body;
    expect_soon(asked);
  }
  writer.join();
  other.run("ROLLBACK");
  EXPECT_EQ(write(reading("r2", 1.040))->status, 200);
  EXPECT_EQ(Json::parse(get("/api/gyles/test")->body)["entries"].size(), 3U);
}

TEST(Shut, AStoreNobodyMayEvenReadIs503InAShortTime) {
  const KeptFolder folder;
  const std::string file = folder.settings().store_path;
  {
    const LiveServer made(folder.settings());
    ASSERT_EQ(made.client().Get("/api/gyles")->status, 200);
  }
  Other other(file);
  other.run("PRAGMA locking_mode = EXCLUSIVE; BEGIN IMMEDIATE");
  const LiveServer live(folder.settings());
  for (const char* path : {"/api/gyles", "/api/gyles/test", "/api/stock", "/api/rounds/none"}) {
    const auto begun = Clock::now();
    const auto reply = live.client().Get(path);
    expect_problem(reply, 503, "busy");
    EXPECT_EQ(reply->get_header_value("Retry-After"), "2");
    EXPECT_LT(Clock::now() - begun, std::chrono::milliseconds(1500));
  }
}

TEST_F(Faults, AFullDiskIs507AndEverythingAcknowledgedStays) {
  std::signal(SIGXFSZ, SIG_IGN);
  rlimit before{};
  ::getrlimit(RLIMIT_FSIZE, &before);
  const rlimit tight{std::filesystem::file_size(file_) + 60'000, before.rlim_max};
  ::setrlimit(RLIMIT_FSIZE, &tight);
  std::size_t acknowledged = 2;
  httplib::Result last{nullptr, httplib::Error::Unknown};
  for (int i = 0; i < 200; ++i) {
    last = write(reading("n" + std::to_string(i), 0, std::string(3000, 'x')));
    if (!last || last->status != 200) break;
    ++acknowledged;
  }
  ::setrlimit(RLIMIT_FSIZE, &before);
  expect_problem(last, 507, "full");
  EXPECT_FALSE(last->get_header_value("Retry-After").empty());
  EXPECT_EQ(Json::parse(get("/api/gyles/test")->body)["entries"].size(), acknowledged);
  EXPECT_EQ(write(reading("room-again", 1.040))->status, 200);
}

TEST_F(Faults, ADamagedEntryIs500NamedAndTheStoreOnlyRead) {
  EXPECT_EQ(get("/api/gyles/test")->status, 200);
  EXPECT_FALSE(get("/api/larder?q=malt")->has_header("Oddgrist-Store"));
  change_entry("body = replace(body, '1.041', '1.047') WHERE key = 'r1'");
  for (const char* path : {"/api/gyles/test", "/api/gyles/test/sheet", "/api/gyles/test/moves",
                           "/api/kits/one%20kettle%20and%20a%20bag"}) {
    const auto reply = get(path);
    expect_problem(reply, 500, "damaged");
    EXPECT_NE(reply->body.find("(r1)"), std::string::npos) << "the entry is named: " << reply->body;
    EXPECT_EQ(reply->body.find("1.047"), std::string::npos) << path;
  }
  expect_problem(write(reading("r2", 1.040)), 500, "damaged");
  expect_problem(post("/api/stock/entries", Json{{"entries",
                                                  {{{"version", 1},
                                                    {"key", "k1"},
                                                    {"at", "2026-11-25T11:00:00Z"},
                                                    {"kind", "counted"},
                                                    {"body", {{"ingredient", "honey"}, {"kg", 1.0}}}}}}}),
                 500, "damaged");
  // Said with whatever else is asked, and reading goes on.
  for (const char* path : {"/api/larder?q=malt", "/api/gyles", "/api/stock"}) {
    const auto reply = get(path);
    EXPECT_EQ(reply->status, 200) << path;
    EXPECT_EQ(reply->get_header_value("Oddgrist-Store"), "read-only") << path;
  }
  const Json store = Json::parse(get("/api/store")->body);
  EXPECT_EQ(store["read_only"], true);
  EXPECT_NE(store["damage"].get<std::string>().find("(r1)"), std::string::npos);
  // Nothing of it is told to those who may know nothing.
  EXPECT_FALSE(get("/api/health")->has_header("Oddgrist-Store"));
}

TEST(Damaged, AFileThatIsNoStoreIsNeverNotFound) {
  const KeptFolder folder;
  std::ofstream(folder.settings().store_path, std::ios::binary) << std::string(20'000, 'z');
  const LiveServer live(folder.settings());
  for (const char* path : {"/api/gyles/test", "/api/gyles/test/sheet", "/api/gyles", "/api/rounds/none", "/api/stock",
                           "/api/kits/none", "/api/rounds"})
    expect_problem(live.client().Get(path), 500, "damaged");
  expect_problem(
      live.client().Post("/api/gyles/test/entries", Json{{"entries", {reading("r", 1.04)}}}.dump(), "application/json"),
      500, "damaged");
}

TEST_F(Faults, RefusedAndMissingAreAsTheyWere) {
  expect_problem(write(reading("r1", 1.050)), 422, "gyle");
  expect_problem(get("/api/gyles/none"), 404, "not-found");
  expect_problem(post("/api/gyles/none/entries", Json{{"entries", {reading("r", 1.04)}}}), 404, "not-found");
}

}  // namespace
}  // namespace oddgrist::test

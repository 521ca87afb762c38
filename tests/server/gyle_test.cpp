// Gyles over HTTP: begun once however often it is sent, written once and in order, seen by who listens, and what can still be done.
#include <atomic>
#include <set>

#include "store/store.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

Json reading(const std::string& key, double gravity) {
  return Json{{"version", 1},
              {"key", key},
              {"at", "2026-11-25T11:00:00.000Z"},
              {"kind", "reading"},
              {"body", {{"sight", "gravity"}, {"stage", "before-boil"}, {"value", gravity}}}};
}

class Gyles : public ::testing::Test {
 protected:
  [[nodiscard]] httplib::Result post(const std::string& path, const Json& body) const {
    return live_.client().Post(path, body.dump(), "application/json");
  }
  [[nodiscard]] Json get(const std::string& path) const {
    const auto reply = live_.client().Get(path);
    if (!reply || reply->status != 200) {
      ADD_FAILURE() << path << ": " << (reply ? reply->body : "no reply");
      return Json::object();
    }
    return Json::parse(reply->body);
  }
  [[nodiscard]] httplib::Result begin(const std::string& key = "start") const {
    return post("/api/gyles",
                Json{{"gyle", "test"}, {"key", key}, {"at", "2026-11-25T09:00:00Z"}, {"brief", small_brief()}});
  }
  [[nodiscard]] httplib::Result write(const Json& entries) const {
    return post("/api/gyles/test/entries", Json{{"entries", entries}});
  }
  [[nodiscard]] std::vector<std::string> keys() const {
    std::vector<std::string> keys;
    const Json gyle = get("/api/gyles/test");
    for (const Json& entry : gyle["entries"]) keys.push_back(entry["key"]);
    return keys;
  }

  KeptFolder folder_;
  LiveServer live_{folder_.settings()};
};

TEST_F(Gyles, BeginOnceHoweverOftenSent) {
  const auto first = begin();
  ASSERT_TRUE(first);
  ASSERT_EQ(first->status, 200) << first->body;
  EXPECT_EQ(Json::parse(first->body)["written"], 1);
  const auto again = begin();
  ASSERT_TRUE(again);
  EXPECT_EQ(again->status, 200);
  EXPECT_EQ(Json::parse(again->body)["written"], 0);
  expect_problem(begin("another-key"), 422, "gyle");
  EXPECT_EQ(keys(), std::vector<std::string>{"start"});
  const Json list = get("/api/gyles?q=TEST");
  ASSERT_EQ(list["all"], 1);
  EXPECT_EQ(list["gyles"][0]["name"], "test ale");
  EXPECT_EQ(get("/api/gyles?q=porter")["all"], 0);
}

TEST_F(Gyles, KeepTheRecipeThatWasProposed) {
  ASSERT_TRUE(begin());
  const auto composed = post("/api/sheet", Json{{"brief", small_brief()}});
  ASSERT_TRUE(composed);
  const Json said = Json::parse(composed->body)["sheet"], day = get("/api/gyles/test/sheet")["sheet"];
  ASSERT_EQ(said.size(), day.size());
  std::set<std::string> names;
  for (std::size_t i = 0; i < day.size(); ++i) {
    EXPECT_EQ(said[i]["action"], day[i]["action"]);
    EXPECT_EQ(said[i]["clock"], day[i]["clock"]);
    names.insert(day[i]["name"].get<std::string>());
  }
  EXPECT_EQ(names.size(), day.size());
  std::vector<std::string> reached;
  for (const Json& line : day) {
    if (line.contains("reaches")) reached.push_back(line["reaches"]);
  }
  EXPECT_EQ(reached, (std::vector<std::string>{"mash", "before-boil", "boil", "after-boil", "fermenter", "package"}));
}

TEST_F(Gyles, WriteEachEntryOnceAndInOrder) {
  ASSERT_TRUE(begin());
  const Json three = {reading("a", 1.04), reading("b", 1.041), reading("c", 1.042)};
  const auto first = write(Json{three[0], three[1]});
  ASSERT_TRUE(first);
  EXPECT_EQ(Json::parse(first->body)["written"], 2) << first->body;
  // What a device sends again because it never heard the answer, and what it wrote since.
  const auto again = write(three);
  ASSERT_TRUE(again);
  EXPECT_EQ(Json::parse(again->body)["written"], 1) << again->body;
  EXPECT_EQ(keys(), (std::vector<std::string>{"start", "a", "b", "c"}));
  expect_problem(write(Json{reading("a", 1.05)}), 422, "gyle");
  EXPECT_EQ(keys().size(), 4U);
}

TEST_F(Gyles, WriteAllOrNone) {
  ASSERT_TRUE(begin());
  const auto refused = write(Json{reading("a", 1.04), reading("b", 104.0)});
  expect_problem(refused, 422, "gyle");
  EXPECT_EQ(Json::parse(refused->body)["problems"][0]["field"], "entries[1].body.value");
  EXPECT_EQ(keys().size(), 1U);
  expect_problem(post("/api/gyles/none/entries", Json{{"entries", {reading("a", 1.04)}}}), 404, "not-found");
  expect_problem(write(Json::array()), 400, "bad-request");
}

TEST_F(Gyles, StandWhereTheReadingsPutThemAndCanBeMoved) {
  ASSERT_TRUE(begin());
  const double foretold = get("/api/gyles/test")["now"]["now"]["pre-boil-gravity"]["value"];
  const auto entry = [](const std::string& key, const std::string& kind, const Json& body) {
    return Json{{"version", 1}, {"key", key}, {"at", "2026-11-25T10:59:00Z"}, {"kind", kind}, {"body", body}};
  };
  // Half of the pale malt was forgotten.
  const Json missed{{"amount", {{"what", "pale-ale-malt"}, {"into", "grist"}, {"kg", 0.4}}}};
  const auto written =
      write(Json{entry("reach", "reached", {{"stage", "before-boil"}}), entry("short", "missed", missed)});
  ASSERT_TRUE(written);
  ASSERT_EQ(written->status, 200) << written->body;
  const Json now = get("/api/gyles/test")["now"];
  EXPECT_EQ(now["stage"], "before-boil");
  EXPECT_LT(now["now"]["pre-boil-gravity"]["value"].get<double>(), foretold - 0.002);
  EXPECT_NEAR(now["before"]["pre-boil-gravity"]["value"].get<double>(), foretold, 1e-4);
  const double without = now["now"]["pre-boil-gravity"]["value"];
  ASSERT_TRUE(write(Json{reading("low", without - 0.001)}));
  EXPECT_LT(get("/api/gyles/test")["now"]["now"]["pre-boil-gravity"]["value"].get<double>(), without);
  const Json moves = get("/api/gyles/test/moves")["moves"];
  const auto nothing =
      std::find_if(moves.begin(), moves.end(), [](const Json& move) { return move["move"]["parts"].empty(); });
  ASSERT_NE(nothing, moves.end());
  EXPECT_EQ((*nothing)["words"], "Do nothing.");
  const auto some =
      std::find_if(moves.begin(), moves.end(), [](const Json& move) { return !move["move"]["entries"].empty(); });
  ASSERT_NE(some, moves.end()) << moves;
  Json entries = Json::array();
  for (Json step : (*some)["move"]["entries"]) {
    step["key"] = "move" + std::to_string(entries.size());
    step["at"] = "2026-11-25T11:01:00Z";
    entries.push_back(step);
  }
  const auto taken = write(entries);
  ASSERT_TRUE(taken);
  EXPECT_EQ(taken->status, 200) << taken->body;
}

TEST_F(Gyles, ComeBackAfterTheServerWasGone) {
  ASSERT_TRUE(begin());
  ASSERT_TRUE(write(Json{reading("a", 1.04)}));
  const LiveServer other(folder_.settings());
  const auto reply = other.client().Get("/api/gyles/test");
  ASSERT_TRUE(reply);
  EXPECT_EQ(Json::parse(reply->body)["entries"].size(), 2U);
}

// What a listener is told between now and the end of `deed`.
template <class Deed>
std::string heard_during(const LiveServer& live, Deed deed) {
  std::string heard;
  std::atomic<bool> listening{false};
  const auto give_up = std::chrono::steady_clock::now() + std::chrono::seconds(10);  // at the next sign of life
  std::thread listener([&] {
    auto client = live.client();
    client.Get("/api/changes", [&](const char* data, std::size_t length) {
      heard.append(data, length);
      listening = true;
      if (std::chrono::steady_clock::now() > give_up) return false;
      const std::size_t event = heard.find("event: change");
      return event == std::string::npos || heard.find("\n\n", event) == std::string::npos;
    });
  });
  for (int tries = 0; tries < 500 && !listening; ++tries) std::this_thread::sleep_for(std::chrono::milliseconds(5));
  deed();
  listener.join();
  return heard;
}
constexpr std::string_view told = R"({"topic":"gyle","subject":"test"})";

TEST_F(Gyles, TellWhoListens) {
  ASSERT_TRUE(begin());
  const std::string heard = heard_during(live_, [&] { ASSERT_TRUE(write(Json{reading("a", 1.04)})); });
  EXPECT_NE(heard.find(told), std::string::npos) << heard;
}

TEST_F(Gyles, TellWhatAnotherProgramWrote) {
  ASSERT_TRUE(begin());
  const std::string heard = heard_during(live_, [&] {
    auto other = store::Store::open(folder_.settings().store_path, store::Mode::write);
    ASSERT_TRUE(other);
    const std::vector<gyle::Entry> note{{"n", gyle::Instant{}, "", gyle::Note{"from elsewhere"}}};
    ASSERT_TRUE(other.value().append_to_gyle("test", note));
  });
  EXPECT_NE(heard.find(told), std::string::npos) << heard;
  EXPECT_EQ(keys().size(), 2U);
}

TEST(GylesWithoutAStore, AreRefusedWithWhatToDo) {
  const LiveServer live;
  expect_problem(live.client().Get("/api/gyles"), 503, "no-store");
}

}  // namespace
}  // namespace oddgrist::test

// Rounds over HTTP: written once and in order, the last of each part holds, and marks stay covered until all sheets are in.
#include "store/kept_round.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

class KeptRounds : public ::testing::Test {
 protected:
  [[nodiscard]] static Json entry(const std::string& key, const std::string& kind, const Json& body) {
    return Json{{"version", 1}, {"key", key}, {"at", "2026-11-25T09:00:00.000Z"}, {"kind", kind}, {"body", body}};
  }
  [[nodiscard]] static Json part(const std::string& key, const std::string& name, const Json& value) {
    return entry(key, "part", {{"part", name}, {"value", value}});
  }
  [[nodiscard]] static Json sheet(const std::string& key, const std::string& judge, const Json& marks) {
    return entry(key, "sheet", {{"judge", judge}, {"marks", marks}});
  }
  [[nodiscard]] httplib::Result send(const Json& entries, const std::string& round = "autumn") const {
    return live_.client().Post("/api/rounds/" + round + "/entries", Json{{"entries", entries}}.dump(),
                               "application/json");
  }
  void write(const Json& entries) const {
    const auto reply = send(entries);
    ASSERT_TRUE(reply);
    ASSERT_EQ(reply->status, 200) << reply->body;
  }
  [[nodiscard]] Json get(const std::string& path) const {
    const auto reply = live_.client().Get(path);
    if (reply && reply->status == 200) return Json::parse(reply->body);
    ADD_FAILURE() << path << ": " << (reply ? reply->body : "no reply");
    return Json::object();
  }
  [[nodiscard]] Json round() const { return get("/api/rounds/autumn"); }

  KeptFolder folder_;
  LiveServer live_{folder_.settings()};
};

TEST_F(KeptRounds, TheLastOfEachPartHolds) {
  write(Json::array(
      {part("a", "name", "Autumn"), part("b", "guests", "Nell"), part("c", "member/1", {{"name", "Ida"}})}));
  write(Json::array({part("d", "name", "Late autumn"), part("e", "member/1", nullptr)}));
  EXPECT_EQ(round()["parts"], (Json{{"name", "Late autumn"}, {"guests", "Nell"}}));
  // Sent twice, written once.
  const auto again = send(Json::array({part("d", "name", "Late autumn")}));
  ASSERT_TRUE(again);
  EXPECT_EQ(Json::parse(again->body)["written"], 0);
  // A strike takes the last word back.
  Json strike = entry("f", "struck", {{"why", "undone"}});
  strike["mends"] = "d";
  write(Json::array({strike}));
  EXPECT_EQ(round()["parts"]["name"], "Autumn");
}

TEST_F(KeptRounds, MarksAreToldOnceAllSheetsAreIn) {
  const Json marks{{"K7", {{"", 6.5}}}, {"P2", {{"", 8}}}};
  write(Json::array({part("a", "name", "Autumn"), sheet("b", "Nell", Json::object()), sheet("c", "Nell", marks)}));
  const Json covered = round();
  EXPECT_EQ(covered["closed"], false);
  EXPECT_EQ(covered["sheets"], Json::array({Json{{"judge", "Nell"}, {"beers", 2}}}));
  EXPECT_EQ(covered.dump().find("6.5"), std::string::npos);
  write(Json::array({entry("d", "closed", Json::object())}));
  EXPECT_EQ(round()["closed"], true);
  EXPECT_EQ(round()["sheets"][0]["marks"], marks);
}

TEST_F(KeptRounds, AreListedTheLastChangedFirst) {
  EXPECT_TRUE(get("/api/rounds")["rounds"].empty());
  write(Json::array({part("a", "name", "Autumn")}));
  ASSERT_TRUE(send(Json::array({part("b", "name", "Winter")}), "winter"));
  EXPECT_EQ(get("/api/rounds")["rounds"][0]["name"], "Winter");
  write(Json::array({part("c", "guests", "Nell")}));
  const Json rounds = get("/api/rounds")["rounds"];
  ASSERT_EQ(rounds.size(), 2);
  EXPECT_EQ(rounds[0]["round"], "autumn");
  EXPECT_EQ(rounds[0]["closed"], false);
}

TEST_F(KeptRounds, StayAfterTheServerWasGone) {
  write(Json::array({part("a", "name", "Autumn")}));
  const LiveServer other(folder_.settings());
  const auto reply = other.client().Get("/api/rounds/autumn");
  ASSERT_TRUE(reply);
  EXPECT_EQ(Json::parse(reply->body)["parts"]["name"], "Autumn");
}

TEST_F(KeptRounds, WhatMakesNoSenseIsRefusedWhole) {
  const auto refused = send(Json::array({part("a", "name", "Autumn"), sheet("b", "Nell", {{"K7", {{"", "good"}}}})}));
  expect_problem(refused, 422, "round");
  EXPECT_EQ(Json::parse(refused->body)["problems"][0]["field"], "entries[1].body.marks.K7");
  expect_problem(send(Json::array({entry("c", "drawn", Json::object())})), 422, "round");
  expect_problem(send(Json::array({entry("d", "closed", {{"by", "Ida"}})})), 422, "round");
  expect_problem(send(Json::array({entry("e", "part", {{"value", 1}})})), 422, "round");
  expect_problem(send(Json::array()), 400, "bad-request");
  expect_problem(live_.client().Get("/api/rounds/autumn"), 404, "not-found");
  const LiveServer keepless;
  expect_problem(keepless.client().Get("/api/rounds"), 503, "no-store");
}

}  // namespace
}  // namespace oddgrist::test

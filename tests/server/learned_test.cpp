// What gyles have taught about a kit, over HTTP: in what is composed when it is asked for, and for good in a gyle begun so.

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

const std::string learned_path = "/api/compose?learned=yes";

double width(const Json& estimate) { return estimate["high"].get<double>() - estimate["low"].get<double>(); }

class Learned : public ::testing::Test {
 protected:
  [[nodiscard]] httplib::Result post(const std::string& path, const Json& body) const {
    return live_.client().Post(path, body.dump(), "application/json");
  }
  [[nodiscard]] static Json well(const httplib::Result& reply) {
    if (reply && reply->status == 200) return Json::parse(reply->body);
    ADD_FAILURE() << (reply ? reply->body : "no reply");
    return Json::object();
  }
  [[nodiscard]] Json get(const std::string& path) const { return well(live_.client().Get(path)); }
  [[nodiscard]] Json begin(const std::string& gyle, Json more = Json::object()) const {
    more.update(Json{
        {"gyle", gyle}, {"key", gyle + ".0"}, {"at", "2026-11-2" + gyle + "T09:00:00Z"}, {"brief", small_brief()}});
    return well(post("/api/gyles", more));
  }
  // Read where the forecast of the gyle says otherwise: less boiled off, and less dissolved.
  void read(const std::string& gyle, const std::string& key, const std::string& stage, const std::string& sight,
            const std::string& figure, double factor) const {
    const double expected = get("/api/gyles/" + gyle)["now"]["before"][figure]["value"];
    const double value = sight == "gravity" ? 1.0 + factor * (expected - 1.0) : factor * expected;
    const Json entry{{"version", 1},
                     {"key", gyle + key},
                     {"at", "2026-11-2" + gyle + "T12:00:00Z"},
                     {"kind", "reading"},
                     {"body", {{"sight", sight}, {"stage", stage}, {"value", value}, {"at_celsius", 20.0}}}};
    EXPECT_EQ(well(post("/api/gyles/" + gyle + "/entries", Json{{"entries", {entry}}}))["written"], 1);
  }
  void brew_one(const std::string& gyle) const {
    (void)begin(gyle);
    read(gyle, ".1", "before-boil", "gravity", "pre-boil-gravity", 0.9);
    read(gyle, ".2", "after-boil", "volume", "post-boil-volume", 1.1);
    read(gyle, ".3", "fermenter", "gravity", "original-gravity", 0.85);
  }

  KeptFolder folder_;
  LiveServer live_{folder_.settings()};
};

TEST_F(Learned, IsReckonedWithWhereItIsAskedFor) {
  brew_one("1");
  const Json stated = well(post("/api/compose", small_brief())), learned = well(post(learned_path, small_brief()));
  EXPECT_FALSE(stated.contains("learned"));
  ASSERT_TRUE(learned.contains("learned"));
  EXPECT_FALSE(learned["learned"].empty());
  const auto gravity = [](const Json& answer) { return answer["proposals"][0]["forecast"]["original_gravity_sg"]; };
  EXPECT_NE(width(gravity(stated)), width(gravity(learned)));
  // The same from every route that answers a brief.
  const Json asked{{"id", "open-brief"}, {"brief", small_brief()}, {"learned", true}};
  const Json warm = well(post("/api/compose/warm", asked))["answer"];
  EXPECT_EQ(warm["learned"], learned["learned"]);
  EXPECT_EQ(gravity(warm), gravity(learned));
  EXPECT_EQ(gravity(well(post("/api/compose/others", asked))), gravity(learned));
  EXPECT_EQ(gravity(well(post("/api/sheet", asked))), gravity(learned));
  // As stated again, with the same open brief.
  const Json plain{{"id", "open-brief"}, {"brief", small_brief()}};
  EXPECT_EQ(gravity(well(post("/api/compose/warm", plain))["answer"]), gravity(stated));
}

TEST_F(Learned, AMovedWishIsAnsweredOnTheKitAsItIsKnown) {
  brew_one("1");
  Json asked{{"id", "open-brief"}, {"brief", small_brief()}, {"learned", true}};
  const Json first = well(post("/api/compose/warm", asked));
  asked["brief"]["want"]["bitterness"] = Json::array({"21 IBU", "31 IBU"});
  const Json moved = well(post("/api/compose/warm", asked));
  EXPECT_EQ(moved["settled"], false);
  EXPECT_EQ(first["settled"], true);
  asked["learned"] = false;
  EXPECT_EQ(well(post("/api/compose/warm", asked))["settled"], true);
}

TEST_F(Learned, AGyleBegunSoIsReckonedSo) {
  brew_one("1");
  (void)begin("2", Json{{"learned", true}});
  (void)begin("3");
  const Json with = get("/api/gyles/2"), without = get("/api/gyles/3");
  EXPECT_EQ(with["entries"][0]["body"]["learned"], true);
  EXPECT_FALSE(without["entries"][0]["body"].contains("learned"));
  EXPECT_EQ(with["entries"][0]["body"]["brief_text"], without["entries"][0]["body"]["brief_text"]);
  const Json composed = well(post(learned_path, small_brief()))["proposals"][0]["forecast"]["original_gravity_sg"];
  const Json before = with["now"]["before"]["original-gravity"];
  EXPECT_NEAR(before["value"].get<double>(), composed["value"].get<double>(), 1e-4);
  EXPECT_GT(std::abs(width(before) - width(without["now"]["before"]["original-gravity"])), 2e-4);
  // The run sheet expects what the standing foretells, on the kit as it was known.
  EXPECT_NE(get("/api/gyles/2/sheet")["sheet"], get("/api/gyles/3/sheet")["sheet"]);
  EXPECT_FALSE(get("/api/gyles/2/moves")["moves"].empty());
}

TEST_F(Learned, WhatAnEarlierGyleTellsLaterCounts) {
  brew_one("1");
  (void)begin("2", Json{{"learned", true}});
  const Json before = get("/api/gyles/2")["now"];
  EXPECT_EQ(get("/api/gyles/2")["now"], before);
  read("1", ".4", "fermenter", "volume", "fermenter-volume", 1.2);
  EXPECT_NE(get("/api/gyles/2")["now"]["before"], before["before"]);
  // One begun after it does not.
  const Json since = get("/api/gyles/2")["now"];
  brew_one("3");
  EXPECT_EQ(get("/api/gyles/2")["now"], since);
}

TEST_F(Learned, WhatIsNoAnswerToTheQuestionIsRefused) {
  for (const char* path : {"/api/sheet", "/api/gyles", "/api/watch", "/api/trial"}) {
    Json body{{"id", "open-brief"}, {"brief", small_brief()},       {"gyle", "x"},
              {"key", "x.0"},       {"at", "2026-11-25T09:00:00Z"}, {"readings", "time,kind,value\n"}};
    if (path == std::string("/api/trial")) body = Json{{"brief", small_brief()}};
    if (path == std::string("/api/watch")) body["readings"] = "time,kind,value\n2026-11-02T17:30,pitched,\n";
    body["learned"] = "perhaps";
    expect_problem(post(path, body), 400, "bad-request");
    body["learned"] = false;
    body["proposal"] = "first";
    expect_problem(post(path, body), 400, "bad-request");
  }
  expect_problem(post("/api/compose?learned=perhaps", small_brief()), 400, "bad-request");
  const LiveServer keepless;
  expect_problem(keepless.client().Post(learned_path, small_brief().dump(), "application/json"), 503, "no-store");
}

}  // namespace
}  // namespace oddgrist::test

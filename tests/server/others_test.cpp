// Other ways to brew an open brief: they stand beside the first, can be brewed from, and are forgotten with the brief they were found for.
#include "files/answer_json.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

const std::string id = "0123456789";

class Others : public ::testing::Test {
 protected:
  [[nodiscard]] httplib::Result post(const std::string& path, const Json& body) const {
    return live_.client().Post(path, body.dump(), "application/json");
  }
  Json well(const std::string& path, const Json& body) const {
    const auto reply = post(path, body);
    if (!reply || reply->status != 200) {
      ADD_FAILURE() << path << ": " << (reply ? reply->body : "no reply");
      return Json::object();
    }
    return Json::parse(reply->body);
  }
  [[nodiscard]] Json open(const Json& more = Json::object()) const {
    Json body{{"id", id}, {"brief", brief_}};
    body.update(more);
    return body;
  }

  // A choice of malts and hops, so that there is more than one way.
  static Json roomy_brief() {
    Json brief = small_brief();
    for (const char* item : {"Munich malt, light", "crystal malt, dark", "wheat malt", "Golding"})
      brief["have"].push_back(Json{{"item", item}});
    return brief;
  }

  KeptFolder folder_;
  LiveServer live_{folder_.settings()};
  Json brief_ = roomy_brief();
};

TEST_F(Others, StandBesideTheFirst) {
  const Json warm = well("/api/compose/warm", open())["answer"];
  const Json answer = well("/api/compose/others", open());
  ASSERT_EQ(answer["side_by_side"]["others"].size(), 3) << answer["side_by_side"]["why_so_few"];
  ASSERT_EQ(answer["proposals"].size(), 4);
  EXPECT_EQ(answer["proposals"][0], warm["proposals"][0]);
  for (std::size_t i = 0; i < 3; ++i) {
    const Json& told = answer["side_by_side"]["others"][i];
    EXPECT_EQ(told["proposal"], i + 2);
    EXPECT_EQ(told["differs"], answer["proposals"][i + 1]["name"]);
    EXPECT_NE(answer["proposals"][i + 1]["additions"], answer["proposals"][0]["additions"]);
    EXPECT_TRUE(answer["proposals"][i + 1]["trace"].empty());
  }
  EXPECT_FALSE(answer["why"]["one_more"].empty());
  EXPECT_FALSE(answer["why"]["left_out"].empty());
  EXPECT_EQ(well("/api/compose/others", open()), answer) << "asked again";
  EXPECT_EQ(well("/api/compose/warm", open())["answer"], warm) << "the plain answer is as it was";
}

TEST_F(Others, HaveRunSheetsAndGylesOfTheirOwn) {
  const Json answer = well("/api/compose/others", open());
  const Json first = well("/api/sheet", open());
  const Json second = well("/api/sheet", open({{"proposal", 2}}));
  ASSERT_EQ(second["proposals"].size(), 1);
  EXPECT_EQ(second["proposals"][0], answer["proposals"][1]);
  EXPECT_EQ(second["cautions"], answer["side_by_side"]["others"][0]["cautions"]);
  EXPECT_FALSE(second["sheet"].empty());
  EXPECT_NE(second["sheet"], first["sheet"]);
  expect_problem(post("/api/sheet", open({{"proposal", 5}})), 422, "no-such-proposal");
  expect_problem(post("/api/sheet", open({{"proposal", 0}})), 422, "no-such-proposal");

  const auto begin = [&](const std::string& name, int proposal) {
    well("/api/gyles",
         open({{"gyle", name}, {"key", name + ".0"}, {"at", "2026-11-25T09:00:00Z"}, {"proposal", proposal}}));
    return Json::parse(live_.client().Get("/api/gyles/" + name)->body)["entries"][0]["body"]["recipe"];
  };
  EXPECT_NE(begin("one", 1), begin("two", 2));

  const Json readings{{"readings", "time,kind,value\n2026-11-02T17:30,pitched,\n2026-11-06T18:00,gravity,1.020\n"},
                      {"now", "2026-11-07T18:00"},
                      {"proposal", 2}};
  well("/api/watch", open(readings));
}

TEST_F(Others, AreForgottenWithTheBriefTheyWereFoundFor) {
  well("/api/compose/others", open());
  well("/api/sheet", open({{"proposal", 2}}));
  brief_["want"]["bitterness"] = Json::array({"21 IBU", "30 IBU"});
  expect_problem(post("/api/sheet", open({{"proposal", 2}})), 422, "no-such-proposal");
  well("/api/compose/warm", open());
  expect_problem(post("/api/sheet", open({{"proposal", 2}})), 422, "no-such-proposal");
  brief_ = roomy_brief();
  expect_problem(post("/api/sheet", open({{"proposal", 2}})), 422, "no-such-proposal");
  expect_problem(post("/api/sheet", Json{{"id", "9876543210"}, {"brief", brief_}, {"proposal", 2}}), 422,
                 "no-such-proposal");
}

TEST_F(Others, SayWhatIsWrong) {
  const std::string path = "/api/compose/others";
  expect_problem(live_.client().Post(path, "{}", "text/plain"), 415, "wrong-type");
  expect_problem(live_.client().Post(path, "[1", "application/json"), 400, "bad-request");
  expect_problem(post(path, Json{{"brief", brief_}}), 400, "bad-request");
  expect_problem(post(path, Json{{"brief", brief_}, {"id", "short"}}), 400, "bad-request");
  expect_problem(post(path, open({{"brief", Json::object()}})), 422, "brief");
}

TEST_F(Others, AreNoneOfARefusedBrief) {
  brief_["item"] = Json::parse(R"([{"name": "ground kernels", "declared": "apricot kernels", "packet": {
    "per": "100 g", "energy": "2400 kJ", "fat": "45 g", "carbohydrate": "20 g", "sugars": "8 g", "fibre": "12 g", "protein": "20 g",
    "salt": "0.1 g"}}])");
  brief_["given"] = Json::parse(R"([{"item": "ground kernels", "amount": "100 g", "use": "all"}])");
  const Json answer = well("/api/compose/others", open());
  EXPECT_EQ(answer["outcome"], "refused");
  EXPECT_TRUE(answer["proposals"].empty());
  EXPECT_FALSE(answer.contains("side_by_side"));
}

}  // namespace
}  // namespace oddgrist::test

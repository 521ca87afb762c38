// What the routes say.
#include "files/answer_json.hpp"
#include "files/brief_file.hpp"
#include "server/brief_text.hpp"
#include "server/changes.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

TEST(BriefText, IsTheSameBriefWithOtherBrackets) {
  const auto toml = server::toml_of_json_text(small_brief().dump());
  ASSERT_TRUE(toml);
  const auto brief = files::read_brief_text(toml.value(), "brief");
  ASSERT_TRUE(brief) << toml.value();
  EXPECT_EQ(brief.value().name, "test ale");
  ASSERT_EQ(brief.value().given.size(), 1);
  EXPECT_DOUBLE_EQ(brief.value().given[0].amount->in(gram), 200.0);
  EXPECT_EQ(brief.value().have.size(), 3);
}

TEST(BriefText, NoTextOfAValueBecomesAKey) {
  const Json hostile{{"name", "x\"\n[kit]\nkettle = \"1 L\"\n#\\"}, {"want", {{"volume", "5 L"}}}};
  const auto toml = server::toml_of_json_text(hostile.dump());
  ASSERT_TRUE(toml);
  const auto brief = files::read_brief_text(toml.value(), "brief");
  ASSERT_FALSE(brief);
  ASSERT_EQ(brief.problems().size(), 1) << toml.value();
  EXPECT_EQ(brief.problems()[0].field, "have");  // only the yeast is missing
}

TEST(BriefText, RefusesWhatIsNoBrief) {
  EXPECT_FALSE(server::toml_of_json_text("[]"));
  EXPECT_FALSE(server::toml_of_json_text("{"));
  EXPECT_FALSE(server::toml_of_json_text("{\"a\":" + std::string(50, '[') + std::string(50, ']') + "}"));
  Json wide = Json::array();
  for (int i = 0; i < server::most_values + 1; ++i) wide.push_back("x");
  EXPECT_FALSE(server::toml_of_json_text(Json{{"given", wide}}.dump()));
}

TEST(Compose, JsonAndTomlGetOneAnswer) {
  const LiveServer live;
  const auto toml = server::toml_of_json_text(small_brief().dump());
  const auto from_json = live.client().Post("/api/compose", small_brief().dump(), "application/json");
  const auto from_toml = live.client().Post("/api/compose", toml.value(), "application/toml");
  ASSERT_EQ(from_json->status, 200) << from_json->body;
  EXPECT_EQ(from_json->body, from_toml->body);
  EXPECT_EQ(Json::parse(from_json->body)["outcome"], "met");
}

TEST(Compose, WarmAnswerIsTheColdOne) {
  const LiveServer live;
  Json cold = Json::parse(live.client().Post("/api/compose", small_brief().dump(), "application/json")->body);
  for (Json& proposal : cold["proposals"]) proposal["trace"] = Json::array();
  const std::string body = Json{{"id", "0123456789"}, {"brief", small_brief()}}.dump();
  for (int twice = 0; twice < 2; ++twice) {
    const Json warm = Json::parse(live.client().Post("/api/compose/warm", body, "application/json")->body);
    EXPECT_EQ(warm["answer"], cold);
    EXPECT_EQ(warm["id"], "0123456789");
  }
}

TEST(Compose, MistakeIsSaidWithItsField) {
  const LiveServer live;
  Json brief = small_brief();
  brief["given"][0]["amount"] = "350";
  const auto reply = live.client().Post("/api/compose", brief.dump(), "application/json");
  expect_problem(reply, 422, "brief");
  const Json problem = Json::parse(reply->body)["problems"][0];
  EXPECT_EQ(problem["field"], "given[1].amount");
  EXPECT_FALSE(problem.contains("line")) << "there is no text the brewer could look at";
  const auto written = live.client().Post("/api/compose", "[want]\nvolume = \"10\"\n", "application/toml");
  expect_problem(written, 422, "brief");
  EXPECT_EQ(Json::parse(written->body)["problems"][0]["line"], 2);
}

Json watch_body() {
  return Json{{"brief", small_brief()},
              {"readings", "time,kind,value\n2026-11-02T17:30,pitched,\n2026-11-06T18:00,gravity,1.020\n"},
              {"now", "2026-11-07T18:00"}};
}

TEST(Watch, HoldsReadingsAgainstTheForecast) {
  const LiveServer live;
  const auto reply = live.client().Post("/api/watch", watch_body().dump(), "application/json");
  ASSERT_EQ(reply->status, 200) << reply->body;
  const Json watch = Json::parse(reply->body);
  EXPECT_EQ(watch["pitched"], "2026-11-02T17:30");
  EXPECT_DOUBLE_EQ(watch["hour"].get<double>(), 120.5);  // from pitching to now
  ASSERT_EQ(watch["watched"].size(), 1);
  EXPECT_DOUBLE_EQ(watch["watched"][0]["hour"].get<double>(), 96.5);
  EXPECT_EQ(watch["bottling"]["containers"].empty(), false);
}

TEST(Watch, SaysWhatIsWrong) {
  const LiveServer live;
  const auto answer = [&](const char* key, const Json& value) {
    Json body = watch_body();
    body[key] = value;
    return live.client().Post("/api/watch", body.dump(), "application/json");
  };
  expect_problem(answer("readings", "time,kind,value\nsoon,gravity,1.020\n"), 422, "readings");
  expect_problem(answer("readings", 7), 400, "bad-request");
  expect_problem(answer("now", "noon"), 400, "bad-request");
  expect_problem(answer("container", "bucket"), 400, "bad-request");
  expect_problem(answer("warmest_c", 90), 400, "bad-request");
  expect_problem(answer("proposal", 99), 422, "no-such-proposal");
  expect_problem(answer("brief", Json::object()), 422, "brief");
}

TEST(Compose, ManyAtOnceGetTheSameAnswer) {
  server::Settings settings;
  const LiveServer live(settings);
  const std::string body = small_brief().dump();
  const std::string alone = live.client().Post("/api/compose", body, "application/json")->body;
  std::vector<std::string> answers(6);
  std::vector<std::thread> threads;
  for (std::string& answer : answers)
    threads.emplace_back(
        [&live, &body, &answer] { answer = live.client().Post("/api/compose", body, "application/json")->body; });
  for (std::thread& thread : threads) thread.join();
  for (const std::string& answer : answers) EXPECT_EQ(answer, alone);
}

TEST(Larder, NameComesBeforeWhatHoldsIt) {
  const LiveServer live;
  const Json found = Json::parse(live.client().Get("/api/larder?q=wheat%20malt")->body);
  ASSERT_GT(found["ingredients"].size(), 1);
  EXPECT_EQ(found["ingredients"][0]["name"], "wheat malt");
  const Json none = Json::parse(live.client().Get("/api/larder?q=smokd%20wheet%20malt")->body);
  EXPECT_TRUE(none["ingredients"].empty());
  EXPECT_EQ(none["nearest"][0], "smoked-wheat-malt");
}

TEST(Page, IsTaggedAndPacked) {
  const LiveServer live;
  auto client = live.client();
  client.set_decompress(false);
  const auto whole = client.Get("/page.js", httplib::Headers{{"Accept-Encoding", "gzip"}});
  ASSERT_EQ(whole->status, 200) << "build/web is missing: run ./dev build";
  EXPECT_EQ(whole->get_header_value("Content-Encoding"), "gzip");
  EXPECT_EQ(whole->body.substr(0, 2), "\x1f\x8b");
  const std::string tag = whole->get_header_value("ETag");
  EXPECT_EQ(client.Get("/page.js", httplib::Headers{{"If-None-Match", tag}})->status, 304);
  const auto page = client.Get("/");
  EXPECT_EQ(page->get_header_value("Content-Type"), "text/html; charset=utf-8");
  EXPECT_EQ(page->body.find("<script>"), std::string::npos);
  EXPECT_EQ(page->body.find("style="), std::string::npos);
}

TEST(Changes, ListenersHearWhatWasPublished) {
  server::Changes changes(2);
  int calls = 0;
  changes.on_change([&calls] { ++calls; });
  EXPECT_TRUE(changes.arrive());
  EXPECT_TRUE(changes.arrive());
  EXPECT_FALSE(changes.arrive());
  std::uint64_t seen = changes.latest();
  changes.publish("gyle", "g\n1");
  EXPECT_EQ(calls, 1);
  const std::string text = changes.since(seen);
  EXPECT_EQ(text, "id: 1\nevent: change\ndata: {\"topic\":\"gyle\",\"subject\":\"g\\n1\"}\n\n");
  EXPECT_EQ(changes.since(seen), "");
  for (int i = 0; i < 300; ++i) changes.publish("larder", "");
  EXPECT_EQ(changes.since(seen).substr(0, 10), "event: all");
}

TEST(Changes, ComeOverTheWire) {
  LiveServer live;
  std::string got;
  auto client = live.client();
  client.Get("/api/changes", [&](const char* data, std::size_t size) {
    if (got.empty()) live.server().publish("gyle", "7");
    got.append(data, size);
    return got.find("event: change") == std::string::npos;
  });
  EXPECT_NE(got.find("data: {\"topic\":\"gyle\",\"subject\":\"7\"}"), std::string::npos) << got;
}

}  // namespace
}  // namespace oddgrist::test

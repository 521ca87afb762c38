// Who is let in, and what every reply carries.
#include <random>

#include "server/devices.hpp"
#include "server/origin.hpp"
#include "server/rate_limit.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

using namespace std::chrono_literals;

TEST(Door, EveryReplyCarriesTheHeadersOfDefence) {
  const LiveServer live;
  for (const std::string path : {"/", "/page.js", "/api/health", "/api/larder?q=hop", "/api/nothing", "/nothing"}) {
    const auto reply = live.client().Get(path);
    ASSERT_TRUE(reply) << path;
    const std::string policy = reply->get_header_value("Content-Security-Policy");
    EXPECT_NE(policy.find("default-src 'none'"), std::string::npos) << path;
    EXPECT_NE(policy.find("frame-ancestors 'none'"), std::string::npos) << path;
    EXPECT_EQ(policy.find("unsafe"), std::string::npos) << path;
    EXPECT_EQ(reply->get_header_value("X-Content-Type-Options"), "nosniff") << path;
    EXPECT_EQ(reply->get_header_value("Referrer-Policy"), "no-referrer") << path;
    EXPECT_EQ(reply->get_header_value("Access-Control-Allow-Origin"), "") << path;
  }
}

TEST(Door, ForeignHostIsRefused) {
  const LiveServer live;
  for (const std::string host : {"evil.example", "evil.example:80", "127.0.0.1:1", "127.0.0.1.evil.example", ""}) {
    expect_problem(live.client().Get("/api/health", httplib::Headers{{"Host", host}}), 421, "wrong-host");
    expect_problem(live.client().Get("/", httplib::Headers{{"Host", host}}), 421, "wrong-host");
  }
  const auto reply =
      live.client().Get("/api/health", httplib::Headers{{"Host", "LocalHost:" + std::to_string(live.port())}});
  ASSERT_TRUE(reply);
  EXPECT_EQ(reply->status, 200);
}

TEST(Door, ForeignOriginIsRefusedAndOwnIsNot) {
  const LiveServer live;
  const auto post = [&](const httplib::Headers& headers) {
    return live.client().Post("/api/compose", headers, small_brief().dump(), "application/json");
  };
  expect_problem(post({{"Origin", "http://evil.example"}}), 403, "refused");
  expect_problem(post({{"Origin", "null"}}), 403, "refused");
  expect_problem(post({{"Origin", "https://" + live.host()}}), 403, "refused");
  expect_problem(post({{"Sec-Fetch-Site", "cross-site"}}), 403, "refused");
  expect_problem(post({{"Sec-Fetch-Site", "same-site"}}), 403, "refused");
  const auto own = post({{"Origin", "http://" + live.host()}, {"Sec-Fetch-Site", "same-origin"}});
  ASSERT_TRUE(own);
  EXPECT_EQ(own->status, 200);
}

TEST(Door, SimpleCrossSiteFormsCannotReachAWrite) {
  const LiveServer live;
  for (const std::string type : {"text/plain", "application/x-www-form-urlencoded"}) {
    for (const std::string path :
         {"/api/compose", "/api/compose/warm", "/api/sheet", "/api/packet", "/api/brief/text", "/api/pair"})
      expect_problem(live.client().Post(path, small_brief().dump(), type.c_str()), 415, "wrong-type");
  }
}

TEST(Door, LargeBodyIsRefused) {
  server::Settings settings;
  settings.largest_body = 1000;
  const LiveServer live(settings);
  expect_problem(live.client().Post("/api/compose", std::string(2000, ' '), "application/json"), 413, "too-large");
}

TEST(Door, BodyOfUnstatedLengthOrPackedIsRefused) {
  const LiveServer live;
  expect_problem(live.client().Post("/api/compose", httplib::Headers{{"Transfer-Encoding", "chunked"}}, "0\r\n\r\n",
                                    "application/json"),
                 411, "length-missing");
  expect_problem(
      live.client().Post("/api/compose", httplib::Headers{{"Content-Encoding", "gzip"}}, "x", "application/json"), 415,
      "wrong-type");
}

TEST(Door, TooManyRequestsAreRefusedWithATime) {
  server::Settings settings;
  settings.requests_per_second = 0.001;
  settings.requests_at_once = 4;
  const LiveServer live(settings);  // its own look whether it is there took one or more
  httplib::Result last = live.client().Get("/api/health");
  for (int i = 0; i < 5; ++i) last = live.client().Get("/api/health");
  EXPECT_EQ(last->get_header_value("Retry-After"), "1");
  expect_problem(last, 429, "too-many");
}

TEST(Door, TooManySolvesAreRefusedBeforeTheyCostAnything) {
  server::Settings settings;
  settings.solves_per_second = 0.001;
  settings.solves_at_once = 1;
  const LiveServer live(settings);
  const std::string body = small_brief().dump();
  EXPECT_EQ(live.client().Post("/api/compose", body, "application/json")->status, 200);
  expect_problem(live.client().Post("/api/compose", body, "application/json"), 429, "too-many");
  EXPECT_EQ(live.client().Get("/api/health")->status, 200);
}

TEST(RateLimit, FillsAgainWithTime) {
  server::RateLimit limit(2.0, 3.0);
  const auto begin = server::RateLimit::Clock::now();
  for (int i = 0; i < 3; ++i) EXPECT_TRUE(limit.allow("a", begin));
  EXPECT_FALSE(limit.allow("a", begin));
  EXPECT_TRUE(limit.allow("b", begin)) << "each address has its own";
  EXPECT_FALSE(limit.allow("a", begin + 400ms));
  EXPECT_TRUE(limit.allow("a", begin + 1000ms));
}

TEST(Pairing, UnpairedDeviceGetsThePageAndNothingElse) {
  server::Settings settings;
  settings.pair_all = true;
  LiveServer live(settings);
  EXPECT_EQ(live.client().Get("/api/health")->status, 200);
  expect_problem(live.client().Get("/api/larder"), 401, "not-paired");
  expect_problem(live.client().Get("/api/changes"), 401, "not-paired");
  expect_problem(live.client().Post("/api/compose", small_brief().dump(), "application/json"), 401, "not-paired");
  expect_problem(live.client().Get("/api/larder", httplib::Headers{{"Cookie", "oddgrist_device=0123"}}), 401,
                 "not-paired");
  expect_problem(live.client().Post("/api/pair", R"({"code": "WRONG1"})", "application/json"), 403, "wrong-code");
  const std::string code = live.server().pairing_code();
  const auto paired =
      live.client().Post("/api/pair", Json{{"code", code}, {"name", "phone"}}.dump(), "application/json");
  ASSERT_EQ(paired->status, 200) << paired->body;
  const std::string cookie = paired->get_header_value("Set-Cookie");
  EXPECT_NE(cookie.find("HttpOnly"), std::string::npos);
  EXPECT_NE(cookie.find("SameSite=Strict"), std::string::npos);
  const httplib::Headers with{{"Cookie", cookie.substr(0, cookie.find(';'))}};
  EXPECT_EQ(live.client().Get("/api/larder", with)->status, 200);
  EXPECT_NE(live.server().pairing_code(), code) << "a code pairs one device";
  expect_problem(live.client().Post("/api/pair", Json{{"code", code}}.dump(), "application/json"), 403, "wrong-code");
}

TEST(Devices, RememberedAcrossStartsByHashOnly) {
  const std::string path =
      (std::filesystem::temp_directory_path() / ("oddgrist-devices-" + std::to_string(::getpid()))).string();
  std::string token;
  {
    server::Devices devices(path);
    ASSERT_FALSE(devices.load());
    token = devices.pair(devices.code(), "phone", "10.0.0.1").token;
    ASSERT_FALSE(token.empty());
  }
  server::Devices again(path);
  ASSERT_FALSE(again.load());
  EXPECT_TRUE(again.knows(token));
  EXPECT_FALSE(again.knows(token + "0"));
  std::ifstream file(path);
  const std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  EXPECT_EQ(text.find(token), std::string::npos);
  std::ofstream(path) << "not a list";
  EXPECT_TRUE(server::Devices(path).load()) << "a broken list is said, not taken for an empty one";
  std::filesystem::remove(path);
  std::filesystem::remove(path + ".lock");
}

TEST(Door, GarbageNeverEndsTheServer) {
  server::Settings settings;
  settings.requests_per_second = settings.requests_at_once = settings.solves_per_second = settings.solves_at_once = 1e6;
  const LiveServer live(settings);
  std::mt19937 random(20261125);
  const std::string good = Json{{"id", "0123456789"}, {"brief", small_brief()}, {"proposal", 1}}.dump();
  const std::vector<std::string> whole = {"",
                                          "null",
                                          "[]",
                                          "{",
                                          "\"\\ud800\"",
                                          std::string(20000, '['),
                                          "{\"brief\":" + std::string(5000, '[') + std::string(5000, ']') + "}",
                                          "{\"want\":{\"volume\":1e999}}",
                                          "{\"want\":{\"volume\":null}}",
                                          std::string("\0\xff\xfe", 3),
                                          "{\"given\":[1,{\"item\":{}}],\"a\\u0000b\":\"\\u0000\"}"};
  int answered = 0;
  for (const std::string path :
       {"/api/compose", "/api/compose/warm", "/api/sheet", "/api/packet", "/api/brief/text", "/api/pair"}) {
    std::vector<std::string> bodies = whole;
    for (int i = 0; i < 25; ++i) {
      std::string body = good;
      for (int hits = 0; hits < 3; ++hits) body[random() % body.size()] = static_cast<char>(random() % 256);
      bodies.push_back(body);
    }
    for (const std::string& body : bodies) {
      const auto reply = live.client().Post(path, body, "application/json");
      ASSERT_TRUE(reply) << path << body;
      EXPECT_NE(reply->status, 500) << path << body << reply->body;
      ++answered;
    }
  }
  EXPECT_GT(answered, 200);
  for (const std::string path :
       {"/%00", "/api/%2e%2e/%2e%2e/etc/passwd", "/api/schema/..%2fopenapi.json", "/api//larder", "/api/schema/",
        "/api/larder?limit=-1", "/api/larder?limit=99999999999999999999"}) {
    const auto reply = live.client().Get(path);
    ASSERT_TRUE(reply) << path;
    EXPECT_GE(reply->status, 400) << path;
    EXPECT_NE(reply->status, 500) << path;
  }
  EXPECT_EQ(live.client().Get("/api/health")->status, 200);
}

TEST(Door, PortInUseIsSaid) {
  const LiveServer live;
  server::Settings settings;
  settings.port = live.port();
  server::Server second(settings);
  const auto problem = second.open();
  ASSERT_TRUE(problem);
  EXPECT_FALSE(problem->remedy.empty());
}

}  // namespace
}  // namespace oddgrist::test

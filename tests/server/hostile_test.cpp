// Callers who mean harm, or are only slow: nothing of the process is read, nothing grows without bound, nobody else waits.
#include <fstream>
#include <memory>
#include <vector>

#include "raw_caller.hpp"
#include "server/guests.hpp"
#include "server/head.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

using namespace std::chrono_literals;
using Clock = std::chrono::steady_clock;

std::string asking(const LiveServer& live, const std::string& line, const std::string& more = "") {
  return line + " HTTP/1.1\r\nHost: " + live.host() + "\r\n" + more + "\r\n";
}

int status_of(const std::string& reply) {
  return reply.starts_with("HTTP/1.1 ") && reply.size() > 12 ? std::stoi(reply.substr(9, 3)) : 0;
}

std::string told(const LiveServer& live, const std::string& request) {
  RawCaller caller(live.port());
  caller.send(request);
  return caller.hear();
}

std::size_t resident_kb() {
  std::ifstream status("/proc/self/status");
  for (std::string word; status >> word;) {
    if (word != "VmRSS:") continue;
    std::size_t kb = 0;
    status >> kb;
    return kb;
  }
  return 0;
}

std::chrono::milliseconds health_takes(const LiveServer& live) {
  const auto begin = Clock::now();
  const auto reply = live.client().Get("/api/health");
  EXPECT_TRUE(reply && reply->status == 200);
  return std::chrono::duration_cast<std::chrono::milliseconds>(Clock::now() - begin);
}

TEST(Hostile, NoRangeIsEverServed) {
  const LiveServer live;
  std::string many = "bytes=0-9";
  for (int i = 0; i < 400; ++i) many += ",0-9";
  for (const std::string& range : {std::string("bytes=0-50000"), std::string("bytes=9000000000-9000000100"),
                                   std::string("bytes=-1"), std::string("bytes=0-0"), std::string("nonsense"), many}) {
    const std::string reply = told(live, asking(live, "GET /", "Range: " + range + "\r\n"));
    EXPECT_EQ(status_of(reply), 416) << reply;
    EXPECT_LT(reply.size(), 2000U);
    EXPECT_EQ(reply.find("Content-Range"), std::string::npos);
  }
  EXPECT_EQ(health_takes(live) < 1s, true);
}

TEST(Hostile, EndlessHeadersAreCutOff) {
  const LiveServer live;
  const std::size_t before = resident_kb();
  for (const std::string& piece : {std::string("X-A: b\r\n"), std::string(1000, 'a')}) {
    RawCaller caller(live.port());
    std::size_t sent = caller.send("GET / HTTP/1.1\r\nHost: " + live.host() + "\r\nX: ");
    std::string block;
    while (block.size() < 64000) block += piece;
    // The door takes some of it into the socket's buffer, reads on for politeness, then is gone.
    std::size_t taken = 0;
    do {
      taken = caller.send(block, 3s);
      sent += taken;
    } while (taken == block.size() && sent < 64U << 20);
    EXPECT_LT(sent, 16U << 20) << "it is being read for ever";
    EXPECT_EQ(
        status_of(told(live, asking(live, "GET /", std::string(200, 'x') + ": " + std::string(20000, 'y') + "\r\n"))),
        431);
  }
  EXPECT_LT(resident_kb(), before + 16000);
}

TEST(Hostile, ABodyNeedsALengthThatIsSmallEnough) {
  const LiveServer live;
  const auto post = [&](const std::string& more) {
    return status_of(told(live, asking(live, "POST /api/compose", "Content-Type: application/json\r\n" + more)));
  };
  EXPECT_EQ(post(""), 411);
  EXPECT_EQ(post("Transfer-Encoding: chunked\r\n"), 411);
  EXPECT_EQ(post("Content-Length: 262145\r\n"), 413) << "said before any of it is sent";
  EXPECT_EQ(post("Content-Length: 99999999999999999999999\r\n"), 400);
  EXPECT_EQ(post("Content-Length: -1\r\n"), 400);
  EXPECT_EQ(post("Content-Length: +2\r\n"), 400);
  EXPECT_EQ(post("Content-Length: 2\r\nContent-Length: 3\r\n"), 400);
  EXPECT_EQ(post("Content-Length: 2\r\nTransfer-Encoding: chunked\r\n"), 411);
  EXPECT_EQ(post("Transfer-Encoding: chunked\r\nContent-Length: 2\r\n"), 400);
  EXPECT_EQ(post("Content-Length: 2\r\nContent-Encoding: gzip\r\n"), 415);
  EXPECT_EQ(post("Content-Length: 2\r\nExpect: 100-continue\r\n"), 417);
}

TEST(Hostile, WhatIsNotUsedIsRefused) {
  const LiveServer live;
  for (const std::string method : {"PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "PROPFIND", "BREW"})
    EXPECT_EQ(status_of(told(live, asking(live, method + " /api/health"))), 405) << method;
  for (const std::string target : {"http://127.0.0.1/api/health", "*", "//", "/%00", "/%zz", "/%", "/a%0d%0ab", "/#x"})
    EXPECT_GE(status_of(told(live, asking(live, "GET " + target))), 400) << target;
  EXPECT_EQ(status_of(told(live, asking(live, "GET /" + std::string(3000, 'a')))), 414);
  EXPECT_EQ(status_of(told(live, asking(live, "GET /api/health", "Upgrade: websocket\r\nConnection: upgrade\r\n"))),
            400);
  EXPECT_EQ(status_of(told(live, asking(live, "GET /api/health", "Host: " + live.host() + "\r\n"))), 400)
      << "two hosts";
  EXPECT_EQ(status_of(told(live, asking(live, "GET /api/health", "Content-Length: 5\r\n") + "hello")), 400);
  EXPECT_EQ(status_of(told(live, std::string("\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n", 15))), 400);
}

TEST(Hostile, WhatFollowsARefusedRequestIsNoRequest) {
  const LiveServer live;
  const std::string hidden = asking(live, "GET /api/health");
  const std::string reply =
      told(live, asking(live, "POST /api/compose",
                        "Content-Length: " + std::to_string(hidden.size()) + "\r\nTransfer-Encoding: chunked\r\n") +
                     hidden);
  EXPECT_EQ(reply.find("\"well\""), std::string::npos) << reply;
  EXPECT_EQ(reply.find("HTTP/1.1", 1), std::string::npos) << "one answer only: " << reply;
}

TEST(Hostile, AConnectionThatWasAnsweredMayAskAgain) {
  const LiveServer live;
  RawCaller caller(live.port());
  for (int i = 0; i < 3; ++i) {
    caller.send(asking(live, "GET /api/health"));
    EXPECT_EQ(status_of(caller.hear(300ms)), 200);
    EXPECT_FALSE(caller.closed());
  }
}

TEST(Hostile, FortySlowCallersDelayNobody) {
  const LiveServer live;
  std::vector<std::unique_ptr<RawCaller>> slow;
  for (int i = 0; i < 300; ++i) {
    slow.push_back(std::make_unique<RawCaller>(live.port(), 2 + i % 7));
    slow.back()->send(i % 2 == 0 ? "GET / HTTP/1.1\r\nHost: " : asking(live, "POST /api/gas", "Content-Length: 9\r\n"));
  }
  for (int i = 0; i < 5; ++i) EXPECT_LT(health_takes(live), 1s);
  // The same from the very address that is being held against us.
  for (int i = 0; i < 300; ++i) {
    slow.push_back(std::make_unique<RawCaller>(live.port()));
    slow.back()->send("G");
  }
  for (int i = 0; i < 5; ++i) EXPECT_LT(health_takes(live), 1s);
}

TEST(Hostile, EveryPartOfARequestHasItsTime) {
  server::Settings settings;
  settings.patience.head = settings.patience.body = settings.patience.idle = settings.patience.reply = 300ms;
  const LiveServer live(settings);
  const auto shown_out = [&](const std::string& text) {
    RawCaller caller(live.port());
    caller.send(text);
    static_cast<void>(caller.hear(3s));
    return caller.closed();
  };
  EXPECT_TRUE(shown_out(""));
  EXPECT_TRUE(shown_out("GET / HTTP/1.1\r\nHost: "));
  EXPECT_TRUE(shown_out(asking(live, "POST /api/gas", "Content-Length: 9\r\n") + "{"));
  EXPECT_TRUE(shown_out(asking(live, "GET /api/health"))) << "idle after its answer";
  // A byte now and then does not help.
  RawCaller drip(live.port());
  const auto begin = Clock::now();
  while (drip.send("a") == 1 && Clock::now() - begin < 5s) std::this_thread::sleep_for(50ms);
  EXPECT_LT(Clock::now() - begin, 3s);
}

TEST(Hostile, AnUnpairedBodyIsSmall) {
  server::Settings settings;
  settings.pair_all = true;
  const LiveServer live(settings);
  EXPECT_EQ(status_of(told(live, asking(live, "POST /api/compose", "Content-Length: 200000\r\n"))), 401);
  EXPECT_EQ(status_of(told(live, asking(live, "POST /api/pair", "Content-Length: 5000\r\n"))), 413);
}

TEST(Head, ReadsPathAndQueryAndNothingElse) {
  const auto read = server::read_target("/api/larder?q=smoked%20malt+b&limit=8&q=again&&x");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->path, "/api/larder");
  EXPECT_EQ(read->query.at("q"), "smoked malt b");
  EXPECT_EQ(read->query.at("limit"), "8");
  EXPECT_EQ(read->query.at("x"), "");
  EXPECT_EQ(server::read_target("/a+b")->path, "/a+b");
  EXPECT_EQ(server::read_target("/f%C3%BCnf")->path, "/fünf");
  for (const char* wrong : {"", "api", "*", "http://x/", "/%", "/%4", "/%g0", "/%00", "/?a=%0A", "/%7f", "/#a"})
    EXPECT_FALSE(server::read_target(wrong)) << wrong;
}

TEST(Guests, TheOneWhoWaitsLongestGivesWay) {
  server::Guests guests({4, 2, 3, 100});
  const auto begin = server::Guest::Clock::now();
  std::vector<server::Guest> some(4);
  const char* addresses[] = {"10.0.0.1", "10.0.0.1", "10.0.0.2", "10.0.0.3"};
  for (std::size_t i = 0; i < some.size(); ++i) {
    some[i].address = addresses[i];
    some[i].since = begin - std::chrono::seconds(i == 1 ? 9 : 1 + 2 * i);
    EXPECT_FALSE(guests.place_for(some[i].address).full);
    EXPECT_EQ(guests.place_for(some[i].address).gives_way, nullptr);
    guests.arrived(some[i]);
  }
  EXPECT_EQ(guests.place_for("10.0.0.1").gives_way, &some[1]) << "an address that has all its places makes room itself";
  EXPECT_EQ(guests.place_for("10.0.0.4").gives_way, &some[1]) << "the longest of the address that has the most";
  some[1].stage = server::Stage::answered;
  EXPECT_EQ(guests.place_for("10.0.0.1").gives_way, &some[0]);
  some[0].stage = server::Stage::listening;
  EXPECT_TRUE(guests.place_for("10.0.0.1").full);
  EXPECT_EQ(guests.place_for("10.0.0.4").gives_way, &some[3]) << "nobody of the crowd can go";
  EXPECT_FALSE(guests.may_listen("10.0.0.1")) << "half of two places";
  EXPECT_TRUE(guests.may_listen("10.0.0.2"));
  guests.holds(some[2], 60);
  EXPECT_TRUE(guests.may_hold(40));
  EXPECT_FALSE(guests.may_hold(41));
  EXPECT_EQ(guests.holds_longest(), &some[2]);
  guests.left(some[2]);
  EXPECT_TRUE(guests.may_hold(100));
  EXPECT_EQ(guests.holds_longest(), nullptr);
}

}  // namespace
}  // namespace oddgrist::test

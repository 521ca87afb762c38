// Who is let in: the code is not to be guessed, nobody is locked out by somebody else, and who was let in can be shut out.
#include <sys/stat.h>

#include "server/devices.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

using namespace std::chrono_literals;
using server::Devices;
using server::Pairing;
using Outcome = server::Pairing::Outcome;

std::string wrong_code(int number) {
  return number % 2 == 0 ? "WRONG1" : "000000";
}  // neither 1 nor 0 is ever in a code

// How many guesses are looked at in that time, when that many devices do nothing but guess.
int guesses_looked_at(Devices& devices, int guessers, std::chrono::seconds time) {
  const auto begin = Devices::Clock::now();
  int looked_at = 0;
  for (auto now = 0s; now < time; now += 5s) {
    for (int guesser = 0; guesser < guessers; ++guesser) {
      const auto peer = "10.0.0." + std::to_string(guesser);
      if (devices.pair(wrong_code(guesser), "x", peer, begin + now).outcome == Outcome::wrong) ++looked_at;
    }
  }
  return looked_at;
}

TEST(Pairing, GuessingIsHopeless) {
  Devices one_guesser(""), many("");
  const int of_one = guesses_looked_at(one_guesser, 1, 24h), of_many = guesses_looked_at(many, 50, 24h);
  EXPECT_LE(of_one, 5 + 24 * 60 / 2);
  EXPECT_LE(of_many, 20 + 24 * 60);
  EXPECT_GE(of_many, 24 * 60) << "the ration is for guesses that are looked at";
  // A day of guessing with as many devices as you like: 1,460 of 729 million, two in a million. A whole year: 7 in 10,000.
  EXPECT_LT(of_many / server::codes_there_are, 2.1e-6);
  EXPECT_LT(365.0 * of_many / server::codes_there_are, 8e-4);
}

TEST(Pairing, OneGuesserLocksNobodyOut) {
  Devices devices("");
  guesses_looked_at(devices, 1, 60min);
  const auto after = Devices::Clock::now() + 60min;
  EXPECT_EQ(devices.pair(devices.code(), "phone", "10.0.1.1", after).outcome, Outcome::paired);
}

TEST(Pairing, ManyGuessersDoNotLockOutACamera) {
  Devices devices("");
  EXPECT_EQ(guesses_looked_at(devices, 50, 30s), 20) << "then the ration of all is used up";
  EXPECT_EQ(devices.pair(devices.code(), "phone", "10.0.1.1").outcome, Outcome::wait);
  const Pairing paired = devices.pair_by_link(devices.link(), "phone");
  EXPECT_EQ(paired.outcome, Outcome::paired);
  EXPECT_TRUE(devices.knows(paired.token));
}

TEST(Pairing, WrongCodesNeitherChangeTheCodeNorFillTheTerminal) {
  int codes = 0, words = 0;
  Devices devices(
      "", [&](const std::string&) { ++codes; }, [&](int, const std::string&) { ++words; });
  const std::string code = devices.code(), link = devices.link();
  guesses_looked_at(devices, 50, 60min);
  for (int i = 0; i < 1000; ++i) EXPECT_EQ(devices.pair_by_link("A" + std::to_string(i), "x").outcome, Outcome::wrong);
  EXPECT_EQ(devices.code(), code);
  EXPECT_EQ(devices.link(), link);
  EXPECT_EQ(codes, 0);
  EXPECT_GE(words, 1);
  EXPECT_LE(words, 7);
}

TEST(Pairing, TheLinkIs128RandomBitsAndPairsOnce) {
  Devices devices("");
  const std::string link = devices.link();
  EXPECT_EQ(link.size(), 22U);
  EXPECT_NE(Devices("").link(), link);
  for (const std::string& wrong : {std::string(), link.substr(1), link + "A", std::string(22, 'A')})
    EXPECT_EQ(devices.pair_by_link(wrong, "x").outcome, Outcome::wrong);
  EXPECT_EQ(devices.pair_by_link(link, "x").outcome, Outcome::paired);
  EXPECT_EQ(devices.pair_by_link(link, "x").outcome, Outcome::wrong);
  EXPECT_NE(devices.link(), link);
}

TEST(Pairing, NamesAreTame) {
  Devices devices("");
  static_cast<void>(devices.pair_by_link(devices.link(), "\x1b[2Jkettle\r\n\xc2\x9b phone\x7f"));
  static_cast<void>(devices.pair_by_link(devices.link(), std::string(59, 'a') + "\xc3\xbc"));
  static_cast<void>(devices.pair_by_link(devices.link(), "\x07"));
  ASSERT_EQ(devices.list().size(), 3U);
  EXPECT_EQ(devices.list()[0].name, "[2Jkettle phone");
  EXPECT_EQ(devices.list()[1].name, std::string(59, 'a')) << "cut between two characters";
  EXPECT_EQ(devices.list()[2].name, "device");
}

class ListFile : public ::testing::Test {
 protected:
  ListFile() {
    std::string name = (std::filesystem::temp_directory_path() / "oddgrist-devices-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) ADD_FAILURE() << "no folder for the test";
    folder_ = name;
  }
  ~ListFile() override {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  [[nodiscard]] std::string path() const { return (folder_ / "deeper/devices.json").string(); }

 private:
  std::filesystem::path folder_;
};

TEST_F(ListFile, WhoIsShutOutByAnotherProgramIsOutHere) {
  Devices serving(path());
  ASSERT_FALSE(serving.load());
  const std::string phone = serving.pair_by_link(serving.link(), "phone").token;
  const std::string tablet = serving.pair_by_link(serving.link(), "tablet").token;
  Devices other(path());
  ASSERT_FALSE(other.load());
  ASSERT_EQ(other.list().size(), 2U);
  std::optional<files::Problem> not_kept;
  EXPECT_TRUE(other.shut_out(serving.id_of(phone), not_kept));
  EXPECT_FALSE(not_kept);
  EXPECT_FALSE(other.shut_out("none", not_kept));
  serving.refresh();
  EXPECT_FALSE(serving.knows(phone));
  EXPECT_TRUE(serving.knows(tablet));
  // Nor does what the server writes next bring it back.
  const std::string third = serving.pair_by_link(serving.link(), "third").token;
  Devices again(path());
  ASSERT_FALSE(again.load());
  EXPECT_FALSE(again.knows(phone));
  EXPECT_TRUE(again.knows(third));
  struct stat status {};
  ASSERT_EQ(::stat(path().c_str(), &status), 0);
  EXPECT_EQ(status.st_mode & 0777, 0600U);
}

TEST_F(ListFile, OfAnEarlierProgramIsRead) {
  std::filesystem::create_directories(std::filesystem::path(path()).parent_path());
  std::ofstream(path()) << R"({"devices": [{"name": "old", "hash": ")" << std::string(64, 'a') << "\"}]}";
  Devices devices(path());
  ASSERT_FALSE(devices.load());
  ASSERT_EQ(devices.list().size(), 1U);
  EXPECT_EQ(devices.list()[0].name, "old");
  EXPECT_EQ(devices.list()[0].paired, "");
}

TEST(Pairing, ADeviceThatIsShutOutHearsNoMore) {
  server::Settings settings;
  settings.pair_all = true;
  LiveServer live(settings);
  const auto post = [&](const std::string& path, const Json& body, const httplib::Headers& headers = {}) {
    return live.client().Post(path, headers, body.dump(), "application/json");
  };
  const auto paired = [&](const char* name) {
    const auto reply = post("/api/pair", {{"link", live.server().pairing_link()}, {"name", name}});
    EXPECT_EQ(reply->status, 200) << reply->body;
    const std::string cookie = reply->get_header_value("Set-Cookie");
    return httplib::Headers{{"Cookie", cookie.substr(0, cookie.find(';'))}};
  };
  const auto phone = paired("phone"), tablet = paired("tablet");
  const Json list = Json::parse(live.client().Get("/api/devices", tablet)->body)["devices"];
  ASSERT_EQ(list.size(), 2U);
  EXPECT_EQ(list[0]["name"], "phone");
  EXPECT_EQ(list[0]["this"], false);
  EXPECT_EQ(list[1]["this"], true);
  EXPECT_EQ(list[0]["paired"].get<std::string>().size(), 20U);
  expect_problem(live.client().Get("/api/devices"), 401, "not-paired");
  std::string heard;
  std::thread listener([&] {
    live.client().Get("/api/changes", phone, [&](const char* bytes, std::size_t size) {
      heard.append(bytes, size);
      return true;
    });
  });
  std::this_thread::sleep_for(200ms);
  const std::string out = "/api/devices/" + list[0]["id"].get<std::string>() + "/shut-out";
  expect_problem(post(out, Json::object()), 401, "not-paired");
  const auto done = post(out, Json::object(), tablet);
  EXPECT_EQ(done->status, 200) << done->body;
  listener.join();
  live.server().publish("gyle", "secret");
  EXPECT_EQ(heard.find("secret"), std::string::npos);
  expect_problem(live.client().Get("/api/devices", phone), 401, "not-paired");
  EXPECT_EQ(live.client().Get("/api/devices", tablet)->status, 200);
  expect_problem(post(out, Json::object(), tablet), 404, "not-found");
}

}  // namespace
}  // namespace oddgrist::test

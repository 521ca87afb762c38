// Many devices at once: all are let in, their open streams hold up no request, all of them hear of a change.
#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <vector>

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

using namespace std::chrono_literals;
using Clock = std::chrono::steady_clock;

// A connection with nothing but bytes; device n calls from 127.0.1.n, so the limits of one address are not in the way.
class Caller {
 public:
  Caller(int port, unsigned device) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in from{}, to{};
    from.sin_family = to.sin_family = AF_INET;
    from.sin_addr.s_addr = htonl(0x7f000100U + device);
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    EXPECT_EQ(::bind(socket_, reinterpret_cast<const sockaddr*>(&from), sizeof from), 0);
    ::fcntl(socket_, F_SETFL, O_NONBLOCK);
    ::connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to);
  }
  ~Caller() { ::close(socket_); }
  Caller(const Caller&) = delete;
  Caller& operator=(const Caller&) = delete;

  [[nodiscard]] bool connects_until(Clock::time_point end) const { return ready(POLLOUT, end); }
  void ask(const std::string& path, int port) const {
    const std::string text = "GET " + path + " HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port) + "\r\n\r\n";
    EXPECT_EQ(::send(socket_, text.data(), text.size(), MSG_NOSIGNAL), static_cast<ssize_t>(text.size()));
  }
  // Reads until the text has been seen.
  [[nodiscard]] bool hears(const std::string& text, Clock::time_point end) {
    while (heard_.find(text) == std::string::npos) {
      if (!ready(POLLIN, end)) return false;
      char bytes[4096];
      const ssize_t size = ::recv(socket_, bytes, sizeof bytes, 0);
      if (size <= 0) return false;
      heard_.append(bytes, static_cast<std::size_t>(size));
    }
    return true;
  }
  [[nodiscard]] const std::string& heard() const { return heard_; }

 private:
  [[nodiscard]] bool ready(short what, Clock::time_point end) const {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(end - Clock::now());
    pollfd waiting{socket_, what, 0};
    return ::poll(&waiting, 1, static_cast<int>(std::max<long>(0, left.count()))) == 1 && (waiting.revents & what) != 0;
  }
  int socket_;
  std::string heard_;
};

std::vector<std::unique_ptr<Caller>> callers(int port, unsigned devices) {
  std::vector<std::unique_ptr<Caller>> all;
  for (unsigned device = 1; device <= devices; ++device) all.push_back(std::make_unique<Caller>(port, device));
  return all;
}

// The kernel lets them wait at the door although nobody has opened it yet; with a short queue most would try again after a second.
TEST(ManyDevices, AllFindPlaceAtTheDoor) {
  server::Settings settings;
  settings.port = 0;
  server::Server server(settings);
  ASSERT_FALSE(server.open());
  const auto all = callers(server.port(), 200);
  const auto end = Clock::now() + 500ms;
  int connected = 0;
  for (const auto& caller : all) connected += caller->connects_until(end) ? 1 : 0;
  // As many as are let wait by this machine, were it fewer.
  int most = 0;
  std::ifstream("/proc/sys/net/core/somaxconn") >> most;
  EXPECT_GE(connected, std::min(200, most));
}

TEST(ManyDevices, OpenStreamsHoldUpNoRequest) {
  LiveServer live;
  const auto all = callers(live.port(), 200);
  const auto end = Clock::now() + 20s;
  for (const auto& caller : all) {
    ASSERT_TRUE(caller->connects_until(end));
    caller->ask("/api/changes", live.port());
  }
  for (const auto& caller : all) ASSERT_TRUE(caller->hears("retry: 2000\n\n", end)) << caller->heard();
  for (int i = 0; i < 20; ++i) {
    const auto reply = live.client().Get("/api/health");
    ASSERT_TRUE(reply);
    EXPECT_EQ(reply->status, 200);
  }
  live.server().publish("gyle", "harvest");
  for (const auto& caller : all) EXPECT_TRUE(caller->hears("\"subject\":\"harvest\"", end)) << caller->heard();
}

TEST(ManyDevices, OneStreamTooManyIsToldSo) {
  server::Settings settings;
  settings.most_listeners = 2;
  LiveServer live(std::move(settings));
  const auto all = callers(live.port(), 3);
  const auto end = Clock::now() + 20s;
  for (unsigned i = 0; i < 2; ++i) {
    ASSERT_TRUE(all[i]->connects_until(end));
    all[i]->ask("/api/changes", live.port());
    ASSERT_TRUE(all[i]->hears("retry: 2000\n\n", end));
  }
  ASSERT_TRUE(all[2]->connects_until(end));
  all[2]->ask("/api/changes", live.port());
  EXPECT_TRUE(all[2]->hears("HTTP/1.1 503 ", end)) << all[2]->heard();
}

}  // namespace
}  // namespace oddgrist::test

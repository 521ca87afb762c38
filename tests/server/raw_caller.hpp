// A connection with nothing but bytes, for what no HTTP library would send.
#pragma once

#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <string>

#include <gtest/gtest.h>

namespace oddgrist::test {

class RawCaller {
 public:
  using Clock = std::chrono::steady_clock;

  // Calls from the address 127.0.(last / 256).(last % 256), so that one test can be many devices.
  explicit RawCaller(int port, unsigned last = 1) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in from{}, to{};
    from.sin_family = to.sin_family = AF_INET;
    from.sin_addr.s_addr = htonl(0x7f000000U + last);
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    EXPECT_EQ(::bind(socket_, reinterpret_cast<const sockaddr*>(&from), sizeof from), 0);
    EXPECT_EQ(::connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to), 0);
    ::fcntl(socket_, F_SETFL, O_NONBLOCK);
  }
  ~RawCaller() { ::close(socket_); }
  RawCaller(const RawCaller&) = delete;
  RawCaller& operator=(const RawCaller&) = delete;

  // As much as the other end takes within the time; returns how much that was.
  std::size_t send(const std::string& text, std::chrono::milliseconds patience = std::chrono::seconds(5)) const {
    const auto end = Clock::now() + patience;
    std::size_t sent = 0;
    while (sent < text.size() && ready(POLLOUT, end)) {
      const ssize_t size = ::send(socket_, text.data() + sent, text.size() - sent, MSG_NOSIGNAL);
      if (size < 0) break;
      sent += static_cast<std::size_t>(size);
    }
    return sent;
  }
  // Everything until the other end closes or the time is up.
  [[nodiscard]] std::string hear(std::chrono::milliseconds patience = std::chrono::seconds(5)) {
    const auto end = Clock::now() + patience;
    std::string heard;
    while (ready(POLLIN, end)) {
      char bytes[4096];
      const ssize_t size = ::recv(socket_, bytes, sizeof bytes, 0);
      if (size <= 0) {
        closed_ = true;
        break;
      }
      heard.append(bytes, static_cast<std::size_t>(size));
    }
    return heard;
  }
  // Whether the other end has closed: known after hear().
  [[nodiscard]] bool closed() const { return closed_; }

 private:
  [[nodiscard]] bool ready(short what, Clock::time_point end) const {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(end - Clock::now());
    pollfd waiting{socket_, what, 0};
    return ::poll(&waiting, 1, static_cast<int>(std::max<long>(0, left.count()))) == 1 && waiting.revents != 0;
  }
  int socket_;
  bool closed_ = false;
};

}  // namespace oddgrist::test

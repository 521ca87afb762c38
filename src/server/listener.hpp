// Sockets and HTTP: takes callers in, reads what they ask within the limits, and sends what they are told. One thread serves every
// connection and never waits for one; work is done on a few others. Only its source file knows the HTTP library.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "files/problem.hpp"
#include "server/exchange.hpp"
#include "server/guests.hpp"
#include "server/head.hpp"
#include "server/patience.hpp"

namespace oddgrist::server {

// What is to be done with a request whose head has come.
struct Verdict {
  enum class Next { reply, work, listen };
  Next next = Next::reply;
  Reply reply;
  Request request;       // its body is filled in before work() sees it
  bool goes_on = false;  // the connection may be kept for the next request
};

// Whoever a Listener asks what to do.
class Counter {
 public:
  Counter() = default;
  virtual ~Counter() = default;
  Counter(const Counter&) = delete;
  Counter& operator=(const Counter&) = delete;

  // On the thread of the connections: must not wait for anything.
  [[nodiscard]] virtual Verdict judge(const Head& head, const std::string& peer) = 0;
  // On a worker. What it throws becomes a 500.
  [[nodiscard]] virtual Reply work(const Request& request) = 0;

  // Whoever listens to changes, on the thread of the connections. False: there are too many.
  [[nodiscard]] virtual bool starts_listening() = 0;
  virtual void stops_listening() = 0;
  [[nodiscard]] virtual std::uint64_t latest_change() = 0;
  // What it is told next, empty: nothing new. Nothing at all: it may not listen any more.
  [[nodiscard]] virtual std::optional<std::string> news(const Request& request, std::uint64_t& seen) = 0;
};

struct Listening {
  std::string address = "127.0.0.1";
  int port = 0;  // 0: any free one
  std::string certificate_path, key_path;
  double arrivals_per_second = 200.0, arrivals_at_once = 600.0;  // connections from one address
  std::vector<std::pair<std::string, std::string>> headers;      // of every reply
  Room room;
};

class Listener {
 public:
  Listener(Listening wanted, Patience patience, Counter& counter);
  ~Listener();
  Listener(const Listener&) = delete;
  Listener& operator=(const Listener&) = delete;

  [[nodiscard]] std::optional<files::Problem> open();
  [[nodiscard]] int port() const;
  // Until end(), which any thread may call.
  void run();
  void end();
  // There is news for whoever listens. From any thread.
  void tell();

  struct Inner;

 private:
  std::unique_ptr<Inner> inner_;
};

}  // namespace oddgrist::server

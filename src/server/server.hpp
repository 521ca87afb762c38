// The server of `oddgrist serve`: the page and its API. docs/security.md says what it defends against.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "files/problem.hpp"
#include "server/guests.hpp"
#include "server/patience.hpp"

namespace oddgrist::server {

struct Settings {
  int port = 8417;                         // 0: any free one
  bool lan = false;                        // listen on every interface instead of loopback alone
  bool pair_all = false;                   // ask this machine's own browser for the code too
  std::vector<std::string> names;          // further hosts the page is reached by
  std::string certificate_path, key_path;  // both or none: TLS
  std::string devices_path;                // where paired devices are remembered; empty: until the end
  std::string store_path;                  // made when something is first kept; empty: nothing can be kept
  std::function<void(const std::string& code)> on_new_code;
  std::function<void(int tries, const std::string& peer)> on_wrong_codes;

  std::size_t largest_body = std::size_t{256} << 10;
  double requests_per_second = 100.0, requests_at_once = 300.0;  // from one address
  double solves_per_second = 70.0, solves_at_once = 140.0;       // a slider dragged on a screen of 60 Hz
  int most_listeners = 256;
  std::size_t most_open_briefs = 64;
  Room room;
  Patience patience;
};

class Server {
 public:
  explicit Server(Settings settings);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  // Binds the port. Nothing is answered before run().
  [[nodiscard]] std::optional<files::Problem> open();
  [[nodiscard]] int port() const;
  // "http://127.0.0.1:8417/" first, then those of the network.
  [[nodiscard]] std::vector<std::string> addresses() const;
  [[nodiscard]] std::string pairing_code();
  [[nodiscard]] std::string pairing_link();  // what the page's address carries behind #pair=
  [[nodiscard]] bool has_page() const;

  // Serves until stop(), which any thread may call.
  void run();
  void stop();

  // Tells every open page that something changed.
  void publish(const std::string& topic, const std::string& subject);

 private:
  struct Inner;
  std::unique_ptr<Inner> inner_;
};

}  // namespace oddgrist::server

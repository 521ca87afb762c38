// Who is connected, and who must give way when there is no more room. A newcomer is not turned away for the sake of somebody who dawdles:
// the connection that has waited longest for its other end goes, among those of the address that has the most.
#pragma once

#include <chrono>
#include <cstddef>
#include <map>
#include <string>
#include <vector>

namespace oddgrist::server {

enum class Stage {
  arriving,   // shaking hands (TLS) or sending its first head
  idle,       // answered, may ask again
  sending,    // its head is read, the body not yet
  answered,   // being worked on: waits for us, not we for it
  reading,    // the reply is on its way
  listening,  // to changes, as long as it likes
  leaving,
};

struct Guest {
  using Clock = std::chrono::steady_clock;
  std::string address;
  Stage stage = Stage::arriving;
  Clock::time_point since;     // when the stage began
  Clock::time_point deadline;  // when it is shown out
  std::size_t held = 0;        // bytes of body or reply kept for it
};

struct Room {
  std::size_t most = 512;                  // connections altogether
  std::size_t most_of_one = 64;            // from one address
  std::size_t most_of_this_machine = 256;  // from 127.0.0.1: its own browser, or a proxy with everybody behind it
  std::size_t most_held = std::size_t{8} << 20;
};

class Guests {
 public:
  explicit Guests(Room room) : room_(room) {}

  // The guest that has to go before another from that address is let in; `full`: there is no room and nobody who can be sent away.
  struct Place {
    Guest* gives_way = nullptr;
    bool full = false;
  };
  [[nodiscard]] Place place_for(const std::string& address) const;
  void arrived(Guest& guest);
  void left(Guest& guest);

  // Whether that many bytes more may be kept; if not, the guest whose bytes have been kept longest, null if there is none.
  [[nodiscard]] bool may_hold(std::size_t bytes) const { return held_ + bytes <= room_.most_held; }
  [[nodiscard]] Guest* holds_longest() const;
  void holds(Guest& guest, std::size_t bytes);

  // Whether one more from that address may listen: half of its places are kept for questions.
  [[nodiscard]] bool may_listen(const std::string& address) const;

  [[nodiscard]] std::vector<Guest*> overdue(Guest::Clock::time_point now) const;
  [[nodiscard]] const std::vector<Guest*>& all() const { return all_; }

 private:
  [[nodiscard]] std::size_t most_of(const std::string& address) const;
  [[nodiscard]] std::size_t count(const std::string& address) const;
  [[nodiscard]] Guest* waits_longest(const std::string* address) const;

  const Room room_;
  std::vector<Guest*> all_;
  std::map<std::string, std::size_t> counts_;
  std::size_t held_ = 0;
};

}  // namespace oddgrist::server

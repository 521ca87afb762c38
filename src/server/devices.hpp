// The devices that were paired, and what pairs the next one: a code to type, and a link for its camera. A device keeps a random token;
// the file keeps only its hash.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "files/problem.hpp"
#include "server/rate_limit.hpp"

namespace oddgrist::server {

// The code is for hands and so is short: 30^6, some 7.3e8 of them. It is made safe by how seldom one may be tried, by one device and by all
// of them together (a device may call itself many). A wrong code does not change it: that would help nobody against guessing, and would let
// a stranger keep everybody else's hands too slow. tests/server/pairing_test.cpp reckons what a guesser may hope for.
struct Rations {
  double of_one_per_minute = 0.5,
         of_one_at_once = 5.0;  // less than all together get: one device alone never uses up what there is for others
  double of_all_per_minute = 1.0, of_all_at_once = 20.0;
};
inline constexpr double codes_there_are = 729'000'000.0;

struct Pairing {
  enum class Outcome { paired, wrong, wait };  // wait: too many have been tried, so this one was not looked at
  Outcome outcome = Outcome::wrong;
  std::string token;                       // of the device, if it was paired
  std::optional<files::Problem> not_kept;  // then it lasts until the program ends
};

struct Device {
  std::string id;      // from the hash of its token
  std::string name;    // as it calls itself
  std::string paired;  // "2026-11-25T13:18:14Z"; empty: by a program that did not yet write it down
  std::string seen;    // to the minute or so
};

class Devices {
 public:
  using Clock = std::chrono::steady_clock;
  using NewCode = std::function<void(const std::string& code)>;
  using WrongCodes = std::function<void(int tries, const std::string& peer)>;

  // path: the file that remembers devices; empty: until the program ends. on_new_code is called whenever another code counts, the first
  // excepted; on_wrong_codes after five or more wrong ones, at most every ten minutes.
  explicit Devices(std::string path, NewCode on_new_code = {}, WrongCodes on_wrong_codes = {},
                   const Rations& rations = {});

  // Reads the file. A file that is not there is no problem.
  [[nodiscard]] std::optional<files::Problem> load();
  // Takes over what another program did to the file, and now and then writes down who was seen. To be called every second or so.
  void refresh(Clock::time_point now = Clock::now());

  [[nodiscard]] bool knows(const std::string& token);
  [[nodiscard]] std::string id_of(const std::string& token) const;
  [[nodiscard]] std::vector<Device> list();
  // False: there is no such device. A problem: it is out until the program ends, but the file still has it.
  [[nodiscard]] bool shut_out(const std::string& id, std::optional<files::Problem>& not_kept);

  [[nodiscard]] std::string code();
  [[nodiscard]] std::string link();  // 128 random bits, 22 letters: nobody can try them all, so it is not rationed
  // Each code and each link pairs one device; then others count.
  [[nodiscard]] Pairing pair(const std::string& code, const std::string& name, const std::string& peer,
                             Clock::time_point now = Clock::now());
  [[nodiscard]] Pairing pair_by_link(const std::string& link, const std::string& name);

 private:
  struct Kept : Device {
    std::string hash;
    bool in_file = false;
  };
  using Stamp = std::pair<std::int64_t, std::int64_t>;  // when the file was written, how long it is

  void renew();
  void tell_of_wrong_code(const std::string& peer, Clock::time_point now);
  [[nodiscard]] Pairing let_in(const std::string& name, std::string& new_code);
  [[nodiscard]] std::optional<files::Problem> change(const std::function<void()>& how);
  [[nodiscard]] std::optional<files::Problem> read();
  [[nodiscard]] std::optional<files::Problem> write();
  [[nodiscard]] Stamp stamp() const;

  std::mutex mutex_;
  const std::string path_;
  const NewCode on_new_code_;
  const WrongCodes on_wrong_codes_;
  RateLimit of_one_, of_all_;
  std::string code_, link_;
  int wrong_codes_ = 0;  // since the last word about them
  std::optional<Clock::time_point> told_;
  std::vector<Kept> devices_;
  Stamp stamp_;
  bool seen_changed_ = false;
  Clock::time_point written_;
};

}  // namespace oddgrist::server

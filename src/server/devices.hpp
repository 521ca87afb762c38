// The devices that were paired, and the code that pairs the next one. A device keeps a random token; the file keeps only its hash.
#pragma once

#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "files/problem.hpp"

namespace oddgrist::server {

class Devices {
 public:
  using NewCode = std::function<void(const std::string& code)>;

  // path: the file that remembers devices; empty: until the program ends. on_new_code is called whenever another code counts, the first
  // excepted.
  explicit Devices(std::string path, NewCode on_new_code = {});

  // Reads the file. A file that is not there is no problem.
  [[nodiscard]] std::optional<files::Problem> load();

  [[nodiscard]] bool knows(const std::string& token);
  [[nodiscard]] std::string code();

  struct Pairing {
    std::string token;  // empty: the code was wrong
    std::optional<files::Problem> not_kept;
  };
  // Each code pairs one device. After most_tries wrong ones another code counts.
  [[nodiscard]] Pairing pair(const std::string& code, const std::string& name);

  static constexpr int most_tries = 5;

 private:
  struct Device {
    std::string name;
    std::string hash;
  };
  void renew_code();
  [[nodiscard]] std::optional<files::Problem> save() const;

  std::mutex mutex_;
  std::string path_;
  NewCode on_new_code_;
  std::string code_;
  int wrong_tries_ = 0;
  std::vector<Device> devices_;
};

}  // namespace oddgrist::server

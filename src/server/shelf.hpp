// The one store of a running server, opened when it is first asked for: a server nobody keeps anything with makes no file. Whatever is
// written into it, by this server or by another program, is told to who listens: topic "gyle" and its id, "larder", and so on.
#pragma once

#include <atomic>
#include <chrono>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "server/changes.hpp"
#include "server/exchange.hpp"
#include "store/store.hpp"

namespace oddgrist::server {

class Shelf {
 public:
  // Empty: there is no store, and whoever asks for it is told so.
  Shelf(std::string path, Changes& changes) : path_(std::move(path)), changes_(changes) {}

  // For what writes: one at a time, and none waits longer than `patience` for another, nor for another program. A store that cannot be
  // opened is tried again at the next request.
  [[nodiscard]] Reply write(const std::function<Reply(store::Store&)>& answer);
  // For what only reads: through a connection of its own, so that it waits for nobody who writes.
  [[nodiscard]] Reply read(const std::function<Reply(const store::Store&)>& answer);

  // Tells what another program wrote meanwhile, if anybody has asked for the store.
  void look();
  // False: there is no store.
  [[nodiscard]] bool keeps() const { return !path_.empty(); }
  // What damage is noted; then the store is only read.
  [[nodiscard]] std::optional<std::string> damage() const;

  static constexpr std::chrono::milliseconds patience{800};

 private:
  const std::string path_;
  Changes& changes_;
  std::timed_mutex writing_;
  std::optional<store::Store> writer_;
  std::mutex resting_;
  std::vector<store::Store> readers_;  // that nobody uses now
  std::atomic<bool> asked_for_ = false;
  std::mutex telling_;
  std::optional<std::int64_t> told_;  // id of the entry told last

  [[nodiscard]] files::Problems open_writer();
  [[nodiscard]] store::Result<store::Store> take_reader();
  void give_back(store::Store reader);
  void tell(const store::Store& store);
};

}  // namespace oddgrist::server

// The one store of a running server, opened when it is first asked for: a server nobody keeps anything with makes no file.
#pragma once

#include <functional>
#include <mutex>
#include <optional>
#include <string>

#include "server/exchange.hpp"
#include "store/store.hpp"

namespace oddgrist::server {

class Shelf {
 public:
  // Empty: there is no store, and whoever asks for it is told so.
  explicit Shelf(std::string path) : path_(std::move(path)) {}

  // One request at a time. A store that cannot be opened is tried again at the next request.
  [[nodiscard]] Reply with(const std::function<Reply(store::Store&)>& answer);

 private:
  const std::string path_;
  std::mutex mutex_;
  std::optional<store::Store> store_;
};

}  // namespace oddgrist::server

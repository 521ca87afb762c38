// The one store of a running server, opened when it is first asked for: a server nobody keeps anything with makes no file. Whatever is
// written into it, by this server or by another program, is told to who listens: topic "gyle" and its id, "larder", and so on.
#pragma once

#include <functional>
#include <mutex>
#include <optional>
#include <string>

#include "server/changes.hpp"
#include "server/exchange.hpp"
#include "store/store.hpp"

namespace oddgrist::server {

class Shelf {
 public:
  // Empty: there is no store, and whoever asks for it is told so.
  Shelf(std::string path, Changes& changes) : path_(std::move(path)), changes_(changes) {}

  // One request at a time. A store that cannot be opened is tried again at the next request.
  [[nodiscard]] Reply with(const std::function<Reply(store::Store&)>& answer);

  // Tells what another program wrote meanwhile, if the store is open.
  void look();

 private:
  const std::string path_;
  Changes& changes_;
  std::mutex mutex_;
  std::optional<store::Store> store_;
  std::int64_t told_ = 0;  // id of the entry told last

  void tell();
};

}  // namespace oddgrist::server

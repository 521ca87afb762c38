// Replies that take long and stay true until something is written: made once, however many ask for it at the same moment.
#pragma once

#include <cstdint>
#include <functional>
#include <future>
#include <list>
#include <mutex>
#include <string>

#include "server/exchange.hpp"

namespace oddgrist::server {

class OnceMade {
 public:
  explicit OnceMade(std::size_t most_kept) : most_kept_(most_kept) {}

  // What make() says of `name` as it is at `version`; a refusal is not kept. Whoever asks while another makes it waits for that one.
  [[nodiscard]] Reply reply(const std::string& name, std::int64_t version, const std::function<Reply()>& make);

 private:
  void forget(const std::string& name, std::int64_t version);
  struct Kept {
    std::string name;
    std::int64_t version = 0;
    std::shared_future<Reply> reply;
  };
  const std::size_t most_kept_;
  std::mutex mutex_;
  std::list<Kept> kept_;  // the one used last in front
};

}  // namespace oddgrist::server

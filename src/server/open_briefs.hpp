// Briefs that are being worked on, each under an id of the page's own, so that the next answer can start from the last.
#pragma once

#include <cstdint>
#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>

#include "compose/proposal.hpp"
#include "compose/warm.hpp"
#include "files/problem.hpp"

namespace oddgrist::server {

struct Answered {
  compose::Brief brief;
  compose::Answer answer;
  bool settled = true;  // false: only amounts were fitted to moved wishes; ask again with settle
};

class OpenBriefs {
 public:
  explicit OpenBriefs(std::size_t most_open) : most_open_(most_open) {}

  // The answer to a brief. One brief is solved at a time: the solver library keeps state of its own.
  [[nodiscard]] files::Result<std::shared_ptr<const Answered>> answer(std::string_view toml, const std::string& name);

  // The same for an open brief. Text that has not changed gets the answer it got. Where only ranges of wishes have moved, the amounts
  // of the last recipe are fitted to them in a few milliseconds; with `settle` everything is chosen anew.
  [[nodiscard]] files::Result<std::shared_ptr<const Answered>> answer_open(const std::string& id, std::string_view toml,
                                                                           bool settle);

  // Does something that composes, while no brief is solved.
  void alone(const std::function<void()>& work);

 private:
  struct Open {
    std::string id;
    std::string toml;
    std::shared_ptr<const Answered> answered;
    std::shared_ptr<compose::Warm> warm;  // used under solving_ only
  };
  [[nodiscard]] Open kept(const std::string& id);
  void keep(Open open);

  const std::size_t most_open_;
  std::mutex solving_;
  std::mutex mutex_;
  std::list<Open> open_;  // the one used last in front
};

}  // namespace oddgrist::server

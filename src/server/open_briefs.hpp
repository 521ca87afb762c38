// Briefs that are being worked on, each under an id of the page's own, so that the next answer can start from the last.
#pragma once

#include <cstdint>
#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>

#include "compose/alternatives.hpp"
#include "compose/proposal.hpp"
#include "compose/reasons.hpp"
#include "compose/warm.hpp"
#include "files/answer_json.hpp"
#include "files/problem.hpp"
#include "server/kit_lessons.hpp"

namespace oddgrist::server {

// What was found beside the first recipe, and why the first is as it is.
struct Beside {
  compose::Alternatives alternatives;
  compose::Reasons reasons;
};

struct Answered {
  compose::Brief brief;
  compose::Answer answer;
  bool settled = true;                   // false: only amounts were fitted to moved wishes; ask again with settle
  std::shared_ptr<const Beside> beside;  // null: other ways were not asked for
  // What was learned of the kit, and the kit as the brief states it; null: nothing was to be reckoned with.
  std::shared_ptr<const KitLesson> lesson;
  process::Kit stated;

  // The proposals as a brewer counts them: those of the answer, then the other ways.
  [[nodiscard]] std::size_t ways() const;
  // The answer with the proposal of that number (1 to ways()) alone, and its cautions.
  [[nodiscard]] compose::Answer only(std::size_t number) const;
};

// A brief that is asked about.
struct Asked {
  std::string id;                           // of the open brief, empty: it is none
  std::string toml;                         // its text
  std::shared_ptr<const KitLesson> lesson;  // reckon with what was learned of the kit; null: as it is stated
};

// The id of the open brief that a request's body names (8 to 64 characters); empty if it names none.
[[nodiscard]] std::string open_id_of(const files::Json& body);
// Which proposal it means, counted from 1: the first if it does not say. Nothing: it says something that is no whole number.
[[nodiscard]] std::optional<std::size_t> proposal_in(const files::Json& body);

class OpenBriefs {
 public:
  explicit OpenBriefs(std::size_t most_open) : most_open_(most_open) {}

  // The answer to a brief. One brief is solved at a time: the solver library keeps state of its own.
  [[nodiscard]] files::Result<std::shared_ptr<const Answered>> answer(const Asked& asked, const std::string& name);

  // The same for an open brief. Text that has not changed gets the answer it got. Where only ranges of wishes have moved, the amounts
  // of the last recipe are fitted to them in a few milliseconds; with `settle` everything is chosen anew.
  [[nodiscard]] files::Result<std::shared_ptr<const Answered>> answer_open(const Asked& asked, bool settle);

  // The settled answer to an open brief, with other ways to brew it. They are found once and kept until the text changes.
  [[nodiscard]] files::Result<std::shared_ptr<const Answered>> answer_beside(const Asked& asked);

  // What a numbered proposal is looked up in: the open brief of that id, with its other ways if they were asked for. An empty id is no
  // open brief.
  [[nodiscard]] files::Result<std::shared_ptr<const Answered>> answer_numbered(const Asked& asked);

  // Does something that composes, while no brief is solved.
  void alone(const std::function<void()>& work);

 private:
  struct Open {
    Asked asked;
    std::shared_ptr<const Answered> answered;
    std::shared_ptr<const Beside> beside;  // of what was asked
    std::shared_ptr<compose::Warm> warm;   // used under solving_ only
  };
  [[nodiscard]] Open kept(const std::string& id);
  void keep(Open open);
  void keep_beside(const Asked& asked, const std::shared_ptr<const Beside>& beside);

  const std::size_t most_open_;
  std::mutex solving_;
  std::mutex mutex_;
  std::list<Open> open_;  // the one used last in front
};

}  // namespace oddgrist::server

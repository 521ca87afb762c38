#include "server/open_briefs.hpp"

#include <algorithm>

#include "files/brief_file.hpp"

namespace oddgrist::server {
namespace {

// Of what stands in [want], only wishes may differ.
bool same_frame(const compose::Brief& one, const compose::Brief& other) {
  return one.name == other.name && one.most_malts == other.most_malts && one.most_hops == other.most_hops &&
         one.rest_low == other.rest_low && one.rest_high == other.rest_high && one.ferment_at == other.ferment_at &&
         one.carbonation_volumes == other.carbonation_volumes && one.us_units_first == other.us_units_first;
}

// Two briefs that differ in nothing but what stands in [want]: the lines outside of it are the same.
bool same_but_for_ranges(std::string_view one, std::string_view other) {
  const auto outside = [](std::string_view text) {
    const std::size_t from = text.find("[want]");
    if (from == std::string_view::npos) return std::string(text);
    const std::size_t to = text.find("\n[", from);
    return std::string(text.substr(0, from)) + std::string(to == std::string_view::npos ? "" : text.substr(to));
  };
  return outside(one) == outside(other);
}

constexpr int most_other_ways = 3;

// The same text on the kit as it is known by the same gyles.
bool same(const Asked& one, const Asked& other) { return one.lesson == other.lesson && one.toml == other.toml; }

compose::Brief as_known(compose::Brief brief, const Asked& asked) {
  return asked.lesson == nullptr ? brief : taught(std::move(brief), *asked.lesson);
}

std::shared_ptr<Answered> unanswered(const Asked& asked, const compose::Brief& brief) {
  auto answered = std::make_shared<Answered>();
  answered->lesson = asked.lesson;
  answered->stated = brief.kit;
  return answered;
}

std::shared_ptr<const Answered> with_beside(const Answered& answered, const std::shared_ptr<const Beside>& beside) {
  auto both = std::make_shared<Answered>(answered);
  both->beside = beside;
  return both;
}

}  // namespace

std::size_t Answered::ways() const {
  return answer.proposals.size() + (beside == nullptr ? 0 : beside->alternatives.others.size());
}

compose::Answer Answered::only(std::size_t number) const {
  compose::Answer one = answer;
  if (number <= answer.proposals.size()) {
    one.proposals = {answer.proposals[number - 1]};
    return one;
  }
  const compose::Alternative& other = beside->alternatives.others[number - 1 - answer.proposals.size()];
  one.proposals = {other.proposal};
  one.cautions = other.cautions;
  return one;
}

std::string open_id_of(const files::Json& body) {
  if (!body.contains("id") || !body["id"].is_string()) return {};
  const auto& id = body["id"].get_ref<const std::string&>();
  return id.size() >= 8 && id.size() <= 64 ? id : std::string();
}

std::optional<std::size_t> proposal_in(const files::Json& body) {
  if (!body.contains("proposal")) return 1;
  const files::Json& number = body["proposal"];
  if (!number.is_number_unsigned()) return std::nullopt;
  return number.get<std::size_t>();
}

files::Result<std::shared_ptr<const Answered>> OpenBriefs::answer(const Asked& asked, const std::string& name) {
  auto brief = files::read_brief_text(asked.toml, name);
  if (!brief) return brief.problems();
  auto answered = unanswered(asked, brief.value());
  answered->brief = as_known(std::move(brief.value()), asked);
  const std::lock_guard one_at_a_time(solving_);
  answered->answer = compose::compose(answered->brief);
  return std::shared_ptr<const Answered>(std::move(answered));
}

files::Result<std::shared_ptr<const Answered>> OpenBriefs::answer_open(const Asked& asked, bool settle) {
  Open open = kept(asked.id);
  if (open.answered && same(open.asked, asked) && (open.answered->settled || !settle)) return open.answered;
  auto brief = files::read_brief_text(asked.toml, "brief");
  if (!brief) return brief.problems();
  const bool only_ranges = !settle && open.warm != nullptr && open.asked.lesson == asked.lesson &&
                           same_but_for_ranges(open.asked.toml, asked.toml) &&
                           same_frame(brief.value(), open.warm->brief());
  auto answered = unanswered(asked, brief.value());
  {
    const std::lock_guard one_at_a_time(solving_);
    if (only_ranges)
      open.warm->nudge(brief.value().wishes);
    else
      open.warm = std::make_shared<compose::Warm>(as_known(std::move(brief.value()), asked));
    answered->brief = open.warm->brief();
    answered->answer = open.warm->answer();
    answered->settled = open.warm->settled();
  }
  open.asked = asked;
  open.answered = answered;
  open.beside = nullptr;
  keep(open);
  return std::shared_ptr<const Answered>(std::move(answered));
}

files::Result<std::shared_ptr<const Answered>> OpenBriefs::answer_beside(const Asked& asked) {
  auto numbered = answer_numbered(asked);
  if (!numbered || numbered.value()->beside != nullptr) return numbered;
  const Answered& answered = *numbered.value();
  if (answered.answer.outcome == compose::Outcome::refused || answered.answer.proposals.empty()) return numbered;
  const auto beside = std::make_shared<Beside>();
  // Two turns, so that somebody who moves a wish meanwhile does not wait for both.
  alone([&] {
    beside->alternatives = compose::alternatives_of(answered.brief, answered.answer, {.most = most_other_ways});
  });
  alone([&] { beside->reasons = compose::reasons_of(answered.brief, answered.answer.proposals.front()); });
  keep_beside(asked, beside);
  return with_beside(answered, beside);
}

files::Result<std::shared_ptr<const Answered>> OpenBriefs::answer_numbered(const Asked& asked) {
  if (asked.id.empty()) return answer(asked, "brief");
  auto answered = answer_open(asked, true);
  if (!answered) return answered;
  const Open open = kept(asked.id);
  if (open.beside == nullptr || !same(open.asked, asked)) return answered;
  return with_beside(*answered.value(), open.beside);
}

void OpenBriefs::alone(const std::function<void()>& work) {
  const std::lock_guard one_at_a_time(solving_);
  work();
}

OpenBriefs::Open OpenBriefs::kept(const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(open_.begin(), open_.end(), [&](const Open& open) { return open.asked.id == id; });
  if (found == open_.end()) return {};
  open_.splice(open_.begin(), open_, found);
  return *found;
}

void OpenBriefs::keep(Open open) {
  const std::lock_guard lock(mutex_);
  std::erase_if(open_, [&](const Open& other) { return other.asked.id == open.asked.id; });
  open_.push_front(std::move(open));
  if (open_.size() > most_open_) open_.pop_back();
}

void OpenBriefs::keep_beside(const Asked& asked, const std::shared_ptr<const Beside>& beside) {
  const std::lock_guard lock(mutex_);
  for (Open& open : open_)
    if (open.asked.id == asked.id && same(open.asked, asked))
      open.beside = beside;  // otherwise it has changed meanwhile
}

}  // namespace oddgrist::server

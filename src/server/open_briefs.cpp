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

}  // namespace

files::Result<std::shared_ptr<const Answered>> OpenBriefs::answer(std::string_view toml, const std::string& name) {
  auto read = files::read_brief_text(toml, name);
  if (!read) return read.problems();
  auto answered = std::make_shared<Answered>();
  answered->brief = std::move(read.value());
  const std::lock_guard one_at_a_time(solving_);
  answered->answer = compose::compose(answered->brief);
  return std::shared_ptr<const Answered>(std::move(answered));
}

files::Result<std::shared_ptr<const Answered>> OpenBriefs::answer_open(const std::string& id, std::string_view toml,
                                                                       bool settle) {
  Open open = kept(id);
  if (open.answered && open.toml == toml && (open.answered->settled || !settle)) return open.answered;
  auto read = files::read_brief_text(toml, "brief");
  if (!read) return read.problems();
  const bool only_ranges = !settle && open.warm != nullptr && same_but_for_ranges(open.toml, toml) &&
                           same_frame(read.value(), open.warm->brief());
  auto answered = std::make_shared<Answered>();
  {
    const std::lock_guard one_at_a_time(solving_);
    if (only_ranges)
      open.warm->nudge(read.value().wishes);
    else
      open.warm = std::make_shared<compose::Warm>(std::move(read.value()));
    answered->brief = open.warm->brief();
    answered->answer = open.warm->answer();
    answered->settled = open.warm->settled();
  }
  open.id = id;
  open.toml = toml;
  open.answered = answered;
  keep(open);
  return std::shared_ptr<const Answered>(std::move(answered));
}

void OpenBriefs::alone(const std::function<void()>& work) {
  const std::lock_guard one_at_a_time(solving_);
  work();
}

OpenBriefs::Open OpenBriefs::kept(const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(open_.begin(), open_.end(), [&](const Open& open) { return open.id == id; });
  if (found == open_.end()) return {};
  open_.splice(open_.begin(), open_, found);
  return *found;
}

void OpenBriefs::keep(Open open) {
  const std::lock_guard lock(mutex_);
  std::erase_if(open_, [&](const Open& other) { return other.id == open.id; });
  open_.push_front(std::move(open));
  if (open_.size() > most_open_) open_.pop_back();
}

}  // namespace oddgrist::server

#include "server/open_briefs.hpp"

#include <algorithm>

#include "files/brief_file.hpp"

namespace oddgrist::server {

files::Result<std::shared_ptr<const Answered>> OpenBriefs::answer(std::string_view toml, const std::string& name) {
  auto read = files::read_brief_text(toml, name);
  if (!read) return read.problems();
  auto answered = std::make_shared<Answered>();
  answered->brief = std::move(read.value());
  const std::lock_guard one_at_a_time(solving_);
  answered->answer = compose::compose(answered->brief);
  return std::shared_ptr<const Answered>(std::move(answered));
}

files::Result<std::shared_ptr<const Answered>> OpenBriefs::answer_open(const std::string& id, std::string_view toml) {
  if (auto before = kept(id, toml)) return before;
  auto result = answer(toml, "brief");
  if (result) keep(id, toml, result.value());
  return result;
}

std::shared_ptr<const Answered> OpenBriefs::kept(const std::string& id, std::string_view toml) {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(open_.begin(), open_.end(), [&](const Open& open) { return open.id == id; });
  if (found == open_.end() || found->toml != toml) return nullptr;
  open_.splice(open_.begin(), open_, found);
  return found->answered;
}

void OpenBriefs::keep(const std::string& id, std::string_view toml, std::shared_ptr<const Answered> answered) {
  const std::lock_guard lock(mutex_);
  std::erase_if(open_, [&](const Open& open) { return open.id == id; });
  open_.push_front({id, std::string(toml), std::move(answered)});
  if (open_.size() > most_open_) open_.pop_back();
}

}  // namespace oddgrist::server

#include "server/kit_lessons.hpp"

#include <algorithm>

namespace oddgrist::server {
namespace {

// The entries after `seen` change nothing of what the gyles before `until` say. `seen` moves on as far as that is so.
store::Result<bool> still_so(const store::Store& store, const std::string& until, std::int64_t& seen) {
  for (;;) {
    const auto written = store.changes_since(seen);
    if (!written) return written.problems();
    if (written.value().empty()) return true;
    for (const store::Logged& entry : written.value()) {
      const std::string& stream = entry.line.stream;
      if (stream.starts_with("gyle/") && (until.empty() || stream != "gyle/" + until)) return false;
      seen = entry.id;
    }
  }
}

}  // namespace

store::Result<std::shared_ptr<const KitLesson>> KitLessons::of(const store::Store& store, const std::string& kit,
                                                               const std::string& until) {
  const std::lock_guard one_at_a_time(learning_);
  const auto known = std::find_if(kept_.begin(), kept_.end(),
                                  [&](const Kept& kept) { return kept.kit == kit && kept.until == until; });
  if (known != kept_.end()) {
    const auto same = still_so(store, until, known->seen);
    if (!same) return same.problems();
    kept_.splice(kept_.begin(), kept_, known);
    if (same.value()) return known->lesson;
    kept_.pop_front();
  }
  const auto last = store.last_id();
  if (!last) return last.problems();
  auto learned = store::known_kit(store, kit, until);
  if (!learned) return learned.problems();
  const auto lesson = std::make_shared<const KitLesson>(KitLesson{last.value(), std::move(learned.value())});
  kept_.push_front({kit, until, last.value(), lesson});
  if (kept_.size() > most_kept) kept_.pop_back();
  return lesson;
}

compose::Brief taught(compose::Brief brief, const KitLesson& lesson) {
  return gyle::with_learned(std::move(brief), lesson.kit.knowledge);
}

std::vector<gyle::LearnedFigure> taught_figures(const KitLesson& lesson, const process::Kit& stated) {
  gyle::KitKnowledge knowledge = lesson.kit.knowledge;
  gyle::restate(knowledge, stated);
  std::vector<gyle::LearnedFigure> figures = gyle::figures_of(knowledge);
  std::erase_if(figures, [](const gyle::LearnedFigure& each) { return each.gyles == 0 || !each.reckoned_with; });
  return figures;
}

}  // namespace oddgrist::server

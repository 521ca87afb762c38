// What the gyles in the store have taught about a kit: learned once, and kept until another of them is written on.
#pragma once

#include <cstdint>
#include <list>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "store/known_kit.hpp"

namespace oddgrist::server {

struct KitLesson {
  std::int64_t learned_at = 0;  // the last entry of the store then
  store::KnownKit kit;
};

class KitLessons {
 public:
  // `until`: a gyle; only those begun before it count. One request at a time.
  [[nodiscard]] store::Result<std::shared_ptr<const KitLesson>> of(const store::Store& store, const std::string& kit,
                                                                   const std::string& until = {});

 private:
  std::mutex learning_;
  struct Kept {
    std::string kit, until;
    std::int64_t seen = 0;  // up to this entry nothing was written that would teach anything else
    std::shared_ptr<const KitLesson> lesson;
  };
  static constexpr std::size_t most_kept = 32;
  std::list<Kept> kept_;  // the one used last in front
};

// The brief on the kit as it was learned.
[[nodiscard]] compose::Brief taught(compose::Brief brief, const KitLesson& lesson);
// What of it was reckoned with, on the kit as the brief states it.
[[nodiscard]] std::vector<gyle::LearnedFigure> taught_figures(const KitLesson& lesson, const process::Kit& stated);

}  // namespace oddgrist::server

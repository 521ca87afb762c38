// Why a fermentation stands as it does, in a brewer's words.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "gyle/watch.hpp"

namespace oddgrist::gyle {

struct WatchGrounds {
  const process::FermentationCourse& course;
  const compose::Proposal& proposal;
  std::span<const TimedReading> readings;
  const WatchFacts& facts;
};

// Reads the figures of the watch, the gravest reason first.
[[nodiscard]] std::vector<std::string> watch_reasons(const WatchGrounds& grounds, const Watch& watch);

}  // namespace oddgrist::gyle

// Whether a fermenting beer may be closed up.
#pragma once

#include <span>

#include "gyle/watch.hpp"
#include "gyle/watch_fit.hpp"

namespace oddgrist::gyle {

// What of the brew matters for that.
struct ClosingUp {
  const process::FermentationCourse& course;
  double carbonation_volumes = 2.4;
  bool long_wait = false;  // dextrins or late sugar may still ferment
  std::string long_wait_why;
  bool dose_to_come = false;
};

// Reads chances, gravities and questions of the watch.
[[nodiscard]] Bottling bottling_of(const FermentScene& scene, std::span<const FermentDraw> draws, const Watch& watch,
                                   const WatchFacts& facts, const ClosingUp& closing);

}  // namespace oddgrist::gyle

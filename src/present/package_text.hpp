// Bottle, keg and label in words. 80 columns.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "process/package.hpp"

namespace oddgrist::present {

// What `carbonate` found out; parts that could not be reckoned stay empty.
struct Package {
  std::string beer_name;  // may be empty
  bool us_units_first = false;
  double beer_l = 0.0;
  double wanted_volumes = 0.0;
  double residual_volumes = 0.0;
  double gravity_points_left = 0.0;  // still to ferment when it is closed, thousandths
  double altitude_m = 0.0;
  std::vector<process::PrimingDose> priming;
  std::vector<double> bottles_l;  // sizes to say things for; the first is the one in `fill`
  process::BottleFill fill;
  process::BottleForecast bottle;
  std::optional<process::RatingVerdict> stated;  // against the rating that was given
  std::optional<process::PackagedFacts> facts;
  bool sugars_known = false;
  std::optional<process::Forcing> forcing;
  std::optional<process::ForcedCourse> forced;
};

// Why this must not be closed or put under pressure; empty: nothing speaks against it.
[[nodiscard]] std::vector<std::string> package_refusals(const Package& package);

// A refused package gets its reasons and the pressures, but neither sugar nor schedule.
[[nodiscard]] std::string package_text(const Package& package);

}  // namespace oddgrist::present

// Before a parcel is handed on: can it become a beer at all, in this kit, with what is in the house? Asked of compose() with wishes so
// broad that any drinkable beer meets them.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "compose/proposal.hpp"
#include "round/round.hpp"

namespace oddgrist::round {

enum class Verdict {
  sound,
  nearly,      // the nearest beer misses a wish; the clashes say which
  beyond_kit,  // this kit cannot do it: even the nearest beer is far from drinkable
  refused,     // a hazard: nobody may brew with it
};

struct Finding {
  Verdict verdict = Verdict::sound;
  std::vector<std::string> reasons;  // empty if sound
  // Of the beer found; 0 if refused.
  double volume_l = 0.0, abv_percent = 0.0, bitterness_ibu = 0.0, final_gravity_sg = 0.0;
};

// Members whose kit is alike and who use the same of the pantry: a parcel means the same for each of them.
struct Household {
  std::vector<std::size_t> members;
};

struct ParcelReport {
  std::vector<Household> households;
  std::vector<std::size_t> household_of;                     // by member
  std::vector<std::vector<std::optional<Finding>>> finding;  // [giver][household]; none: only the giver lives there
};

using Progress = std::function<void(std::size_t done, std::size_t all)>;

// Many recipes are sought: seconds for a handful of members. `progress` is called before each, and at the end.
[[nodiscard]] ParcelReport check_parcels(const Round& round, const Progress& progress = {});

// What a member with this household's first member's kit and pantry would ask compose() of the giver's parcel.
[[nodiscard]] compose::Brief brief_for(const Round& round, std::size_t giver, std::size_t brewer);

[[nodiscard]] std::vector<Household> households_of(const Round& round);

}  // namespace oddgrist::round

// Who may not get whose parcel, and why.
#pragma once

#include <string>
#include <vector>

#include "round/parcel_check.hpp"
#include "round/round.hpp"

namespace oddgrist::round {

using Grid = std::vector<std::vector<bool>>;  // [brewer][giver]

enum class BarKind {
  own_parcel,
  drawn_before,  // this season
  not_sound,     // makes a beer only nearly, and the round asks for sound ones
  beyond_kit,    // the brewer's kit cannot brew it
  allergen,
  unsafe,  // nobody may brew with it
};

struct Bar {
  BarKind kind = BarKind::own_parcel;
  std::string detail;  // which allergen, which draw, what is wrong
};

struct BarTable {
  std::vector<std::vector<std::vector<Bar>>> of;  // [brewer][giver]: every bar, none if the pair is open
};

[[nodiscard]] BarTable bars_of(const Round& round, const ParcelReport& report);
[[nodiscard]] Grid open_pairs(const BarTable& bars);

// Allergens of everything in a parcel, each once.
[[nodiscard]] std::vector<larder::Allergen> allergens_of(const std::vector<compose::Supply>& parcel);

}  // namespace oddgrist::round

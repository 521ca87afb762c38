// A recipe as plain data: what goes in, when and how much. What a proposal can be stored as and made from again
// (proposal_of in proposal.hpp).
#pragma once

#include <string>
#include <vector>

namespace oddgrist::compose {

struct Recipe {
  // Where a thing goes in. `kettle` carries its minutes before the end of the boil.
  enum class Into { mash_liquor, grist, sparge_liquor, top_up, kettle, flame_out, fermenter, infusion };
  struct Amount {
    std::string what;  // id of the ingredient; for water "water" and, if the brief names its waters, ":" and the name
    Into into = Into::grist;
    double minutes_before_boil_end = 0.0;
    double kg = 0.0;
    friend bool operator==(const Amount&, const Amount&) = default;
  };
  std::vector<Amount> amounts;
  std::string yeast;  // id; empty: none
  double yeast_kg = 0.0;
  double rest_temperature_c = 66.0;
  friend bool operator==(const Recipe&, const Recipe&) = default;
};

}  // namespace oddgrist::compose

// Briefs for tests, built from the catalogue.
#pragma once

#include <stdexcept>
#include <string>

#include "compose/proposal.hpp"
#include "larder/catalogue.hpp"

namespace oddgrist::compose::sample {

inline Supply of(const std::string& name, std::optional<Mass> amount = std::nullopt) {
  const larder::Ingredient* found = larder::catalogue().find(name);
  if (found == nullptr) throw std::runtime_error("no catalogue row " + name);
  Supply supply;
  supply.ingredient = *found;
  supply.amount = amount;
  return supply;
}

inline Supply all_of(const std::string& name, Mass amount) {
  Supply supply = of(name, amount);
  supply.must = Must{Must::Sense::all, amount, amount};
  return supply;
}

// The autumn swap: smoked wheat malt and home-dried hops to be used up, ordinary malts in the house.
inline Brief harvest() {
  Brief brief;
  brief.name = "harvest amber";
  brief.given = {all_of("smoked wheat malt", 350.0 * gram), all_of("home-dried hops", 45.0 * gram)};
  brief.have = {of("pale ale malt", 5.0 * kilogram),       of("light Munich malt", 1.0 * kilogram),
                of("medium crystal malt", 0.5 * kilogram), of("wheat malt", 1.0 * kilogram),
                of("chocolate malt", 0.2 * kilogram),      of("Northern Brewer", 50.0 * gram),
                of("neutral ale yeast", 11.5 * gram)};
  brief.wishes = {{Measure::volume, 9.8, 10.2, 1.0, {}},
                  {Measure::alcohol, 5.8, 6.2, 1.0, {}},
                  {Measure::bitterness, 25.0, 32.0, 1.0, {}},
                  {Measure::colour, 20.0, 30.0, 1.0, {}},
                  {Measure::final_gravity, 1.010, 1.016, 1.0, {}}};
  brief.most_hops = 2;
  return brief;
}

}  // namespace oddgrist::compose::sample

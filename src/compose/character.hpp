// What a beer is like, sketched from what the forecast says is in it: four axes, and a fifth for the oddments. Aroma is not on it:
// nobody publishes what a litre smells of.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "compose/proposal.hpp"

namespace oddgrist::compose {

enum class Axis { strength, body, colour, bitterness, oddment };

// Where a beer stands on one axis.
struct Trait {
  Axis axis = Axis::strength;
  double value = 0.0;  // in the axis's unit
  double steps = 0.0;  // the same counted in steps a drinker tells apart side by side, from the low end of the axis
  double share = 0.0;  // 0 at the low end, 1 at the high end of what beers usually are; cut off there
  std::string_view word;
};

// What an axis is called, and what it measures.
struct AxisWords {
  std::string_view name, low_end, high_end, unit;
  std::string_view made_of;  // what the value is
  std::string_view source;   // of the words and steps
};
AxisWords axis_words(Axis axis);

struct Character {
  std::vector<Trait> traits;  // in the order of Axis; no oddment where there is none
  std::vector<std::string>
      tastes;  // what else can be tasted or seen of an oddment: "salt of salted lemon paste, a hint"
};

// Empty for a proposal without a plan.
[[nodiscard]] Character character_of(const Brief& brief, const Proposal& proposal);

// The axes alone, from a forecast with its trace and the mass of oddments in it; `oddment_word` may be empty.
[[nodiscard]] std::vector<Trait> traits_of(const process::Forecast<double>& forecast, double oddment_kg,
                                           std::string_view oddment_word);

// How far apart two beers taste and look: the root of the summed squares of the steps between them.
[[nodiscard]] double steps_between(const std::vector<Trait>& one, const std::vector<Trait>& other);

// "amber, full, balanced, middling in strength; oddment faint"
[[nodiscard]] std::string character_words(const Character& character);

}  // namespace oddgrist::compose

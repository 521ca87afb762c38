// Afterwards: what the tasting said against what was meant and what the beer really had, and the brief to brew it by next time.
#pragma once

#include <string>
#include <vector>

#include "gyle/condition.hpp"

namespace oddgrist::gyle {

enum class Aspect { bitterness, strength, body, colour, gas, oddment };

// One complaint of a taster: too much or too little of something.
struct Tasted {
  Aspect aspect = Aspect::bitterness;
  bool too_much = false;
  std::string words;  // the part of the note it was read from
};

// What a note complains of, by its plain phrases ("too bitter", "rather thin", "flat"); a phrase after "not" does not count.
[[nodiscard]] std::vector<Tasted> tasted_in(const std::string& note);

struct Lesson {
  std::string what;  // "bitterness 21 to 27 IBU instead of 25 to 32 IBU"
  std::string why;
  bool changes_brief = true;
};

struct NextTime {
  compose::Brief brief;
  std::vector<Lesson> lessons;
};

// Notes against intent. Where the beer missed its wish in the very way the taster minds, the wish stands: the miss is what to mend.
// The kit takes the figures the readings taught.
[[nodiscard]] NextTime next_time(const compose::Brief& brief, const Standing& standing);

}  // namespace oddgrist::gyle

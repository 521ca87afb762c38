#include "compose/character.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include <fmt/format.h>

#include "compose/restraint.hpp"
#include "science/foam.hpp"

namespace oddgrist::compose {
namespace {

constexpr std::string_view practice = "common practice, no source";

// Up to this value the word holds.
struct Word {
  double below;
  std::string_view word;
};

// One step and both ends in the unit of the axis; a logarithmic axis has its step as a ratio.
struct Ruler {
  double low, high, step;
  bool logarithmic;
  std::span<const Word> words;
};

// All bounds and steps: common practice, no source. A step is what a careful drinker tells apart with two glasses side by side.
constexpr Word strength_words[] = {{1.2, "slight"},   {3.0, "very light"}, {4.3, "light"},
                                   {6.5, "middling"}, {8.5, "strong"},     {1e9, "very strong"}};
constexpr Word body_words[] = {{30.0, "very dry"}, {40.0, "dry"}, {52.0, "medium"}, {66.0, "full"}, {1e9, "heavy"}};
constexpr Word colour_words[] = {{6.0, "straw"},  {12.0, "golden"},     {20.0, "deep gold"}, {32.0, "amber"},
                                 {50.0, "brown"}, {75.0, "dark brown"}, {1e9, "black"}};
constexpr Word bitterness_words[] = {
    {0.25, "very soft"}, {0.42, "soft"}, {0.62, "balanced"}, {0.90, "bitter"}, {1e9, "very bitter"}};

Ruler ruler_of(Axis axis) {
  switch (axis) {
    case Axis::strength: return {0.0, 10.0, 0.7, false, strength_words};
    case Axis::body: return {15.0, 95.0, 8.0, false, body_words};
    case Axis::colour: return {4.0, 100.0, 1.4, true, colour_words};
    case Axis::bitterness: return {0.0, 1.2, 0.14, false, bitterness_words};
    case Axis::oddment: return {0.3, 40.0, 2.0, true, {}};
  }
  return {0.0, 1.0, 1.0, false, {}};
}

Trait trait(Axis axis, double value, std::string_view word = {}) {
  const Ruler ruler = ruler_of(axis);
  const auto along = [&](double at) {
    return ruler.logarithmic ? std::log(std::max(at, 0.1 * ruler.low) / ruler.low) / std::log(ruler.step)
                             : (at - ruler.low) / ruler.step;
  };
  Trait made{axis, value, along(value), 0.0, word};
  made.share = std::clamp(made.steps / along(ruler.high), 0.0, 1.0);
  for (const Word& each : ruler.words) {
    if (value < each.below) {
      made.word = each.word;
      break;
    }
  }
  return made;
}

double oddments_kg(const Proposal& proposal) {
  double kg = 0.0;
  for (const Addition& addition : proposal.additions) {
    if (addition.kind == larder::IngredientKind::food) kg += addition.amount.in(kilogram);
  }
  return kg;
}

// How loud the loudest of what can be tasted is. Fat is not tasted, it is seen on the head.
Loudness loudest(const std::vector<Oddment>& oddments) {
  Loudness loudness = Loudness::below;
  for (const Oddment& oddment : oddments) {
    for (const Carried& carried : oddment.carried) {
      if (carried.what != Carried::What::fat) loudness = std::max(loudness, carried.loudness);
    }
  }
  return loudness;
}

std::vector<std::string> tastes_of(const std::vector<Oddment>& oddments, double fat_mg_per_l) {
  std::vector<std::string> tastes;
  for (const Oddment& oddment : oddments) {
    for (const Carried& carried : oddment.carried) {
      if (carried.what == Carried::What::fat || carried.loudness == Loudness::below) continue;
      tastes.push_back(fmt::format("{} of {}, {}{}", carried_name(carried.what), oddment.ingredient,
                                   carried.loudness == Loudness::hint ? "a " : "", loudness_name(carried.loudness)));
    }
  }
  const auto head = science::head_verdict(fat_mg_per_l);
  if (head != science::HeadVerdict::unharmed) tastes.emplace_back(science::head_words(head));
  return tastes;
}

}  // namespace

AxisWords axis_words(Axis axis) {
  switch (axis) {
    case Axis::strength: return {"strength", "light", "strong", "% vol", "alcohol by volume", practice};
    case Axis::body:
      return {"body", "dry", "full", "g/L", "what is left of the extract in the packaged beer", practice};
    case Axis::colour: return {"colour", "pale", "dark", "EBC", "colour", practice};
    case Axis::bitterness:
      return {
          "bitterness",
          "soft",
          "bitter",
          "IBU a point",
          "bitterness for each thousandth of original gravity above 1",
          "the ratio: R. Daniels, Designing Great Beers, 1996 (from memory); the words: common practice, no source"};
    case Axis::oddment:
      return {"oddment",
              "faint",
              "loud",
              "g/L",
              "food put in for each litre packaged",
              "the word: what it brings against taste thresholds (science of senses); the steps: common practice, no "
              "source"};
  }
  return {};
}

std::vector<Trait> traits_of(const process::Forecast<double>& forecast, double oddment_kg,
                             std::string_view oddment_word) {
  if (forecast.trace.empty()) return {};
  const process::Mixture<double>& beer = forecast.trace.back().after;
  const double litres = process::liquid_volume_l(beer, 20.0);
  const double points = 1000.0 * (forecast.original_gravity_sg - 1.0);
  const auto ratio_or_none = [](double over, double under) { return under > 1e-9 ? over / under : 0.0; };
  std::vector<Trait> traits = {trait(Axis::strength, forecast.abv_percent),
                               trait(Axis::body, 1000.0 * ratio_or_none(process::extract_kg(beer), litres)),
                               trait(Axis::colour, forecast.colour_ebc),
                               trait(Axis::bitterness, ratio_or_none(forecast.bitterness_ibu, points))};
  if (oddment_kg > 0.0)
    traits.push_back(
        trait(Axis::oddment, 1000.0 * ratio_or_none(oddment_kg, forecast.packaged_volume_l), oddment_word));
  return traits;
}

Character character_of(const Brief& brief, const Proposal& proposal) {
  Character character;
  if (proposal.plan.steps.empty() || proposal.forecast.trace.empty()) return character;
  const std::vector<Oddment> oddments = oddments_of(brief, proposal);
  const Loudness loudness = loudest(oddments);
  character.traits = traits_of(proposal.forecast, oddments_kg(proposal),
                               loudness == Loudness::below ? "faint" : loudness_name(loudness));
  character.tastes = tastes_of(oddments, proposal.forecast.fat_mg_per_l);
  return character;
}

double steps_between(const std::vector<Trait>& one, const std::vector<Trait>& other) {
  // An oddment that only one of them has stands at the low end of its axis in the other.
  const auto at = [](const std::vector<Trait>& traits, Axis axis) {
    const auto found = std::find_if(traits.begin(), traits.end(), [&](const Trait& t) { return t.axis == axis; });
    return found == traits.end() ? 0.0 : found->steps;
  };
  double sum = 0.0;
  for (Axis axis : {Axis::strength, Axis::body, Axis::colour, Axis::bitterness, Axis::oddment}) {
    const double apart = at(one, axis) - at(other, axis);
    sum += apart * apart;
  }
  return std::sqrt(sum);
}

std::string character_words(const Character& character) {
  std::string words;
  for (Axis axis : {Axis::colour, Axis::body, Axis::bitterness, Axis::strength, Axis::oddment}) {
    for (const Trait& trait : character.traits) {
      if (trait.axis != axis || trait.word.empty()) continue;
      if (!words.empty()) words += axis == Axis::oddment ? "; " : ", ";
      if (axis == Axis::oddment) words += "oddment ";
      words += trait.word;
      if (axis == Axis::strength) words += " in strength";
    }
  }
  for (const std::string& taste : character.tastes) words += "; " + taste;
  return words;
}

}  // namespace oddgrist::compose

#include "gyle/lesson.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <string_view>

#include <fmt/format.h>

namespace oddgrist::gyle {
namespace {

using compose::Measure;

struct Phrase {
  std::string_view words;
  Aspect aspect;
  bool too_much;
};
constexpr std::array phrases = std::to_array<Phrase>({
    {"too bitter", Aspect::bitterness, true},
    {"harshly bitter", Aspect::bitterness, true},
    {"not bitter enough", Aspect::bitterness, false},
    {"lacks bitterness", Aspect::bitterness, false},
    {"too strong", Aspect::strength, true},
    {"boozy", Aspect::strength, true},
    {"too weak", Aspect::strength, false},
    {"not strong enough", Aspect::strength, false},
    {"too thick", Aspect::body, true},
    {"too sweet", Aspect::body, true},
    {"cloying", Aspect::body, true},
    {"thin", Aspect::body, false},
    {"watery", Aspect::body, false},
    {"too dry", Aspect::body, false},
    {"too dark", Aspect::colour, true},
    {"too pale", Aspect::colour, false},
    {"too fizzy", Aspect::gas, true},
    {"gushed", Aspect::gas, true},
    {"flat", Aspect::gas, false},
    {"not fizzy enough", Aspect::gas, false},
    {"too much of the oddment", Aspect::oddment, true},
    {"overpowering", Aspect::oddment, true},
    {"hardly tasted", Aspect::oddment, false},
    {"cannot taste", Aspect::oddment, false},
});

bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }

// "not too bitter", "isn't thin": the word before turns the phrase round.
bool is_denied(std::string_view text, std::size_t at) {
  while (at > 0 && !is_letter(text[at - 1])) --at;
  const std::string_view before = text.substr(0, at);
  return before.ends_with("not") || before.ends_with("n't") || before.ends_with("never") ||
         before.ends_with("no longer");
}

std::optional<Measure> measure_of(Aspect aspect) {
  switch (aspect) {
    case Aspect::bitterness: return Measure::bitterness;
    case Aspect::strength: return Measure::alcohol;
    case Aspect::body: return Measure::final_gravity;
    case Aspect::colour: return Measure::colour;
    case Aspect::gas:
    case Aspect::oddment: return std::nullopt;
  }
  return std::nullopt;
}

Told told_of(Measure measure) {
  switch (measure) {
    case Measure::alcohol: return Told::alcohol;
    case Measure::final_gravity: return Told::final_gravity;
    case Measure::colour: return Told::colour;
    default: return Told::bitterness;
  }
}

// How far a taster's "too" is taken to reach. Common practice, no source.
double step_of(Measure measure, double had) {
  switch (measure) {
    case Measure::final_gravity: return 0.003;
    case Measure::alcohol: return 0.12 * had;
    case Measure::colour: return 0.2 * had;
    default: return 0.15 * had;
  }
}
constexpr double gas_step_volumes = 0.3, oddment_factor = 1.4;

std::string range_words(Measure measure, double low, double high) {
  return fmt::format("{} to {}", compose::measure_words(measure, low), compose::measure_words(measure, high));
}

class Lessons {
 public:
  Lessons(const compose::Brief& brief, const Standing& standing) : standing_(standing) { next_.brief = brief; }

  void taste(const Tasted& tasted) {
    if (tasted.aspect == Aspect::gas) return gas(tasted);
    if (tasted.aspect == Aspect::oddment) return oddment(tasted);
    const Measure measure = *measure_of(tasted.aspect);
    const double had = standing_.now[static_cast<std::size_t>(told_of(measure))].value;
    for (compose::Wish& wish : next_.brief.wishes) {
      if (wish.measure == measure) return shift(wish, tasted, had);
    }
    say(fmt::format("state a wish for {}; the beer had {}", measure_name(measure),
                    compose::measure_words(measure, had)),
        because(tasted), false);
  }

  void kit() {
    const Brewing brewing = brewing_of(next_.brief, standing_.state);
    const KitBelief kit = kit_belief_of(brewing, standing_.belief);
    for (std::size_t i = 0; i < kit.topics.size(); ++i) {
      const auto k = static_cast<Eigen::Index>(i);
      const double learned = std::sqrt(kit.covariance(k, k)), off = std::abs(kit.mean[k] - kit.usual[k]);
      constexpr double worth_saying = 0.5;  // deviations of what was thought before
      if (off < worth_saying * kit.prior_deviation[k] || off < learned) continue;
      put(kit.topics[i], kit.names[i], kit.usual[k], kit.mean[k]);
    }
  }

  NextTime take() { return std::move(next_); }

 private:
  static std::string because(const Tasted& tasted) { return fmt::format("the tasting says \"{}\"", tasted.words); }
  void say(std::string what, std::string why, bool changes) {
    next_.lessons.push_back({std::move(what), std::move(why), changes});
  }

  void shift(compose::Wish& wish, const Tasted& tasted, double had) {
    const bool missed_that_way = tasted.too_much ? had > wish.high : had < wish.low;
    if (missed_that_way) {
      return say(
          fmt::format("{} stays at {}", measure_name(wish.measure), range_words(wish.measure, wish.low, wish.high)),
          fmt::format("{}, but this beer had {}: it missed its wish", because(tasted),
                      compose::measure_words(wish.measure, had)),
          false);
    }
    const std::string before = range_words(wish.measure, wish.low, wish.high);
    const double half = 0.5 * (wish.high - wish.low);
    const double floor = wish.measure == Measure::final_gravity ? 1.0 : 0.0;
    const double middle = had + (tasted.too_much ? -1.0 : 1.0) * step_of(wish.measure, had);
    wish.low = std::max(floor, middle - half);
    wish.high = std::max(wish.low, middle + half);
    say(fmt::format("{} {} instead of {}", measure_name(wish.measure), range_words(wish.measure, wish.low, wish.high),
                    before),
        fmt::format("{}, and it had {}", because(tasted), compose::measure_words(wish.measure, had)), true);
  }

  void gas(const Tasted& tasted) {
    const double had = standing_.now[static_cast<std::size_t>(Told::carbonation)].value;
    double& wished = next_.brief.carbonation_volumes;
    if (tasted.too_much ? had > wished + gas_step_volumes : had < wished - gas_step_volumes) {
      return say(fmt::format("carbonation stays at {:.1f} volumes", wished),
                 fmt::format("{}, but this beer had about {:.1f}: weigh the priming sugar for the volume there is",
                             because(tasted), had),
                 false);
    }
    const double before = wished;
    wished = std::clamp(wished + (tasted.too_much ? -gas_step_volumes : gas_step_volumes), 1.2, 3.2);
    say(fmt::format("carbonation {:.1f} volumes instead of {:.1f}", wished, before), because(tasted), true);
  }

  void oddment(const Tasted& tasted) {
    for (compose::Supply& supply : next_.brief.given) {
      if (!supply.must || supply.ingredient.kind != larder::IngredientKind::food) continue;
      const double most = supply.amount ? supply.amount->in(kilogram) : supply.must->high.in(kilogram)*oddment_factor;
      const double factor = tasted.too_much ? 1.0 / oddment_factor : oddment_factor;
      const auto words = [&] {
        return fmt::format("{} to {}", compose::mass_words(supply.must->low.in(kilogram)),
                           compose::mass_words(supply.must->high.in(kilogram)));
      };
      const std::string before = words();
      if (supply.must->sense == compose::Must::Sense::all) supply.must->sense = compose::Must::Sense::between;
      supply.must->low = std::min(most, supply.must->low.in(kilogram)*factor) * kilogram;
      supply.must->high = std::min(most, supply.must->high.in(kilogram)*factor) * kilogram;
      say(fmt::format("{} of {} instead of {}", words(), supply.ingredient.name, before), because(tasted), true);
    }
  }

  void put(compose::Topic topic, const std::string& name, double before, double value) {
    process::Kit& kit = next_.brief.kit;
    std::string unit;
    switch (topic) {
      case compose::Topic::conversion:
        kit.conversion = std::min(1.0, value) * ratio;
        return say(fmt::format("{} {:.0f} % instead of {:.0f} %", name, 100.0 * value, 100.0 * before), taught, true);
      case compose::Topic::boil_off: kit.boil_off = value * litre_per_hour, unit = "L/h"; break;
      case compose::Topic::grain_hold: kit.held_by_grain = value * litre_per_kilogram, unit = "L/kg"; break;
      case compose::Topic::trub_hold: kit.held_by_hops = value * litre_per_kilogram, unit = "L/kg"; break;
      case compose::Topic::kettle_loss: kit.kettle_loss = value * litre, unit = "L"; break;
      default: return;
    }
    say(fmt::format("{} {:.2g} {} instead of {:.2g} {}", name, value, unit, before, unit), taught, true);
  }

  static constexpr const char* taught = "this is what the day's readings say of the kit";
  const Standing& standing_;
  NextTime next_;
};

}  // namespace

std::vector<Tasted> tasted_in(const std::string& note) {
  std::string text = note;
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  std::vector<Tasted> tasted;
  for (const Phrase& phrase : phrases) {
    const std::size_t place = text.find(phrase.words);
    if (place == std::string::npos || is_denied(text, place)) continue;
    const std::size_t end = place + phrase.words.size();
    if ((place > 0 && is_letter(text[place - 1])) || (end < text.size() && is_letter(text[end]))) continue;
    tasted.push_back({phrase.aspect, phrase.too_much, std::string(phrase.words)});
  }
  return tasted;
}

NextTime next_time(const compose::Brief& brief, const Standing& standing) {
  Lessons lessons(brief, standing);
  lessons.kit();
  std::array<int, 6> sum{};  // tasters may disagree: then nothing changes
  std::vector<Tasted> all;
  for (const Noted& noted : standing.state.notes) {
    for (Tasted& tasted : tasted_in(noted.text)) {
      sum[static_cast<std::size_t>(tasted.aspect)] += tasted.too_much ? 1 : -1;
      all.push_back(std::move(tasted));
    }
  }
  for (std::size_t a = 0; a < sum.size(); ++a) {
    const auto one = std::find_if(all.begin(), all.end(), [&](const Tasted& tasted) {
      return static_cast<std::size_t>(tasted.aspect) == a && tasted.too_much == (sum[a] > 0);
    });
    if (sum[a] != 0 && one != all.end()) lessons.taste(*one);
  }
  return lessons.take();
}

}  // namespace oddgrist::gyle

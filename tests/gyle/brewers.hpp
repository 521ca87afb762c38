// Brewers who brew again and again on a kit whose true figures nobody knows. Same seed, same brewers.
//
// The truth differs from what src/gyle/learn.cpp supposes: it is drawn in litres and shares, not in the model's normal inputs; a kit far from
// the stated one is as likely as one near it (a rectangle instead of a triangle); each brewer is steadier or less steady than supposed, and
// that differs from brewer to brewer; scale, measuring jug and thermometer are off by the same each time, where the model takes them for
// new each day. Malt, hops, mash and fermentation are new each day, as in a forecast.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>

#include "gyle/learn.hpp"
#include "hidden_gyle.hpp"

namespace oddgrist::gyle::hidden {

// How far kits are from what their brewers state. One sack: unknown, and the malt is of one lot all through, so that what it gives stays the
// same too.
enum class Kits { unknown, one_sack, middling, as_stated };

inline bool is_instrument(compose::Topic topic) {
  using compose::Topic;
  return topic == Topic::scale || topic == Topic::water_measure || topic == Topic::rest_temperature;
}

inline bool is_of_malt(compose::Topic topic) {
  return topic == compose::Topic::extract || topic == compose::Topic::moisture;
}

// The kit's own figure lies evenly between these; unknown kits.
struct Span {
  double low = 0.0, high = 0.0;
};
inline Span kits_between(const compose::Doubt& doubt) {
  using compose::Topic;
  const auto about = [&](double share) { return Span{doubt.usual * (1.0 - share), doubt.usual * (1.0 + share)}; };
  switch (doubt.topic) {
    case Topic::conversion: return {doubt.usual - 0.11, doubt.usual + 0.03};
    case Topic::boil_off: return about(0.30);
    case Topic::grain_hold: return about(0.22);
    case Topic::trub_hold: return about(0.26);
    case Topic::kettle_loss:
    case Topic::lees: return about(0.49);
    default: return {doubt.usual, doubt.usual};
  }
}

// The z at which an input has this value.
inline double z_of(const Input& input, double value) {
  double low = -12.0, high = 12.0;
  for (int i = 0; i < 50; ++i) {
    const double middle = 0.5 * (low + high);
    (input.value_at(middle) < value ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

struct Brewer {
  const compose::Brief* brief = nullptr;
  const compose::Recipe* recipe = nullptr;
  std::mt19937_64 random;
  double unsteadiness = 1.0;  // of the day's scatter supposed
  Truth own;                  // of the kit in its units, of instruments and yeast in z

  Brewer(const compose::Brief& a_brief, const compose::Recipe& a_recipe, std::uint64_t seed, Kits kits = Kits::unknown)
      : brief(&a_brief), recipe(&a_recipe), random(seed) {
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> even(-1.0, 1.0);
    unsteadiness = 1.0 + 0.4 * even(random);
    const double share = kits == Kits::as_stated ? 0.0 : kits == Kits::middling ? 0.5 : 1.0;
    for (const Input& input : brewing().inputs) {
      const compose::Doubt& doubt = input.doubt;
      const double bell = normal(random), box = even(random);
      const Span span = kits_between(doubt);
      if (span.low < span.high)
        own[doubt.name] =
            doubt.usual + share * (0.5 * (span.low + span.high + (span.high - span.low) * box) - doubt.usual);
      else if (is_instrument(doubt.topic) || (kits == Kits::one_sack && is_of_malt(doubt.topic)))
        own[doubt.name] = bell;
      else if (doubt.topic == compose::Topic::uptake)
        own[doubt.name] = std::sqrt(3.0 * 0.9) * box;
    }
  }

  [[nodiscard]] Brewing brewing() const { return brewing_of(*brief, state_of(*brief, Log(*recipe).entries)); }

  // One input on one day, z.
  double on_a_day(const Input& input) {
    std::normal_distribution<double> normal;
    const double bell = normal(random);
    const auto found = own.find(input.doubt.name);
    if (found == own.end()) return bell;
    if (is_instrument(input.doubt.topic) || is_of_malt(input.doubt.topic)) return found->second;
    if (input.doubt.topic == compose::Topic::uptake) return found->second + std::sqrt(0.1) * bell;
    const double scatter = unsteadiness * (input.value_at(bell) - input.doubt.usual);
    return z_of(input, std::max(0.3 * input.doubt.usual, found->second + scatter));
  }

  // The forecast of somebody who knows all of this brewer's that stays the same from day to day.
  Outlook foreseen_by_who_knows() {
    const Brewing plan = brewing();
    const std::mt19937_64 before = random;
    Belief belief = prior_belief(plan);
    std::array<std::vector<double>, told_count> seen;
    constexpr int days = 128;
    for (int d = 0; d < days; ++d) {
      for (Eigen::Index i = 0; i < belief.z.size(); ++i)
        belief.z[i] = on_a_day(plan.inputs[static_cast<std::size_t>(i)]);
      const Upcome upcome = upcome_at(plan, belief.z);
      for (std::size_t t = 0; t < seen.size(); ++t) seen[t].push_back(told_by(upcome, static_cast<Told>(t)));
    }
    random = before;
    Outlook outlook;
    for (std::size_t t = 0; t < seen.size(); ++t) {
      std::sort(seen[t].begin(), seen[t].end());
      outlook[t] = {seen[t][days / 2], seen[t][days / 10], seen[t][days - 1 - days / 10]};
    }
    return outlook;
  }

  // A whole day, read as a careful brewer reads it.
  Day brew() {
    Day day{brief, Log(*recipe), {}, Mishap::none, Stage::package};
    for (const Input& input : brewing().inputs) day.truth[input.doubt.name] = on_a_day(input);
    const auto look = [&](Stage stage, Told volume, Told gravity) {
      day.log.write(Reached{stage});
      read(day, random, Sight::volume, stage, volume);
      read(day, random, Sight::gravity, stage, gravity);
    };
    look(Stage::before_boil, Told::pre_boil_volume, Told::pre_boil_gravity);
    look(Stage::after_boil, Told::post_boil_volume, Told::post_boil_gravity);
    look(Stage::fermenter, Told::fermenter_volume, Told::original_gravity);
    day.log.write(Reached{Stage::package});
    read(day, random, Sight::gravity, Stage::package, Told::final_gravity);
    return day;
  }
};

inline constexpr std::array tried = {Told::original_gravity, Told::fermenter_volume, Told::final_gravity,
                                     Told::bitterness};

struct Tally {
  int all = 0;
  std::array<int, tried.size()> held{};
  std::array<double, tried.size()> off{}, width{};  // sums: of what the forecast was off by, of the intervals' widths

  void count(const Outlook& foreseen, const Upcome& truth) {
    ++all;
    for (std::size_t t = 0; t < tried.size(); ++t) {
      const compose::Estimate& estimate = foreseen[static_cast<std::size_t>(tried[t])];
      const double value = told_by(truth, tried[t]);
      held[t] += value >= estimate.low && value <= estimate.high ? 1 : 0;
      off[t] += std::abs(value - estimate.value);
      width[t] += estimate.high - estimate.low;
    }
  }
  Tally& operator+=(const Tally& other) {
    all += other.all;
    for (std::size_t t = 0; t < tried.size(); ++t) {
      held[t] += other.held[t];
      off[t] += other.off[t];
      width[t] += other.width[t];
    }
    return *this;
  }
  [[nodiscard]] double share_held(std::size_t t) const { return static_cast<double>(held[t]) / all; }
};

// What a brew of the recipe is foreseen to give before anything is read.
inline Outlook foreseen(const compose::Brief& brief, const compose::Recipe& recipe) {
  const Brewing brewing = brewing_of(brief, state_of(brief, Log(recipe).entries));
  return outlook_of(brewing, prior_belief(brewing));
}

// One tally for each gyle of `brewers` brewers, by a model that learns and by one that was told the kit's own figures and how steady the
// brewer is: nothing can be learned beyond that.
struct Learning {
  std::vector<Tally> learned, told;
  std::vector<double> apart;  // sum: how far the forecast of original gravity is from that of one who was told
};
inline Learning brew_on(const compose::Brief& brief, const compose::Recipe& recipe, int brewers, int gyles,
                        std::uint64_t seed, Kits kits = Kits::unknown) {
  Learning learning{
      std::vector<Tally>(static_cast<std::size_t>(gyles)), {}, std::vector<double>(static_cast<std::size_t>(gyles))};
  learning.told = learning.learned;
  for (int b = 0; b < brewers; ++b) {
    Brewer brewer(brief, recipe, seed + static_cast<std::uint64_t>(b), kits);
    const Outlook best = brewer.foreseen_by_who_knows();
    KitKnowledge knowledge;
    for (std::size_t g = 0; g < learning.learned.size(); ++g) {
      const Day day = brewer.brew();
      const Outlook learned = foreseen(with_learned(brief, knowledge), recipe);
      constexpr auto original = static_cast<std::size_t>(Told::original_gravity);
      learning.learned[g].count(learned, day.upcome());
      learning.apart[g] += std::abs(learned[original].value - best[original].value);
      learning.told[g].count(best, day.upcome());
      const State state = day.state();
      learn(knowledge, {&brief, &state});
    }
  }
  return learning;
}

}  // namespace oddgrist::gyle::hidden

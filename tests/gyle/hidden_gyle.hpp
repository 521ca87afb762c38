// Brew days with a truth nobody in them knows: the uncertain inputs drawn from their own ranges, mishaps on top, and readings with
// an instrument's noise. Same seed, same days.
#pragma once

#include <algorithm>
#include <map>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "../compose/sample_briefs.hpp"
#include "gyle/replan.hpp"
#include "science/volumes.hpp"

namespace oddgrist::gyle::hidden {

inline compose::Brief harvest() {
  compose::Brief brief = compose::sample::harvest();
  brief.have.push_back(compose::sample::of("white sugar", 500.0 * gram));
  brief.have.push_back(compose::sample::of("dried malt extract, pale", 500.0 * gram));
  // Its fructose came to be known as a range; a random number more would turn every seed into another day.
  std::erase_if(brief.have.back().ingredient.spreads, [](const auto& spread) { return spread.figure == "fructose"; });
  return brief;
}

struct Planned {
  compose::Brief brief = harvest();
  compose::Recipe recipe = compose::compose(brief).proposals.at(0).recipe;
};

inline const Planned& planned() {
  static const Planned planned;
  return planned;
}

inline Instant minute_of_day(double minutes) {
  return Instant{} + std::chrono::milliseconds(static_cast<std::int64_t>(minutes * 60000.0));
}

// A log being written.
struct Log {
  std::vector<Entry> entries;
  double now_minutes = 0.0;
  int written = 0;

  explicit Log(const compose::Recipe& recipe) { write(Started{"test", "", recipe, "kit"}); }
  void write(What what, std::string mends = {}) {
    entries.push_back({"e" + std::to_string(written++), minute_of_day(now_minutes), std::move(mends), std::move(what)});
  }
};

enum class Mishap { none, boil_over, forgotten_hop, low_conversion, much_boil_off, little_kept };
inline constexpr int mishap_count = 6;

// Whether a brewer at this stage can have met it.
inline bool has_happened(Mishap mishap, Stage stage) {
  switch (mishap) {
    case Mishap::none:
    case Mishap::low_conversion:
    case Mishap::little_kept: return true;
    case Mishap::boil_over:
    case Mishap::forgotten_hop: return stage >= Stage::boil;
    case Mishap::much_boil_off: return stage >= Stage::after_boil;
  }
  return false;
}

// The true inputs, known by name, so that they stay the same when the log grows.
using Truth = std::map<std::string, double>;

inline Eigen::VectorXd inputs_of(const Brewing& brewing, const Truth& truth) {
  Eigen::VectorXd z = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(brewing.inputs.size()));
  for (std::size_t i = 0; i < brewing.inputs.size(); ++i) {
    const auto found = truth.find(brewing.inputs[i].doubt.name);
    if (found != truth.end()) z[static_cast<Eigen::Index>(i)] = found->second;
  }
  return z;
}

struct Day {
  const compose::Brief* brief = nullptr;
  Log log;
  Truth truth;
  Mishap mishap = Mishap::none;
  Stage stage = Stage::before_boil;

  [[nodiscard]] State state() const { return state_of(*brief, log.entries); }
  // What really comes of it if the log's plan is followed from here.
  [[nodiscard]] Upcome upcome() const {
    const Brewing brewing = brewing_of(*brief, state());
    return upcome_at(brewing, inputs_of(brewing, truth));
  }
  [[nodiscard]] double loss() const {
    const Brewing brewing = brewing_of(*brief, state());
    return loss_at(brewing, brewing.design, stage, upcome_at(brewing, inputs_of(brewing, truth)));
  }
};

inline void read(Day& day, std::mt19937_64& random, Sight sight, Stage stage, Told told,
                 std::optional<double> deviation = {}) {
  std::normal_distribution<double> normal;
  const double true_value = told_by(day.upcome(), told);
  Reading reading;
  reading.sight = sight;
  reading.stage = stage;
  const bool hot = sight == Sight::volume && stage != Stage::fermenter;
  const double shown = hot ? science::hot_volume_l(true_value, 98.0) : true_value;
  reading.deviation = deviation;
  reading.value = shown + deviation.value_or(usual_deviation(sight, shown)) * normal(random);
  day.log.write(reading);
}

// A day up to `stage`, with what a careful brewer reads on the way.
inline Day day_of(const compose::Brief& brief, const compose::Recipe& recipe, std::uint64_t seed, Mishap mishap,
                  Stage stage) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  Day day{&brief, Log(recipe), {}, mishap, stage};
  const Brewing plan = brewing_of(brief, day.state());
  for (const Input& input : plan.inputs) day.truth[input.doubt.name] = normal(random);
  day.truth["liquid lost"] = normal(random);
  const auto bad_luck = [&](const char* name, double z) { day.truth[name] = z + 0.3 * normal(random); };
  if (mishap == Mishap::low_conversion) bad_luck("conversion in the mash", -2.8);
  if (mishap == Mishap::much_boil_off) bad_luck("boil-off", 2.5);
  if (mishap == Mishap::little_kept) bad_luck("wort the grain keeps", 2.5);
  const auto reach = [&](Stage reached, double minutes) {
    day.log.now_minutes += minutes;
    day.log.write(Reached{reached});
  };
  reach(Stage::mash, 0.0);
  reach(Stage::before_boil, 90.0);
  read(day, random, Sight::volume, Stage::before_boil, Told::pre_boil_volume);
  read(day, random, Sight::gravity, Stage::before_boil, Told::pre_boil_gravity);
  if (stage == Stage::before_boil) return day;
  reach(Stage::boil, 20.0);
  if (mishap == Mishap::boil_over) day.log.write(Lost{Stage::boil, 1.5, {}});
  if (mishap == Mishap::forgotten_hop) {
    for (const auto& amount : recipe.amounts) {
      if (amount.into != compose::Recipe::Into::kettle || amount.minutes_before_boil_end < 20.0) continue;
      day.log.write(Missed{amount});
      break;
    }
  }
  day.log.now_minutes += 40.0;
  if (stage == Stage::boil) return day;
  reach(Stage::after_boil, 20.0);
  read(day, random, Sight::volume, Stage::after_boil, Told::post_boil_volume);
  read(day, random, Sight::gravity, Stage::after_boil, Told::post_boil_gravity);
  if (stage == Stage::after_boil) return day;
  reach(Stage::fermenter, 40.0);
  read(day, random, Sight::volume, Stage::fermenter, Told::fermenter_volume);
  read(day, random, Sight::gravity, Stage::fermenter, Told::original_gravity);
  if (stage == Stage::fermenter) return day;
  reach(Stage::package, 14.0 * 24.0 * 60.0);
  read(day, random, Sight::gravity, Stage::package, Told::final_gravity);
  return day;
}

// A day to learn the kit from: volumes before and after the boil to 0.04 L.
inline Day day_with_good_dipstick(std::uint64_t seed, double boil_off_z) {
  Day day = day_of(planned().brief, planned().recipe, seed, Mishap::none, Stage::fermenter);
  std::erase_if(day.log.entries, [](const Entry& entry) { return std::holds_alternative<Reading>(entry.what); });
  day.truth["boil-off"] = boil_off_z;
  std::mt19937_64 random(seed);
  read(day, random, Sight::volume, Stage::before_boil, Told::pre_boil_volume, 0.04);
  read(day, random, Sight::volume, Stage::after_boil, Told::post_boil_volume, 0.04);
  return day;
}

// The day if the move is taken.
inline Day taking(Day day, const Move& move) {
  for (const What& what : move.entries) day.log.write(what);
  return day;
}

// The least loss somebody could come to who knows how the day really is: the same search, the same moves, the same house.
inline double least_loss_of_who_knows(const Day& day) {
  const State state = day.state();
  const Brewing brewing = brewing_of(*day.brief, state);
  Belief truth = prior_belief(brewing);
  truth.z = inputs_of(brewing, day.truth);
  truth.covariance.setZero();
  double least = day.loss();
  for (const Move& move : replan(brewing, state, minute_of_day(day.log.now_minutes), truth).moves)
    least = std::min(least, taking(day, move).loss());
  return least;
}

// A gain of less than a hundredth of one wish, missed by its scale, is none.
inline constexpr double a_hundredth = 1.0;

}  // namespace oddgrist::gyle::hidden

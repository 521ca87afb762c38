#include "gyle/state.hpp"

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include <fmt/format.h>

namespace oddgrist::gyle {
namespace {

using compose::Recipe;

constexpr double least_kg = 1e-9;

double hours_between(Instant from, Instant to) {
  return std::chrono::duration<double, std::ratio<3600>>(to - from).count();
}

// The amount of the recipe that is meant: the same thing in the same place, at the nearest minute.
Recipe::Amount* amount_like(Recipe& recipe, const Recipe::Amount& wanted) {
  Recipe::Amount* best = nullptr;
  const auto off = [&](const Recipe::Amount& amount) {
    return std::abs(amount.minutes_before_boil_end - wanted.minutes_before_boil_end);
  };
  for (Recipe::Amount& amount : recipe.amounts) {
    if (amount.what != wanted.what || amount.into != wanted.into) continue;
    if (best == nullptr || off(amount) < off(*best)) best = &amount;
  }
  return best;
}

class Fold {
 public:
  Fold(const compose::Brief& brief, State& state) : brief_(brief), state_(state) {
    state_.boil_minutes = brief_.kit.boil.in(minute);
  }

  void take(const Entry& entry) {
    entry_ = &entry;
    std::visit([this](const auto& what) { (*this)(what); }, entry.what);
  }

  void operator()(const Started& started) {
    if (begun_) return trouble("the gyle has begun already; start another one for another brew");
    begun_ = true;
    state_.name = started.name;
    state_.kit = started.kit;
    state_.learned = started.learned;
    state_.planned = state_.went = started.recipe;
  }
  void operator()(const Reached& reached) {
    state_.stage = reached.stage;
    state_.reached[at(reached.stage)] = entry_->at;
  }
  void operator()(const Reading& reading) {
    state_.readings.push_back({entry_->key, entry_->at, reading, state_.added.size(), {}});
    if (reading.stage > state_.stage) state_.stage = reading.stage;
  }
  void operator()(const Added& added) {
    const Recipe::Amount& amount = added.amount;
    if (!(amount.kg > 0.0)) return trouble("an addition of nothing; say how much went in");
    state_.added.push_back(amount);
    Recipe::Amount* there = amount_like(state_.went, amount);
    if (there != nullptr && there->minutes_before_boil_end == amount.minutes_before_boil_end)
      there->kg += amount.kg;
    else
      state_.went.amounts.push_back(amount);
  }
  void operator()(const Missed& missed) {
    Recipe::Amount* there = amount_like(state_.went, missed.amount);
    if (there == nullptr)
      return trouble(fmt::format("{} was not to go in there; look the addition up in the recipe", missed.amount.what));
    if (missed.amount.kg > there->kg * (1.0 + 1e-9)) {
      trouble(fmt::format("more {} is missing than was to go in; reckoned as all of it", missed.amount.what));
    }
    there->kg = std::max(0.0, there->kg - missed.amount.kg);
    std::erase_if(state_.went.amounts, [](const Recipe::Amount& amount) { return amount.kg <= least_kg; });
  }
  void operator()(const Lost& lost) {
    if (!(lost.volume_l > 0.0)) return trouble("a loss of nothing; say about how many litres");
    const bool read = std::any_of(state_.readings.begin(), state_.readings.end(), [&](const Taken& taken) {
      return taken.reading.stage == lost.stage &&
             (taken.reading.sight == Sight::volume || taken.reading.sight == Sight::mass);
    });
    state_.losses.push_back({entry_->key, lost, !read});
    if (lost.stage > state_.stage) state_.stage = lost.stage;
  }
  void operator()(const Changed& changed) {
    if (changed.boil_minutes) {
      const std::optional<double> boiled = boiled_minutes(state_, entry_->at);
      const double minutes = std::max(*changed.boil_minutes, boiled.value_or(0.0));
      state_.went = with_boil(std::move(state_.went), state_.boil_minutes, minutes, boiled);
      for (Recipe::Amount& amount : state_.added) {
        if (amount.into == Recipe::Into::kettle)
          amount.minutes_before_boil_end =
              shifted_minutes(amount.minutes_before_boil_end, state_.boil_minutes, minutes, boiled);
      }
      state_.changed.boil_minutes = state_.boil_minutes = minutes;
    }
    if (changed.carbonation_volumes) state_.changed.carbonation_volumes = changed.carbonation_volumes;
    if (changed.priming_sucrose_g) state_.changed.priming_sucrose_g = changed.priming_sucrose_g;
    if (changed.ferment_at_celsius) state_.changed.ferment_at_celsius = changed.ferment_at_celsius;
  }
  void operator()(const Note& note) { state_.notes.push_back({entry_->key, entry_->at, note.text}); }
  void operator()(const Struck&) {}

  void finish() {
    if (!begun_) state_.trouble.emplace_back("the log does not begin with a recipe; start the gyle first");
    for (Taken& taken : state_.readings) {
      const auto& began = state_.reached[at(taken.reading.stage)];
      if (began) taken.hours_into_stage = hours_between(*began, taken.at);
    }
  }

 private:
  void trouble(const std::string& text) { state_.trouble.push_back(fmt::format("entry {}: {}", entry_->key, text)); }

  const compose::Brief& brief_;
  State& state_;
  const Entry* entry_ = nullptr;
  bool begun_ = false;
};

}  // namespace

std::vector<Entry> holding(std::span<const Entry> entries, std::vector<std::string>* trouble) {
  std::vector<const Entry*> once;
  std::unordered_map<std::string, std::size_t> place_of;
  for (const Entry& entry : entries) {
    if (place_of.emplace(entry.key, once.size()).second) once.push_back(&entry);
  }
  constexpr std::size_t nobody = static_cast<std::size_t>(-1);
  std::vector<std::size_t> mender(once.size(), nobody);
  const auto last_word = [&](std::size_t i) {
    while (mender[i] != nobody) i = mender[i];
    return once[i];
  };
  const auto is_struck = [](const Entry* entry) { return std::holds_alternative<Struck>(entry->what); };
  for (std::size_t i = once.size(); i-- > 0;) {
    const std::string& mends = once[i]->mends;
    if (mends.empty() || (mender[i] != nobody && is_struck(last_word(i))))
      continue;  // a struck correction corrects nothing
    const auto found = place_of.find(mends);
    if (found == place_of.end() || found->second >= i) {
      if (trouble != nullptr)
        trouble->push_back(
            fmt::format("entry {}: it mends {}, which is not before it in the log; left out", once[i]->key, mends));
    } else if (mender[found->second] == nobody) {
      mender[found->second] = i;
    }
  }
  std::vector<Entry> result;
  for (std::size_t i = 0; i < once.size(); ++i) {
    if (!once[i]->mends.empty()) continue;
    if (!is_struck(last_word(i))) result.push_back(*last_word(i));
  }
  return result;
}

const Started* started_of(std::span<const Entry> entries) {
  return entries.empty() ? nullptr : std::get_if<Started>(&entries.front().what);
}

State state_of(const compose::Brief& brief, std::span<const Entry> entries) {
  State state;
  Fold fold(brief, state);
  std::vector<std::string> trouble;
  for (const Entry& entry : holding(entries, &trouble)) fold.take(entry);
  fold.finish();
  state.trouble.insert(state.trouble.begin(), trouble.begin(), trouble.end());
  return state;
}

std::optional<double> boiled_minutes(const State& state, Instant now) {
  if (state.stage > Stage::boil) return state.boil_minutes;
  const auto& began = state.reached[at(Stage::boil)];
  if (state.stage != Stage::boil) return std::nullopt;
  if (!began) return 0.0;
  return std::clamp(60.0 * hours_between(*began, now), 0.0, state.boil_minutes);
}

double shifted_minutes(double minutes, double old_boil, double new_boil, std::optional<double> boiled) {
  const bool is_in = boiled && minutes >= old_boil - *boiled;
  return is_in ? std::max(0.0, minutes + new_boil - old_boil) : std::min(minutes, new_boil - boiled.value_or(0.0));
}

Recipe with_boil(Recipe recipe, double old_minutes, double new_minutes, std::optional<double> boiled) {
  for (Recipe::Amount& amount : recipe.amounts) {
    if (amount.into != Recipe::Into::kettle) continue;
    double& minutes = amount.minutes_before_boil_end;
    minutes = shifted_minutes(minutes, old_minutes, new_minutes, boiled);
  }
  return recipe;
}

}  // namespace oddgrist::gyle

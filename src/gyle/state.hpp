// A log folded into what holds now: the recipe as it really went, how far the brew has come, what was read, what was lost.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "compose/brief.hpp"
#include "gyle/event.hpp"

namespace oddgrist::gyle {

inline constexpr std::size_t stage_count = 7;
[[nodiscard]] constexpr std::size_t at(Stage stage) { return static_cast<std::size_t>(stage); }

struct Taken {
  std::string key;
  Instant at{};
  Reading reading;
  std::size_t added_before = 0;            // how many of State::added had gone in when it was read
  std::optional<double> hours_into_stage;  // none: nobody said when the stage began
};

struct Gone {
  std::string key;
  Lost lost;
  bool seen_in_readings = false;  // the volume of that stage was read only after it was lost
};

struct Noted {
  std::string key;
  Instant at{};
  std::string text;
};

struct State {
  std::string name;
  std::string kit;
  bool learned = false;  // Started::learned
  compose::Recipe planned;
  compose::Recipe
      went;  // with what was added and without what was missed, minutes counted from the end of the boil as it now is
  std::vector<compose::Recipe::Amount> added;  // what of that the log added, in its order
  Stage stage = Stage::planned;
  std::array<std::optional<Instant>, stage_count> reached;
  double boil_minutes = 0.0;
  std::vector<Taken> readings;
  std::vector<Gone> losses;
  Changed changed;
  std::vector<Noted> notes;
  std::vector<std::string> trouble;  // what in the log makes no sense: where, what, what to do
};

// The entries that hold, in the order of the log, each mended one with what mends it in its place. An entry holds unless a later
// entry mends it; striking a correction lets what it corrected hold again. A key that was there before is the same entry sent twice. `trouble` may be null.
[[nodiscard]] std::vector<Entry> holding(std::span<const Entry> entries, std::vector<std::string>* trouble);

// The first entry's content; null: the log does not begin with one.
[[nodiscard]] const Started* started_of(std::span<const Entry> entries);

// `brief` is what started_of(entries)->brief_text says.
[[nodiscard]] State state_of(const compose::Brief& brief, std::span<const Entry> entries);

// Minutes since the boil began, 0 if nobody said when; none before it, all of them once the flame is out.
[[nodiscard]] std::optional<double> boiled_minutes(const State& state, Instant now);

// Minutes before the end of something in a boil of another length. `boiled` minutes of it have passed (none: it has not begun): what
// went in by then stays in and boils for as much longer or shorter; what is still to come keeps its minutes before the end, as far
// as there is time for it.
[[nodiscard]] double shifted_minutes(double minutes, double old_boil, double new_boil, std::optional<double> boiled);
[[nodiscard]] compose::Recipe with_boil(compose::Recipe recipe, double old_minutes, double new_minutes,
                                        std::optional<double> boiled);

}  // namespace oddgrist::gyle

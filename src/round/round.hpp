// A round: several brewers, each leaves a parcel chosen for somebody else and brews with another's. Plain data; src/files reads it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "compose/brief.hpp"
#include "larder/ingredient.hpp"
#include "process/kit.hpp"

namespace oddgrist::round {

using compose::Place;

struct Member {
  std::string name;
  std::size_t kit = 0;                          // index into Round::kits
  std::vector<larder::Allergen> cannot_handle;  // a parcel with one of them is never theirs
  std::vector<compose::Supply> parcel;          // what they leave for somebody; each with a Must
  std::vector<compose::Supply> pantry;          // what is in their house beside the round's common pantry
  Place place;
};

// Who brews with whose parcel; both are indices into Round::members.
struct Pair {
  std::size_t brewer = 0;
  std::size_t giver = 0;
  friend bool operator==(const Pair&, const Pair&) = default;
};

// A draw of the same season that has been brewed already. Pairs with somebody who has left the round are dropped when it is read.
struct PastDraw {
  std::string name;
  std::vector<Pair> pairs;
};

struct Criterion {
  std::string name;
  double weight = 1.0;
};

inline constexpr double highest_mark = 10.0;  // marks run from 0 to this

// What one judge gave one beer. The beer is named by its code or, on an open sheet, by its brewer.
struct Sheet {
  std::size_t judge = 0;  // members first, then guests
  std::string code;       // empty: `brewer` says which beer
  std::size_t brewer = 0;
  std::vector<std::optional<double>> marks;  // one a criterion; without criteria there is one: the score
  Place place;
};

struct Round {
  std::string name;
  std::string file;
  bool straight_swaps = true;  // false: two members never draw from each other
  bool only_sound = false;     // true: a parcel that makes a beer only nearly is no draw either
  std::optional<std::uint64_t> draw_seed;
  std::optional<std::uint64_t> code_seed;
  std::vector<process::Kit> kits;
  std::vector<compose::Supply> pantry;  // what every member can be expected to have or buy
  std::vector<compose::Water> waters;
  std::vector<Member> members;
  std::vector<std::string> guests;  // judge, but do not brew
  std::vector<PastDraw> past;
  std::optional<std::vector<std::size_t>> drawn;  // this round's draw, once made: drawn[brewer] = giver
  std::vector<Criterion> criteria;
  std::vector<Sheet> sheets;
};

inline std::size_t judge_count(const Round& round) { return round.members.size() + round.guests.size(); }
inline const std::string& judge_name(const Round& round, std::size_t judge) {
  return judge < round.members.size() ? round.members[judge].name : round.guests[judge - round.members.size()];
}

// A judge never scores the beer they brewed, nor the one made of the parcel they left.
inline bool may_judge(const Round& round, std::size_t judge, std::size_t beer) {
  return judge != beer && !(round.drawn && (*round.drawn)[beer] == judge);
}

}  // namespace oddgrist::round

#include "round/draw.hpp"

#include <algorithm>
#include <numeric>

#include "round/luck.hpp"
#include "round/obstacle.hpp"

namespace oddgrist::round {
namespace {

using Givers = std::vector<std::size_t>;  // by brewer

bool has_straight_swap(const Givers& giver_of) {
  for (std::size_t brewer = 0; brewer < giver_of.size(); ++brewer) {
    if (giver_of[brewer] != brewer && giver_of[giver_of[brewer]] == brewer) return true;
  }
  return false;
}

// ways[taken]: in how many ways the brewers after the first |taken| can share the parcels that are left. The count is the permanent of
// the grid, by dynamic programming over sets of parcels.
std::vector<std::uint64_t> count_ways(const Grid& open) {
  const std::size_t count = open.size();
  const std::size_t all = (std::size_t{1} << count) - 1;
  std::vector<std::uint64_t> ways(all + 1, 0);
  ways[all] = 1;
  for (std::size_t taken = all; taken-- > 0;) {
    const auto& mine = open[static_cast<std::size_t>(__builtin_popcountll(taken))];
    for (std::size_t parcel = 0; parcel < count; ++parcel) {
      const std::size_t with = taken | (std::size_t{1} << parcel);
      if (with != taken && mine[parcel]) ways[taken] += ways[with];
    }
  }
  return ways;
}

Givers walk(const Grid& open, const std::vector<std::uint64_t>& ways, Luck& luck) {
  Givers giver_of;
  std::size_t taken = 0;
  for (const auto& mine : open) {
    std::uint64_t number = luck.below(ways[taken]);
    for (std::size_t parcel = 0; parcel < mine.size(); ++parcel) {
      const std::size_t with = taken | (std::size_t{1} << parcel);
      if (with == taken || !mine[parcel]) continue;
      if (number < ways[with]) {
        giver_of.push_back(parcel);
        taken = with;
        break;
      }
      number -= ways[with];
    }
  }
  return giver_of;
}

// Every draw without a straight swap, one after the other; of those seen, one is kept with equal chance for each.
class Lister {
 public:
  Lister(const Grid& open, Luck& luck) : open_(open), luck_(luck), taken_(open.size(), false) {}

  void list() {
    if (++steps_ > most_steps) return;
    const std::size_t brewer = now_.size();
    if (brewer == open_.size()) {
      if (luck_.below(++seen_) == 0) kept_ = now_;
      return;
    }
    for (std::size_t parcel = 0; parcel < open_.size(); ++parcel) {
      if (taken_[parcel] || !open_[brewer][parcel] || (parcel < brewer && now_[parcel] == brewer)) continue;
      taken_[parcel] = true;
      now_.push_back(parcel);
      list();
      now_.pop_back();
      taken_[parcel] = false;
    }
  }
  [[nodiscard]] bool finished() const { return steps_ <= most_steps; }
  [[nodiscard]] const std::optional<Givers>& kept() const { return kept_; }

 private:
  static constexpr std::uint64_t most_steps = 20'000'000;
  const Grid& open_;
  Luck& luck_;
  std::vector<bool> taken_;
  Givers now_;
  std::optional<Givers> kept_;
  std::uint64_t seen_ = 0, steps_ = 0;
};

DrawResult draw_counted(const Grid& open, bool straight_swaps, Luck& luck) {
  constexpr int most_tries = 20'000;
  const std::vector<std::uint64_t> ways = count_ways(open);
  if (ways[0] == 0) return {std::nullopt, true};
  // A draw with a straight swap is thrown back as a whole, so those without stay equally likely.
  for (int i = 0; i < most_tries; ++i) {
    Givers giver_of = walk(open, ways, luck);
    if (straight_swaps || !has_straight_swap(giver_of))
      return {Draw{std::move(giver_of), Evenness::counted, ways[0]}, false};
  }
  Lister lister(open, luck);
  lister.list();
  if (!lister.kept()) return {std::nullopt, lister.finished()};
  return {Draw{*lister.kept(), lister.finished() ? Evenness::counted : Evenness::improvised, ways[0]}, false};
}

// A random order of the parcels, given up as soon as it breaks a bar. What survives is even over all sound draws.
std::optional<Givers> draw_by_trying(const Grid& open, bool straight_swaps, Luck& luck) {
  constexpr int most_tries = 1'000'000;
  Givers order(open.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  for (int i = 0; i < most_tries; ++i) {
    bool sound = true;
    for (std::size_t brewer = 0; sound && brewer < order.size(); ++brewer) {
      std::swap(order[brewer], order[brewer + luck.below(order.size() - brewer)]);
      const std::size_t giver = order[brewer];
      sound = open[brewer][giver] && (straight_swaps || !(giver < brewer && order[giver] == brewer));
    }
    if (sound) return order;
  }
  return std::nullopt;
}

// The matching algorithm on shuffled members: sound, but not even.
std::optional<Givers> draw_by_matching(const Grid& open, bool straight_swaps, Luck& luck) {
  constexpr int most_tries = 500;
  std::vector<std::size_t> brewers(open.size()), givers(open.size());
  std::iota(brewers.begin(), brewers.end(), std::size_t{0});
  givers = brewers;
  for (int i = 0; i < most_tries; ++i) {
    luck.shuffle(brewers);
    luck.shuffle(givers);
    Grid shuffled(open.size(), std::vector<bool>(open.size()));
    for (std::size_t b = 0; b < open.size(); ++b) {
      for (std::size_t g = 0; g < open.size(); ++g) shuffled[b][g] = open[brewers[b]][givers[g]];
    }
    const auto matched = largest_matching(shuffled);
    Givers giver_of(open.size(), 0);
    for (std::size_t b = 0; b < open.size(); ++b) {
      if (!matched[b]) return std::nullopt;
      giver_of[brewers[b]] = givers[*matched[b]];
    }
    if (straight_swaps || !has_straight_swap(giver_of)) return giver_of;
  }
  return std::nullopt;
}

}  // namespace

DrawResult draw_from(const Grid& open, bool straight_swaps, std::uint64_t seed) {
  Luck luck(seed, "draw");
  if (open.size() <= most_counted_members) return draw_counted(open, straight_swaps, luck);
  if (hall_obstacle(open)) return {std::nullopt, true};
  if (auto tried = draw_by_trying(open, straight_swaps, luck))
    return {Draw{std::move(*tried), Evenness::tried, std::nullopt}, false};
  if (auto matched = draw_by_matching(open, straight_swaps, luck))
    return {Draw{std::move(*matched), Evenness::improvised, std::nullopt}, false};
  return {std::nullopt, false};
}

DrawResult draw_round(const Round& round, const BarTable& bars, std::uint64_t seed) {
  const std::size_t count = round.members.size();
  std::vector<std::size_t> by_name(count);
  std::iota(by_name.begin(), by_name.end(), std::size_t{0});
  std::sort(by_name.begin(), by_name.end(),
            [&](std::size_t a, std::size_t b) { return round.members[a].name < round.members[b].name; });
  Grid open(count, std::vector<bool>(count));
  for (std::size_t b = 0; b < count; ++b) {
    for (std::size_t g = 0; g < count; ++g) open[b][g] = bars.of[by_name[b]][by_name[g]].empty();
  }
  DrawResult result = draw_from(open, round.straight_swaps, seed);
  if (!result.draw) return result;
  std::vector<std::size_t> giver_of(count);
  for (std::size_t b = 0; b < count; ++b) giver_of[by_name[b]] = by_name[result.draw->giver_of[b]];
  result.draw->giver_of = std::move(giver_of);
  return result;
}

}  // namespace oddgrist::round

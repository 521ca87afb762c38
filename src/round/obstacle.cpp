#include "round/obstacle.hpp"

#include <algorithm>
#include <cstdint>
#include <numeric>

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/max_cardinality_matching.hpp>
#include <boost/graph/successive_shortest_path_nonnegative_weights.hpp>

namespace oddgrist::round {
namespace {

constexpr std::size_t most_sets_tried_members = 20;

Grid turned(const Grid& open) {
  Grid other(open.size(), std::vector<bool>(open.size()));
  for (std::size_t b = 0; b < open.size(); ++b) {
    for (std::size_t g = 0; g < open.size(); ++g) other[g][b] = open[b][g];
  }
  return other;
}

std::vector<std::size_t> members_of(std::uint64_t set) {
  std::vector<std::size_t> members;
  for (std::size_t i = 0; i < 64; ++i) {
    if ((set >> i) & 1U) members.push_back(i);
  }
  return members;
}

std::vector<std::size_t> reach_of(const Grid& open, const std::vector<std::size_t>& rows) {
  std::vector<std::size_t> reach;
  for (std::size_t column = 0; column < open.size(); ++column) {
    if (std::any_of(rows.begin(), rows.end(), [&](std::size_t row) { return open[row][column]; }))
      reach.push_back(column);
  }
  return reach;
}

// The smallest set of rows that together reach fewer columns than they are, by looking at every set.
std::vector<std::size_t> smallest_short_set(const Grid& open) {
  const std::size_t count = open.size();
  std::vector<std::uint32_t> reach(std::size_t{1} << count, 0);
  std::uint64_t best = 0;
  for (std::size_t set = 1; set < reach.size(); ++set) {
    const std::size_t row = static_cast<std::size_t>(__builtin_ctzll(set));
    std::uint32_t own = 0;
    for (std::size_t column = 0; set == (std::size_t{1} << row) && column < count; ++column)
      own |= open[row][column] ? std::uint32_t{1} << column : 0U;
    reach[set] = reach[set & (set - 1)] | (own != 0 ? own : reach[std::size_t{1} << row]);
    const int size = __builtin_popcountll(set);
    if (__builtin_popcount(reach[set]) < size && (best == 0 || size < __builtin_popcountll(best))) best = set;
  }
  return members_of(best);
}

std::size_t matched_among(const Grid& open, const std::vector<std::size_t>& rows) {
  Grid part(open.size(), std::vector<bool>(open.size(), false));
  for (std::size_t row : rows) part[row] = open[row];
  const auto matched = largest_matching(part);
  return static_cast<std::size_t>(
      std::count_if(matched.begin(), matched.end(), [](const auto& m) { return m.has_value(); }));
}

// Starts from all rows and leaves out whoever the shortage does not need: no part of what is left is short.
std::vector<std::size_t> short_set_by_deletion(const Grid& open) {
  std::vector<std::size_t> rows(open.size());
  std::iota(rows.begin(), rows.end(), std::size_t{0});
  for (std::size_t row = 0; row < open.size(); ++row) {
    std::vector<std::size_t> fewer;
    std::copy_if(rows.begin(), rows.end(), std::back_inserter(fewer), [&](std::size_t r) { return r != row; });
    if (matched_among(open, fewer) < fewer.size()) rows = std::move(fewer);
  }
  return rows;
}

// How much it asks of people. A pair more always weighs more than any bar, so the fewest pairs are found.
int asked_by(BarKind kind) {
  switch (kind) {
    case BarKind::drawn_before: return 1;
    case BarKind::not_sound: return 2;
    case BarKind::beyond_kit: return 5;
    case BarKind::allergen: return 10;
    case BarKind::unsafe: return 20;
    case BarKind::own_parcel: break;
  }
  return 0;
}
constexpr long asked_by_a_pair = 10'000;

using Traits = boost::adjacency_list_traits<boost::vecS, boost::vecS, boost::directedS>;
// clang-format off
using Network = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
    boost::property<boost::edge_capacity_t, long,
    boost::property<boost::edge_residual_capacity_t, long,
    boost::property<boost::edge_reverse_t, Traits::edge_descriptor,
    boost::property<boost::edge_weight_t, long>>>>>;
// clang-format on

void connect(Network& network, std::size_t from, std::size_t to, long cost) {
  const auto there = boost::add_edge(from, to, network).first;
  const auto back = boost::add_edge(to, from, network).first;
  boost::put(boost::edge_capacity, network, there, 1L);
  boost::put(boost::edge_capacity, network, back, 0L);
  boost::put(boost::edge_weight, network, there, cost);
  boost::put(boost::edge_weight, network, back, -cost);
  boost::put(boost::edge_reverse, network, there, back);
  boost::put(boost::edge_reverse, network, back, there);
}

}  // namespace

std::vector<std::optional<std::size_t>> largest_matching(const Grid& open) {
  using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS>;
  const std::size_t count = open.size();
  Graph graph(2 * count);
  for (std::size_t b = 0; b < count; ++b) {
    for (std::size_t g = 0; g < count; ++g) {
      if (open[b][g]) boost::add_edge(b, count + g, graph);
    }
  }
  std::vector<Graph::vertex_descriptor> mate(2 * count);
  boost::edmonds_maximum_cardinality_matching(graph, mate.data());
  std::vector<std::optional<std::size_t>> matched(count);
  for (std::size_t b = 0; b < count; ++b) {
    if (mate[b] != boost::graph_traits<Graph>::null_vertex()) matched[b] = mate[b] - count;
  }
  return matched;
}

std::optional<Obstacle> hall_obstacle(const Grid& open) {
  const auto matched = largest_matching(open);
  if (std::all_of(matched.begin(), matched.end(), [](const auto& m) { return m.has_value(); })) return std::nullopt;
  const bool every_set = open.size() <= most_sets_tried_members;
  const auto short_set = [&](const Grid& grid) {
    return every_set ? smallest_short_set(grid) : short_set_by_deletion(grid);
  };
  const Grid other = turned(open);
  Obstacle obstacle;
  obstacle.smallest = every_set;
  obstacle.members = short_set(open);
  std::vector<std::size_t> parcels = short_set(other);
  obstacle.of_brewers = obstacle.members.size() <= parcels.size();
  if (!obstacle.of_brewers) obstacle.members = std::move(parcels);
  obstacle.reach = reach_of(obstacle.of_brewers ? open : other, obstacle.members);
  return obstacle;
}

std::vector<Lift> least_cure(const BarTable& bars) {
  const std::size_t count = bars.of.size();
  Network network(2 * count + 2);
  const std::size_t source = 2 * count, sink = source + 1;
  for (std::size_t b = 0; b < count; ++b) {
    connect(network, source, b, 0);
    connect(network, count + b, sink, 0);
    for (std::size_t g = 0; g < count; ++g) {
      if (g == b) continue;
      long cost = bars.of[b][g].empty() ? 0 : asked_by_a_pair;
      for (const Bar& bar : bars.of[b][g]) cost += asked_by(bar.kind);
      connect(network, b, count + g, cost);
    }
  }
  boost::successive_shortest_path_nonnegative_weights(network, source, sink);
  std::vector<Lift> lifts;
  std::size_t flow = 0;
  for (std::size_t b = 0; b < count; ++b) {
    const auto ways = boost::out_edges(b, network);
    for (auto way = ways.first; way != ways.second; ++way) {
      const std::size_t to = boost::target(*way, network);
      if (to < count || to >= 2 * count || boost::get(boost::edge_residual_capacity, network, *way) != 0) continue;
      ++flow;
      const auto& before = bars.of[b][to - count];
      if (!before.empty()) lifts.push_back({{b, to - count}, before});
    }
  }
  return flow == count ? lifts : std::vector<Lift>{};
}

}  // namespace oddgrist::round

#include "compose/doubt_indices.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "compose/doubt_points.hpp"

namespace oddgrist::compose {
namespace {

struct Way {
  Gauging by;
  bool each_ingredient = false;
};

std::optional<Way> way_of(Topic topic) {
  switch (topic) {
    case Topic::extract:
    case Topic::moisture:
    case Topic::conversion:
    case Topic::grain_hold: return Way{Gauging::hydrometer_before_boil};
    case Topic::boil_off: return Way{Gauging::plain_water_boiled};
    case Topic::kettle_loss:
    case Topic::trub_hold: return Way{Gauging::jug_after_transfer};
    case Topic::rest_temperature: return Way{Gauging::thermometer_in_ice};
    case Topic::wort_limit:
    case Topic::uptake:
    case Topic::left_over: return Way{Gauging::glass_fermented_out};
    case Topic::grain_ph:
    case Topic::buffering:
    case Topic::acid_strength: return Way{Gauging::meter_in_mash};
    case Topic::alkalinity:
    case Topic::water_minerals: return Way{Gauging::water_drop_test};
    case Topic::malt_colour: return Way{Gauging::malt_analysis, true};
    case Topic::food_colour: return Way{Gauging::spoon_in_water, true};
    case Topic::colour_formula: return Way{Gauging::colour_in_glass};
    case Topic::alpha_acid: return Way{Gauging::hop_analysis, true};
    case Topic::utilisation: return Way{Gauging::beer_analysis};
    case Topic::food_part: return Way{Gauging::liquor_strained, true};
    case Topic::steeping: return Way{Gauging::liquor_strained};
    case Topic::scale: return Way{Gauging::scale_checked};
    case Topic::weighing: return Way{Gauging::finer_scale};
    case Topic::water_measure: return Way{Gauging::water_weighed};
    case Topic::warmest_beer: return Way{Gauging::warmest_noted};
    case Topic::lees: return Way{Gauging::lees_measured};
    case Topic::still_gas: return std::nullopt;
  }
  return std::nullopt;
}

std::vector<Measuring> measurings(const Doubtful& doubtful) {
  std::vector<Measuring> list;
  for (std::size_t i = 0; i < doubtful.doubts.size(); ++i) {
    const std::optional<Way> way = way_of(doubtful.doubts[i].topic);
    if (!way) continue;
    const std::string of = way->each_ingredient ? doubtful.doubts[i].group : std::string();
    const Gauging by = way->by;
    auto found =
        std::find_if(list.begin(), list.end(), [&](const Measuring& each) { return each.by == by && each.of == of; });
    if (found == list.end()) found = list.insert(list.end(), Measuring{by, of, {}, {}, 0.0});
    found->doubts.push_back(i);
  }
  return list;
}

std::optional<Upshot> upshot_of(Measure measure) {
  switch (measure) {
    case Measure::volume: return Upshot::volume;
    case Measure::original_gravity: return Upshot::original_gravity;
    case Measure::final_gravity: return Upshot::final_gravity;
    case Measure::alcohol: return Upshot::alcohol;
    case Measure::bitterness: return Upshot::bitterness;
    case Measure::colour: return Upshot::colour;
    case Measure::mash_ph: return Upshot::mash_ph;
    default: return std::nullopt;
  }
}

double half_mean_square(const std::vector<Upshots>& one, const std::vector<Upshots>& other, std::size_t u) {
  double sum = 0.0;
  for (std::size_t point = 0; point < one.size(); ++point) {
    const double apart = one[point][u] - other[point][u];
    sum += apart * apart;
  }
  return 0.5 * sum / static_cast<double>(one.size());
}

double variance_of(const std::vector<Upshots>& one, const std::vector<Upshots>& other, std::size_t u) {
  const double count = 2.0 * static_cast<double>(one.size());
  double sum = 0.0, squares = 0.0;
  for (const auto* list : {&one, &other}) {
    for (const Upshots& upshots : *list) sum += upshots[u];
  }
  for (const auto* list : {&one, &other}) {
    for (const Upshots& upshots : *list) squares += (upshots[u] - sum / count) * (upshots[u] - sum / count);
  }
  return squares / count;
}

}  // namespace

Shares shares_of(const Doubtful& doubtful, std::span<const std::vector<std::size_t>> groups, int points, int threads) {
  Shares shares;
  shares.groups.resize(groups.size());
  const std::size_t doubts = doubtful.doubts.size();
  if (doubts == 0 || points < 2) return shares;
  std::vector<Doubt> twice = doubtful.doubts;
  twice.insert(twice.end(), doubtful.doubts.begin(), doubtful.doubts.end());
  std::vector<Upshots> a(static_cast<std::size_t>(points)), b = a;
  std::vector<std::vector<Upshots>> mixed(groups.size(), a);
  over_points(points, threads, [&](const auto& next_stretch) {
    Rebrew rebrew(doubtful);
    Points places(twice);
    while (const std::optional<Stretch> stretch = next_stretch()) {
      places.go_to(stretch->first);
      for (std::size_t point = stretch->first; point < stretch->end; ++point) {
        const std::span<const double> both = places.next();
        const auto at_a = both.first(doubts), at_b = both.last(doubts);
        a[point] = rebrew.upshots(at_a);
        b[point] = rebrew.upshots(at_b);
        std::vector<double> values(at_a.begin(), at_a.end());
        for (std::size_t g = 0; g < groups.size(); ++g) {
          for (std::size_t i : groups[g]) values[i] = at_b[i];
          mixed[g][point] = rebrew.upshots(values);
          for (std::size_t i : groups[g]) values[i] = at_a[i];
        }
      }
    }
  });
  for (std::size_t u = 0; u < upshot_count; ++u) {
    const double variance = shares.variance[u] = variance_of(a, b, u);
    if (!(variance > 1e-24)) continue;  // rounding of the forecast
    for (std::size_t g = 0; g < groups.size(); ++g) {
      shares.groups[g].first[u] = 1.0 - half_mean_square(b, mixed[g], u) / variance;
      shares.groups[g].total[u] = half_mean_square(a, mixed[g], u) / variance;
    }
  }
  return shares;
}

std::vector<Measuring> measurings_of(const Brief& brief, const Doubtful& doubtful,
                                     std::span<const Estimate, upshot_count> intervals, int points) {
  std::vector<Measuring> list = measurings(doubtful);
  std::vector<std::vector<std::size_t>> groups;
  groups.reserve(list.size());
  for (const Measuring& measuring : list) groups.push_back(measuring.doubts);
  const Shares shares = shares_of(doubtful, groups, points);
  constexpr double least_narrowing = 0.02;  // less is the scatter of the points
  for (std::size_t m = 0; m < list.size(); ++m) {
    Measuring& measuring = list[m];
    for (std::size_t u = 0; u < upshot_count; ++u) {
      const double narrowing = 1.0 - std::sqrt(std::clamp(1.0 - shares.groups[m].first[u], 0.0, 1.0));
      measuring.narrowing[u] = narrowing < least_narrowing ? 0.0 : narrowing;
    }
    for (const Wish& wish : brief.wishes) {
      const std::optional<Upshot> upshot = upshot_of(wish.measure);
      if (!upshot || !(wish.high > wish.low)) continue;
      const auto u = static_cast<std::size_t>(*upshot);
      measuring.worth +=
          wish.weight * measuring.narrowing[u] * (intervals[u].high - intervals[u].low) / (wish.high - wish.low);
    }
  }
  std::erase_if(list, [](const Measuring& measuring) { return !(measuring.worth > 0.0); });
  std::stable_sort(list.begin(), list.end(),
                   [](const Measuring& one, const Measuring& other) { return one.worth > other.worth; });
  return list;
}

}  // namespace oddgrist::compose

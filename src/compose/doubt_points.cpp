#include "compose/doubt_points.hpp"

#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <thread>
#include <utility>

namespace oddgrist::compose {

Inverse::Inverse(const Doubt& doubt) : low_(doubt.low), range_(doubt.high - doubt.low) {
  if (doubt.shape == Doubt::Shape::triangular) triangle_.emplace(doubt.low, doubt.usual, doubt.high);
}

double variance_of(const Doubt& doubt) {
  const double range = doubt.high - doubt.low;
  if (doubt.shape == Doubt::Shape::uniform) return range * range / 12.0;
  return boost::math::variance(boost::math::triangular(doubt.low, doubt.usual, doubt.high));
}

Layout in_order(std::size_t doubts) {
  Layout layout{std::vector<std::size_t>(doubts), doubts, 0};
  std::iota(layout.places.begin(), layout.places.end(), std::size_t{0});
  return layout;
}

Points::Points(std::span<const Doubt> doubts, Layout layout)
    : sequence_(std::max<std::size_t>(1, layout.dimensions)),
      layout_(std::move(layout)),
      offset_(std::max<std::size_t>(1, layout_.dimensions), 0),
      raw_(offset_.size()),
      values_(doubts.size()) {
  for (const Doubt& doubt : doubts) inverse_.emplace_back(doubt);
  if (layout_.sample == 0) return;
  std::mt19937_64 random(layout_.sample);
  for (auto& offset : offset_) offset = random();
}

void Points::go_to(std::size_t point) {
  sequence_.seed();
  sequence_.discard(point * raw_.size());
}

std::span<const double> Points::next() {
  for (auto& raw : raw_) raw = sequence_();
  for (std::size_t i = 0; i < values_.size(); ++i) {
    const std::size_t place = layout_.places[i];
    values_[i] = inverse_[i](share_of(raw_[place] + offset_[place]));
  }
  return values_;
}

double share_of(boost::random::sobol::result_type raw) {
  constexpr double cells = 18446744073709551616.0;  // 2^64, all values the sequence can have
  static_assert(std::numeric_limits<boost::random::sobol::result_type>::digits == 64);
  constexpr double most = 1.0 - 0x1p-53;
  return std::min(most, (static_cast<double>(raw) + 0.5) / cells);
}

double quantile_among(std::vector<double>& values, double share) {
  const double place = std::max(0.0, share * static_cast<double>(values.size()) - 0.5);
  const auto below = std::min(static_cast<std::size_t>(place), values.size() - 1);
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(below);
  std::nth_element(values.begin(), at, values.end());
  if (at + 1 == values.end()) return *at;
  return std::lerp(*at, *std::min_element(at + 1, values.end()), std::min(1.0, place - static_cast<double>(below)));
}

int threads_for(int points, int asked) {
  constexpr int points_worth_a_thread = 500;
  if (asked > 0) return asked;
  const int cores = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
  return std::clamp(points / points_worth_a_thread, 1, cores);
}

}  // namespace oddgrist::compose

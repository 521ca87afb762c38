// Where in their ranges the doubts are tried, and how many points are shared out among threads. Nothing here depends on how many there
// are: a point is known by its number alone.
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <future>
#include <optional>
#include <span>
#include <vector>

#include <boost/math/distributions/triangular.hpp>
#include <boost/random/sobol.hpp>

#include "compose/doubt.hpp"

namespace oddgrist::compose {

// The middle 80 % of brews.
inline constexpr double likely_low = 0.1, likely_high = 0.9;

// The value below which a share `share` (0 to 1, ends left out) of a doubt's values lie.
class Inverse {
 public:
  explicit Inverse(const Doubt& doubt);
  [[nodiscard]] double operator()(double share) const {
    return triangle_ ? boost::math::quantile(*triangle_, share) : low_ + share * range_;
  }

 private:
  double low_, range_;
  std::optional<boost::math::triangular> triangle_;
};

[[nodiscard]] double variance_of(const Doubt& doubt);

// Which coordinate of a point each doubt takes, and which sample of points it is: sample 0 is Sobol's sequence, from the first point
// after the origin on; any other is the same moved by an offset of its own, drawn at random and wrapped round (Cranley & Patterson,
// SIAM J. Numer. Anal. 13:904, 1976), which makes samples independent of each other.
struct Layout {
  std::vector<std::size_t> places;
  std::size_t dimensions = 0;
  unsigned sample = 0;
};
[[nodiscard]] Layout in_order(std::size_t doubts);

class Points {
 public:
  explicit Points(std::span<const Doubt> doubts) : Points(doubts, in_order(doubts.size())) {}
  Points(std::span<const Doubt> doubts, Layout layout);

  void go_to(std::size_t point);  // the next will be this one, the first being 0
  [[nodiscard]] std::span<const double> next();

 private:
  boost::random::sobol sequence_;
  std::vector<Inverse> inverse_;
  Layout layout_;
  std::vector<boost::random::sobol::result_type> offset_;
  std::vector<boost::random::sobol::result_type> raw_;
  std::vector<double> values_;
};

// A doubt's value at a coordinate of Sobol's sequence.
[[nodiscard]] double share_of(boost::random::sobol::result_type raw);

// The value below which a share of the values lies, linear between neighbours. Reorders the values; not for none.
[[nodiscard]] double quantile_among(std::vector<double>& values, double share);

struct Stretch {
  std::size_t first = 0, end = 0;
};

// As many threads as the points are worth, if 0 are asked for: starting one costs as much as a few points.
[[nodiscard]] int threads_for(int points, int asked);

// Calls work(next_stretch) in each thread; next_stretch() hands out stretches of the points 0 to `points` until none is left.
template <class Work>
void over_points(int points, int threads, const Work& work) {
  constexpr std::size_t stretch_length = 128;
  const auto count = static_cast<std::size_t>(std::max(0, points));
  std::atomic<std::size_t> taken{0};
  const auto next_stretch = [&]() -> std::optional<Stretch> {
    const std::size_t first = taken.fetch_add(stretch_length);
    if (first >= count) return std::nullopt;
    return Stretch{first, std::min(first + stretch_length, count)};
  };
  std::vector<std::future<void>> others;
  for (int i = 1; i < threads_for(points, threads); ++i)
    others.push_back(std::async(std::launch::async, [&] { work(next_stretch); }));
  work(next_stretch);
  for (auto& other : others) other.get();
}

}  // namespace oddgrist::compose

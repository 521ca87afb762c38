// Numbers from a seed. The C++ standard fixes what mt19937_64 gives, but not what its distributions make of it: those are our own here,
// so that everybody who repeats a draw sees the same one.
#pragma once

#include <cstdint>
#include <limits>
#include <random>
#include <string_view>
#include <utility>
#include <vector>

namespace oddgrist::round {

class Luck {
 public:
  // `purpose` keeps the draw and the codes of one seed apart.
  Luck(std::uint64_t seed, std::string_view purpose) {
    std::uint64_t mixed = 14695981039346656037ULL;  // FNV-1a, 64 bit (Fowler, Noll, Vo; from memory)
    const auto stir = [&](unsigned char byte) { mixed = (mixed ^ byte) * 1099511628211ULL; };
    for (int shift = 0; shift < 64; shift += 8) stir(static_cast<unsigned char>(seed >> shift));
    for (char letter : purpose) stir(static_cast<unsigned char>(letter));
    engine_.seed(mixed);
  }

  // Each of 0 ... count - 1 is equally likely; count > 0. What would favour the small ones is thrown away.
  std::uint64_t below(std::uint64_t count) {
    const std::uint64_t top = std::numeric_limits<std::uint64_t>::max();
    const std::uint64_t surplus = (top % count + 1) % count;  // 2^64 mod count
    std::uint64_t number = engine_();
    while (number > top - surplus) number = engine_();
    return number % count;
  }

  template <class T>
  void shuffle(std::vector<T>& things) {
    for (std::size_t i = things.size(); i > 1; --i) std::swap(things[i - 1], things[below(i)]);
  }

 private:
  std::mt19937_64 engine_;
};

}  // namespace oddgrist::round

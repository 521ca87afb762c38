#include "round/codes.hpp"

#include <algorithm>
#include <numeric>
#include <string_view>

#include "round/luck.hpp"

namespace oddgrist::round {
namespace {

constexpr std::string_view letters = "BCDFGHJKLMNPQRSTVWXZ";
static_assert(letters.size() * letters.size() == most_codes);

std::vector<std::size_t> members_by_name(const Round& round) {
  std::vector<std::size_t> by_name(round.members.size());
  std::iota(by_name.begin(), by_name.end(), std::size_t{0});
  std::sort(by_name.begin(), by_name.end(),
            [&](std::size_t a, std::size_t b) { return round.members[a].name < round.members[b].name; });
  return by_name;
}

}  // namespace

std::vector<std::string> codes_of(const Round& round, std::uint64_t seed) {
  Luck luck(seed, "codes");
  const std::size_t shift = luck.below(letters.size());
  std::vector<std::size_t> numbers(most_codes);
  std::iota(numbers.begin(), numbers.end(), std::size_t{0});
  luck.shuffle(numbers);
  std::vector<std::string> codes(round.members.size());
  const std::vector<std::size_t> by_name = members_by_name(round);
  for (std::size_t i = 0; i < by_name.size() && i < most_codes; ++i) {
    // The third letter follows from the other two, so codes that differ in one of those differ in the third as well.
    const std::size_t first = numbers[i] / letters.size(), second = numbers[i] % letters.size();
    codes[by_name[i]] = {letters[first], letters[second], letters[(first + second + shift) % letters.size()]};
  }
  return codes;
}

std::vector<std::size_t> tasting_order(const Round& round, std::size_t judge, std::uint64_t seed) {
  std::vector<std::size_t> order;
  for (std::size_t beer : members_by_name(round)) {
    if (may_judge(round, judge, beer)) order.push_back(beer);
  }
  Luck luck(seed, "order of " + judge_name(round, judge));
  luck.shuffle(order);
  return order;
}

}  // namespace oddgrist::round

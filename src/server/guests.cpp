#include "server/guests.hpp"

#include <algorithm>

namespace oddgrist::server {
namespace {

bool can_be_sent_away(const Guest& guest) { return guest.stage != Stage::answered && guest.stage != Stage::listening; }

}  // namespace

std::size_t Guests::most_of(const std::string& address) const {
  return address == "127.0.0.1" ? room_.most_of_this_machine : room_.most_of_one;
}

std::size_t Guests::count(const std::string& address) const {
  const auto known = counts_.find(address);
  return known == counts_.end() ? 0 : known->second;
}

Guest* Guests::waits_longest(const std::string* address) const {
  Guest* longest = nullptr;
  for (Guest* guest : all_) {
    if (!can_be_sent_away(*guest) || (address != nullptr && guest->address != *address)) continue;
    if (longest == nullptr || guest->since < longest->since) longest = guest;
  }
  return longest;
}

Guests::Place Guests::place_for(const std::string& address) const {
  if (count(address) >= most_of(address)) {
    Guest* own = waits_longest(&address);
    return {own, own == nullptr};
  }
  if (all_.size() < room_.most) return {};
  const auto crowd = std::max_element(counts_.begin(), counts_.end(),
                                      [](const auto& a, const auto& b) { return a.second < b.second; });
  Guest* goes = waits_longest(&crowd->first);
  if (goes == nullptr) goes = waits_longest(nullptr);
  return {goes, goes == nullptr};
}

void Guests::arrived(Guest& guest) {
  all_.push_back(&guest);
  ++counts_[guest.address];
}

void Guests::left(Guest& guest) {
  const auto place = std::find(all_.begin(), all_.end(), &guest);
  if (place == all_.end()) return;
  all_.erase(place);
  const auto known = counts_.find(guest.address);
  if (--known->second == 0) counts_.erase(known);
  holds(guest, 0);
}

Guest* Guests::holds_longest() const {
  Guest* longest = nullptr;
  for (Guest* guest : all_) {
    if (guest->held == 0 || !can_be_sent_away(*guest)) continue;
    if (longest == nullptr || guest->since < longest->since) longest = guest;
  }
  return longest;
}

void Guests::holds(Guest& guest, std::size_t bytes) {
  held_ = held_ - guest.held + bytes;
  guest.held = bytes;
}

bool Guests::may_listen(const std::string& address) const {
  const auto listening = std::count_if(all_.begin(), all_.end(), [&](const Guest* guest) {
    return guest->stage == Stage::listening && guest->address == address;
  });
  return static_cast<std::size_t>(listening) < most_of(address) / 2;
}

std::vector<Guest*> Guests::overdue(Guest::Clock::time_point now) const {
  std::vector<Guest*> late;
  for (Guest* guest : all_) {
    if (guest->stage != Stage::answered && guest->deadline < now) late.push_back(guest);
  }
  return late;
}

}  // namespace oddgrist::server

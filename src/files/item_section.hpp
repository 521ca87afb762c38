// The [[item]] entries: ingredients the brewer defines from a packet in the hand.
#pragma once

#include <string>
#include <vector>

#include "files/supply_section.hpp"
#include "files/toml_reader.hpp"
#include "larder/packet.hpp"

namespace oddgrist::files {

// One [[item]]: what it says, what the larder made of it, and where it stands.
struct Item {
  std::string name;
  larder::PacketLabel label;
  larder::PacketReading reading;
  bool sound = true;  // false: a problem has been reported, and the reading may mean nothing
  Place place;
};

// With a label that contradicts itself: `refuse` makes that a problem, `keep` leaves it to the findings.
enum class WrongLabel { refuse, keep };
std::vector<Item> read_items(const std::vector<const toml::table*>& entries, const std::string& file, WrongLabel wrong,
                             Problems& problems);

// By name, for [[given]] and [[have]]. Two items of one name are reported.
OwnItems own_items(std::vector<Item> items, Problems& problems);

// Something of which nothing is known but its name and its list.
larder::Ingredient bare_ingredient(const std::string& name, const std::string& declared);

// The items of a file for `packet FILE`: it may hold nothing else, but a whole brief is welcome too; its other tables are not looked at.
// Here a label that contradicts itself is an answer and no problem: the reading's findings say so.
Result<std::vector<Item>> read_packet_file(const std::string& path);
Result<std::vector<Item>> read_packet_text(std::string_view text, const std::string& path);

// The items of a file for the own larder: nothing else may stand in it, and a label that contradicts itself is refused.
Result<std::vector<Item>> read_own_text(std::string_view text, const std::string& path);

}  // namespace oddgrist::files

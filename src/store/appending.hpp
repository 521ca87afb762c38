// One run of append(): the rules an entry has to keep, and what it leads to. Internal to src/store.
#pragma once

#include <map>
#include <string>

#include "store/room.hpp"

namespace oddgrist::store {

// Used inside one Writing; throws Refused. `field` is how messages name the entry: "entries[2]".
class Appending {
 public:
  explicit Appending(Room& room) : room_(room), connection_(*room.connection) {}
  void add(const Understood& understood, const std::string& field);
  // Moves the stock as the gyles' entries call for.
  Appended finish();

 private:
  void check_rules(const Understood& understood, const std::string& field);
  void check_gyle_rules(const Line& line, const gyle::What& what, const std::string& field);
  void move_stock(const std::string& gyle, Instant at);
  bool ever_in(const std::string& ingredient);
  [[noreturn]] void refuse(std::string field, std::string what, std::string remedy) const;

  Room& room_;
  Connection& connection_;
  Appended result_;
  std::map<std::string, Instant> moved_;  // gyles, and the moment of the entry that moves their stock
};

}  // namespace oddgrist::store
